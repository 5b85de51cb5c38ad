//! An earlier audit of the same shop, read back from the JSON that it left in `reports/`.

use crate::finding::{Finding, Verdict};
use crate::quantity::Day;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// The number of the JSON format of an audit; it changes when a key changes its meaning or goes.
pub const FORMAT: u32 = 1;

/// What makes two findings the same finding: rule, pack and subject.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    pub pack: String,
    pub rule: String,
    /// The sort of subject.
    pub kind: String,
    pub subject: String,
}

impl Key {
    /// Of a finding.
    pub fn new(finding: &Finding) -> Key {
        Key {
            pack: finding.rule.pack.to_string(),
            rule: finding.rule.id.to_string(),
            kind: finding.subject.kind.word().to_string(),
            subject: finding.subject.id.clone(),
        }
    }
}

/// A finding that was open.
#[derive(Clone, Debug)]
pub struct Past {
    /// What it came to.
    pub verdict: Verdict,
    pub title: String,
    /// The day of the first audit that found it open, and since which it never was not.
    pub since: Day,
}

/// How many findings of each verdict there were on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tally {
    pub on: String,
    /// By the words of the verdicts.
    pub counts: BTreeMap<String, usize>,
}

/// An audit of before.
#[derive(Clone, Debug)]
pub struct Earlier {
    pub file: String,
    pub on: Day,
    /// The packs that it held the shop against.
    pub packs: BTreeSet<String>,
    pub open: BTreeMap<Key, Past>,
    /// Its own counts, and those that it remembered, oldest first.
    pub trend: Vec<Tally>,
}

/// What a look for an earlier audit came to.
#[derive(Clone, Debug, Default)]
pub struct Looked {
    /// The latest one of this shop.
    pub earlier: Option<Earlier>,
    /// Files that are none, and why.
    pub passed_over: Vec<(String, String)>,
}

#[derive(Deserialize)]
struct ReportIn {
    on: String,
    shop: String,
    packs: Vec<PackIn>,
    counts: BTreeMap<String, usize>,
    findings: Vec<FindingIn>,
    #[serde(default)]
    trend: Vec<Tally>,
}

#[derive(Deserialize)]
struct PackIn {
    id: String,
}

#[derive(Deserialize)]
struct SubjectIn {
    kind: String,
    id: String,
}

#[derive(Deserialize)]
struct FindingIn {
    rule: String,
    pack: String,
    title: String,
    subject: SubjectIn,
    verdict: String,
    since: Option<String>,
}

/// The day in the name of an audit's JSON, `2026-09-30-audit.json`.
pub fn day_named(file: &str) -> Option<Day> {
    Day::parse(file.strip_suffix("-audit.json")?).ok()
}

/// Reads an audit of this shop, or says why this is none.
pub fn read_earlier(file: &str, bytes: &[u8], shop: &str) -> Result<Earlier, String> {
    #[derive(Deserialize)]
    struct FormatIn {
        format: u32,
    }
    let no_audit = |fault: serde_json::Error| format!("it is not an audit: {fault}");
    // The number first: what another format holds is not to be guessed at.
    let FormatIn { format } = serde_json::from_slice(bytes).map_err(no_audit)?;
    if format != FORMAT {
        return Err(format!(
            "it has format {format}, but this program reads format {FORMAT}"
        ));
    }
    let report: ReportIn = serde_json::from_slice(bytes).map_err(no_audit)?;
    let on = Day::parse(&report.on)
        .ok()
        .filter(|on| Some(*on) == day_named(file))
        .ok_or_else(|| format!("its date is `{}`", report.on))?;
    if report.shop != shop {
        return Err(format!("it is of another shop, `{}`", report.shop));
    }
    let mut open = BTreeMap::new();
    for (key, past) in report.findings.into_iter().filter_map(|f| f.open(on)) {
        open.entry(key)
            .and_modify(|known: &mut Past| {
                known.verdict = known.verdict.min(past.verdict);
                known.since = known.since.min(past.since);
            })
            .or_insert(past);
    }
    let mut trend = report.trend;
    trend.retain(|tally| tally.on != report.on);
    let counts = report.counts.into_iter();
    trend.push(Tally {
        on: report.on,
        counts: counts
            .filter(|(word, _)| Verdict::parse(word).is_some())
            .collect(),
    });
    Ok(Earlier {
        file: file.to_string(),
        on,
        packs: report.packs.into_iter().map(|pack| pack.id).collect(),
        open,
        trend,
    })
}

impl FindingIn {
    /// The finding, if it was open on the day of its audit.
    fn open(self, on: Day) -> Option<(Key, Past)> {
        let since = self.since.and_then(|day| Day::parse(&day).ok());
        let past = Past {
            verdict: Verdict::parse(&self.verdict).filter(|verdict| verdict.calls())?,
            title: self.title,
            since: since.filter(|since| *since <= on).unwrap_or(on),
        };
        let key = Key {
            pack: self.pack,
            rule: self.rule,
            kind: self.subject.kind,
            subject: self.subject.id,
        };
        Some((key, past))
    }
}

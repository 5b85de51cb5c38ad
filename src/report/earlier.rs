//! An earlier audit of the same shop, read back from the JSON that it left in `reports/`.

use super::json::FORMAT;
use crate::finding::{Finding, Verdict};
use crate::quantity::Day;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// What makes two findings the same finding: rule, pack and subject.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// The pack.
    pub pack: String,
    /// The rule.
    pub rule: String,
    /// The sort of subject.
    pub kind: String,
    /// The subject.
    pub subject: String,
}

impl Key {
    /// Of a finding.
    pub fn of(finding: &Finding) -> Key {
        Key {
            pack: finding.pack.to_string(),
            rule: finding.rule.to_string(),
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
    /// Its title.
    pub title: String,
    /// The day of the first audit that found it open, and since which it never was not.
    pub since: Day,
}

/// How many findings of each verdict there were on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tally {
    /// The day.
    pub on: String,
    /// By the words of the verdicts.
    pub counts: BTreeMap<String, usize>,
}

/// An audit of before.
#[derive(Clone, Debug)]
pub struct Earlier {
    /// Its file.
    pub file: String,
    /// Its day.
    pub on: Day,
    /// The packs that it held the shop against.
    pub packs: BTreeSet<String>,
    /// What was open.
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
    format: u32,
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
    // The number first: what another format holds is not to be guessed at.
    let format: FormatIn =
        serde_json::from_slice(bytes).map_err(|fault| format!("it is no audit: {fault}"))?;
    if format.format != FORMAT {
        return Err(format!(
            "it is of format {}, and this program reads {FORMAT}",
            format.format
        ));
    }
    let report: ReportIn =
        serde_json::from_slice(bytes).map_err(|fault| format!("it is no audit: {fault}"))?;
    let _ = report.format;
    let on = Day::parse(&report.on)
        .ok()
        .filter(|on| Some(*on) == day_named(file))
        .ok_or_else(|| format!("it says that it is of `{}`", report.on))?;
    if report.shop != shop {
        return Err(format!("it is of another shop, `{}`", report.shop));
    }
    let mut open = BTreeMap::new();
    for finding in report.findings {
        let verdict = Verdict::WORDS
            .iter()
            .find(|(word, _)| *word == finding.verdict);
        let Some((_, verdict)) = verdict.filter(|(_, verdict)| verdict.calls()) else {
            continue;
        };
        let since = finding.since.and_then(|day| Day::parse(&day).ok());
        let past = Past {
            verdict: *verdict,
            title: finding.title,
            since: since.filter(|since| *since <= on).unwrap_or(on),
        };
        let key = Key {
            pack: finding.pack,
            rule: finding.rule,
            kind: finding.subject.kind,
            subject: finding.subject.id,
        };
        open.entry(key)
            .and_modify(|known: &mut Past| {
                known.verdict = known.verdict.min(past.verdict);
                known.since = known.since.min(past.since);
            })
            .or_insert(past);
    }
    let mut trend = report.trend;
    trend.retain(|tally| tally.on != report.on);
    let verdict = |word: &str| Verdict::WORDS.iter().any(|(known, _)| *known == word);
    let counts = report.counts.into_iter().filter(|(word, _)| verdict(word));
    trend.push(Tally {
        on: report.on,
        counts: counts.collect(),
    });
    Ok(Earlier {
        file: file.to_string(),
        on,
        packs: report.packs.into_iter().map(|pack| pack.id).collect(),
        open,
        trend,
    })
}

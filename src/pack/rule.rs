//! The shape of one rule file. What its `check` means is none of this layer's business.

use super::about::SourceDocument;
use super::adjust::{Adjust, read_adjust};
use super::citation::{Citation, read_citation};
use super::dated::{Dated, read_dated};
use super::document::{Document, Section, WithSpan, word};
use super::select::{Select, read_select};
use crate::pack::PackFault;
use crate::quantity::{Day, Measure};
use crate::text::{CellFault, FileId, Problem, Problems, Span, words};
use std::collections::BTreeMap;

words! {
    /// How much a rule weighs.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Severity {
        /// The law asks it, or a life hangs on it.
        Must = "must",
        /// Good practice.
        Should = "should",
        /// Worth knowing.
        Note = "note",
    }
}

/// What a rule can be about; reports group by it, in this order.
pub const TOPICS: [&str; 13] = [
    "rags",
    "storage",
    "containers",
    "air",
    "ignition",
    "extinguishers",
    "keeping",
    "labels",
    "first-aid",
    "housekeeping",
    "waste",
    "permits",
    "records",
];

/// Keys of a rule that only its kind of check understands.
pub const OPTIONS: [&str; 9] = [
    "per", "measure", "have", "event", "answer", "within", "above", "beyond", "floor",
];

/// A value of a limit.
#[derive(Clone, Debug)]
pub enum LimitValue {
    /// The rule compares no number.
    None,
    /// One number for all.
    One(WithSpan<Measure>),
    /// A number for each class.
    ByClass(Vec<(WithSpan<String>, WithSpan<Measure>)>),
}

/// The number with its unit, or one for each class; nothing where the rule compares no number.
impl std::fmt::Display for LimitValue {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            LimitValue::None => Ok(()),
            LimitValue::One(told) => f.write_str(&told.value.text()),
            LimitValue::ByClass(list) => {
                let parts = list
                    .iter()
                    .map(|(class, told)| format!("{} {}", class.value, told.value.text()));
                f.write_str(&parts.collect::<Vec<_>>().join(", "))
            }
        }
    }
}

/// Where an adopted rule comes from.
#[derive(Clone, Debug)]
pub struct Adopted {
    /// The pack that it is adopted from.
    pub pack: String,
    /// What this pack changes; `None` where it leaves the rule as it was.
    pub replaced: Option<Replaced>,
}

/// The limits that a pack replaces by its own.
#[derive(Clone, Debug)]
pub struct Replaced {
    /// Its own hold from this day on.
    pub since: Day,
    /// Those of the adopted pack.
    pub limit: Dated<(LimitValue, Citation)>,
}

#[derive(Clone, Debug)]
pub struct Rule {
    pub id: String,
    pub at: Span,
    /// What it is called.
    pub title: String,
    /// One of [`TOPICS`].
    pub topic: &'static str,
    /// The kind of check, not yet known to be one.
    pub check: WithSpan<String>,
    /// How much it weighs.
    pub severity: Severity,
    /// Why it is there.
    pub why: String,
    pub action: String,
    /// Keys for the kind of check.
    pub options: BTreeMap<&'static str, WithSpan<String>>,
    /// Kinds of fixture, for the kind of check.
    pub fixture: Vec<WithSpan<String>>,
    /// What it is about.
    pub select: Select,
    /// The other side, for rules between two things.
    pub with: Option<Select>,
    /// Where a thing must not be.
    pub never: Option<Select>,
    /// Values by day.
    pub limit: Dated<(LimitValue, Citation)>,
    /// What multiplies the limit.
    pub adjust: Vec<Adjust>,
    /// The pack that the rule is adopted from, if it is.
    pub adopted: Option<Adopted>,
}

impl Rule {
    /// What this pack changes of an adopted rule, if it does.
    pub fn replaced(&self) -> Option<&Replaced> {
        self.adopted.as_ref()?.replaced.as_ref()
    }

    /// The first day on which a limit of this pack's own is in force.
    pub fn own_since(&self) -> Option<Day> {
        match self.replaced() {
            Some(replaced) => Some(replaced.since),
            None => self.limit.values().next().map(|(day, _)| day),
        }
    }

    /// Is it adopted from another pack as it is there?
    pub fn is_inherited(&self) -> bool {
        self.adopted.is_some() && self.replaced().is_none()
    }
}

pub(super) fn read_rule(
    id: &str,
    file: FileId,
    document: &Document<'_>,
    sources: &BTreeMap<String, SourceDocument>,
    problems: &mut Problems,
) -> Option<Rule> {
    let top = document.top(&format!("the rule `{id}`"));
    let must = |key, problems: &mut Problems| top.must(key, problems);
    let (title, topic, check) = (
        must("title", problems),
        must("topic", problems),
        must("check", problems),
    );
    let (severity, why) = (must("severity", problems), must("why", problems));
    let action = must("action", problems);
    let topics = TOPICS.map(|t| (t, t));
    let topic = topic.and_then(|told| word(&told, "topic", &topics, problems));
    let severity = severity.and_then(|told| word(&told, "severity", &Severity::WORDS, problems));
    let mut options = BTreeMap::new();
    for key in OPTIONS {
        if let Some(told) = top.text(key, problems) {
            options.insert(key, told);
        }
    }
    let fixture = top.words("fixture", problems);
    let [select, with, never] = ["where", "with", "never"].map(|key| {
        top.section(key, problems)
            .map(|section| read_select(section, problems))
    });
    let adjust = read_adjust(&top, problems);
    let limit = read_limit(&top, sources, problems);
    top.done(problems);
    Some(Rule {
        id: id.to_string(),
        at: Span::whole(file),
        title: title?.value,
        topic: topic?,
        check: check?,
        severity: severity?,
        why: why?.value,
        action: action?.value,
        options,
        fixture,
        select: select.unwrap_or(Select {
            keys: Vec::new(),
            at: Span::whole(file),
        }),
        with,
        never,
        limit: limit?,
        adjust,
        adopted: None,
    })
}

/// The limits of a rule by day, each with its citation.
pub(super) fn read_limit(
    top: &Section<'_>,
    sources: &BTreeMap<String, SourceDocument>,
    problems: &mut Problems,
) -> Option<Dated<(LimitValue, Citation)>> {
    if !top.has("limit") {
        problems.add(Problem::new(PackFault::NoLimit, top.at()));
    }
    read_dated(
        top.section("limit", problems),
        problems,
        |section, problems| {
            let value = read_value(section, problems);
            let citation = read_citation(section, sources, problems);
            Some((value?, citation?))
        },
    )
}

fn read_value(section: &Section<'_>, problems: &mut Problems) -> Option<LimitValue> {
    if section.is_section("value") {
        let by_class = section.section("value", problems)?;
        let mut list = Vec::new();
        for (class, told) in by_class.pairs(problems) {
            list.push((class, measured("value", told, problems)?));
        }
        return Some(LimitValue::ByClass(list));
    }
    match section.text("value", problems) {
        Some(told) => measured("value", told, problems).map(LimitValue::One),
        // A value of the wrong form has been reported.
        None if section.has("value") => None,
        None => Some(LimitValue::None),
    }
}

/// Reads a quantity of any dimension from a text with a place.
pub(super) fn measured(
    key: &str,
    told: WithSpan<String>,
    problems: &mut Problems,
) -> Option<WithSpan<Measure>> {
    match Measure::parse(&told.value) {
        Ok(value) => Some(WithSpan { value, at: told.at }),
        Err(fault) => {
            let code = CellFault::Quantity {
                column: key.to_string(),
                read: told.value,
                fault,
                wanted: Vec::new(),
            };
            problems.add(Problem::new(code, told.at));
            None
        }
    }
}

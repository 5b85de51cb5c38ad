//! Equal things to do, combined into one line: "Label J-9 and J-10."

use super::Wording;
use super::line::ActionLine;
use super::name::{join, places_words};
use super::order::rank;
use super::task::repeated;
use super::{law, order};
use crate::finding::{Detail, Finding, Subject, SubjectKind, Verdict};
use crate::record::PlaceKind;
use crate::text::capital;
use std::collections::{HashMap, HashSet};

/// Things whose tasks are equal but for their names.
#[derive(Clone, PartialEq)]
enum Alike {
    Label,
    Repeated(String),
    /// Containers that are too large, or hold too much.
    Size(Verdict),
    /// Places of a kind that hold too much.
    Total(PlaceKind, Verdict),
    Aged(Verdict),
    FailedTest,
    /// Others whose rule has the same words.
    Action(String),
}

/// One thing to do, before it is combined.
pub(super) struct ActionEntry<'f> {
    /// The finding that the line is about, with its position among all.
    pub(super) at: usize,
    pub(super) finding: &'f Finding,
    /// Every finding about this thing, by position.
    pub(super) findings: Vec<usize>,
    pub(super) line: ActionLine,
}

fn alike(entry: &ActionEntry<'_>, wording: &Wording<'_>) -> Option<Alike> {
    let finding = entry.finding;
    match &finding.detail {
        Detail::Label => Some(Alike::Label),
        Detail::LastDone { question, .. } => Some(Alike::Repeated(question.clone())),
        Detail::Size | Detail::Content => Some(Alike::Size(finding.verdict)),
        Detail::Total if finding.subject.kind == SubjectKind::Place => wording
            .place_kind(&finding.subject.id)
            .map(|kind| Alike::Total(kind, finding.verdict)),
        Detail::UseBy(_) | Detail::Shelf { .. } => Some(Alike::Aged(finding.verdict)),
        Detail::FailedTest { .. } => Some(Alike::FailedTest),
        Detail::Numbers
        | Detail::Listing
        | Detail::Sprinklers
        | Detail::DataSheet(_)
        | Detail::Fixture(_)
        | Detail::Answered { .. } => Some(Alike::Action(finding.action.to_string())),
        Detail::Rags { .. }
        | Detail::PastNights { .. }
        | Detail::RagsMissing { .. }
        | Detail::RagsDiscarded { .. }
        | Detail::Unanswered { .. }
        | Detail::CanFilled
        | Detail::Located(_)
        | Detail::Together { .. }
        | Detail::Several(_)
        | Detail::DistanceTo(_)
        | Detail::AtMostFrom(_)
        | Detail::WalkTo(_)
        | Detail::TooNear(_)
        | Detail::Counted { .. }
        | Detail::Filled(_)
        | Detail::Total
        | Detail::Exhaust
        | Detail::Session { .. } => None,
    }
}

/// Combines what is equal; the order of the entries stays.
pub(super) fn combine(entries: Vec<ActionEntry<'_>>, wording: &Wording<'_>) -> Vec<ActionLine> {
    let mut groups: Vec<(Option<Alike>, Vec<ActionEntry<'_>>)> = Vec::new();
    for entry in entries {
        let kind = alike(&entry, wording);
        let known = groups
            .iter_mut()
            .find(|(other, _)| kind.is_some() && *other == kind);
        match known {
            Some((_, list)) => list.push(entry),
            None => groups.push((kind, vec![entry])),
        }
    }
    groups
        .into_iter()
        .filter_map(|(kind, mut list)| match (kind, list.len()) {
            (Some(kind), 2..) => Some(together(&kind, &list, wording)),
            _ => list.pop().map(|entry| entry.line),
        })
        .collect()
}

/// Names in parts of letters and of digits, so that C-9 comes before C-10.
fn by_number(name: &str) -> Vec<(bool, usize, &str)> {
    let is_digit = |c: char| c.is_ascii_digit();
    let mut parts = Vec::new();
    let mut rest = name;
    while let Some(first) = rest.chars().next() {
        let digits = is_digit(first);
        let end = rest.find(|c| is_digit(c) != digits).unwrap_or(rest.len());
        let (part, after) = rest.split_at(end);
        let part = if digits {
            part.trim_start_matches('0')
        } else {
            part
        };
        parts.push((digits, if digits { part.len() } else { 0 }, part));
        rest = after;
    }
    parts
}

fn together(kind: &Alike, list: &[ActionEntry<'_>], wording: &Wording<'_>) -> ActionLine {
    let mut subjects: Vec<&Subject> = list.iter().map(|entry| &entry.finding.subject).collect();
    subjects.sort_by(|a, b| by_number(&a.id).cmp(&by_number(&b.id)));
    let (text, fact) = text_and_fact(kind, list, &subjects, wording);
    ActionLine {
        says_all: *kind == Alike::Label,
        fact_of_all: kind.has_fact_of_all(),
        ..line_of(list, text, capital(&fact))
    }
}

/// What to do with all of these things, and what was found.
fn text_and_fact(
    kind: &Alike,
    list: &[ActionEntry<'_>],
    subjects: &[&Subject],
    wording: &Wording<'_>,
) -> (String, String) {
    let things: Vec<String> = subjects.iter().map(|it| wording.thing(it)).collect();
    let named = if things.len() > 3 {
        let ids: Vec<String> = subjects.iter().map(|it| it.id.clone()).collect();
        join(&ids)
    } else {
        join(&things)
    };
    let count = list.len();
    let over = |verdict: &Verdict| match verdict {
        Verdict::Breach => "over",
        Verdict::CannotJudge | Verdict::Near | Verdict::Meets | Verdict::NotInForce => "close to",
    };
    match kind {
        Alike::Label => (
            format!("Label {named}."),
            format!("{count} containers have no label."),
        ),
        Alike::Repeated(question) => (repeated(question, &things), first_fact(list)),
        Alike::Size(Verdict::Breach) => (
            format!("Pour {named} into smaller containers or safety cans."),
            format!(
                "{count} containers are over their limit. {}",
                worst(list, wording)
            ),
        ),
        Alike::Size(verdict) => (
            format!("{count} containers are {} their limit.", over(verdict)),
            worst(list, wording),
        ),
        Alike::Total(kind, verdict) => (
            format!(
                "{count} {} are {} their limit.",
                places_words(*kind),
                over(verdict)
            ),
            worst(list, wording),
        ),
        Alike::Aged(Verdict::Breach) => (
            format!("Discard {named} as waste, or test them before use."),
            format!("The shelf life of {named} has ended."),
        ),
        Alike::Aged(_) => (
            format!("Test {named} before use."),
            format!("The tests of {named} are due."),
        ),
        Alike::FailedTest => (
            format!("Discard {named} as waste."),
            format!("{named} failed their tests."),
        ),
        Alike::Action(action) => (action.clone(), format!("This concerns {named}.")),
    }
}

impl Alike {
    /// Is the fact of a combined line about all of its things? Else it is about the worst, or follows on the text.
    fn has_fact_of_all(&self) -> bool {
        match self {
            Alike::Label | Alike::Size(Verdict::Breach) | Alike::Aged(_) | Alike::FailedTest => {
                true
            }
            Alike::Size(
                Verdict::CannotJudge | Verdict::Near | Verdict::Meets | Verdict::NotInForce,
            )
            | Alike::Repeated(_)
            | Alike::Total(..)
            | Alike::Action(_) => false,
        }
    }
}

fn first_fact(list: &[ActionEntry<'_>]) -> String {
    let worst = list
        .iter()
        .min_by_key(|entry| rank(entry.finding, entry.at));
    worst.map_or_else(String::new, |entry| entry.line.fact.clone())
}

/// "Worst: cabinet 1 with 598 gal (limit 120 gal)."
fn worst(list: &[ActionEntry<'_>], wording: &Wording<'_>) -> String {
    let worst = list
        .iter()
        .max_by_key(|entry| (order::share(entry.finding), std::cmp::Reverse(entry.at)));
    let Some(entry) = worst else {
        return String::new();
    };
    let id = &entry.finding.subject.id;
    match wording.pair(entry.finding) {
        Some((observed, limit)) => format!("Worst: {id} with {observed} (limit {limit})."),
        None => entry.line.fact.clone(),
    }
}

fn line_of(list: &[ActionEntry<'_>], text: String, fact: String) -> ActionLine {
    let people: Vec<&String> = list.iter().filter_map(|e| e.line.person.as_ref()).collect();
    let person = match people.as_slice() {
        [first, rest @ ..] if people.len() == list.len() && rest.iter().all(|p| p == first) => {
            Some((*first).clone())
        }
        _ => None,
    };
    let first = list.first().map(|entry| &entry.line);
    ActionLine {
        text,
        fact,
        person,
        due: list.iter().filter_map(|entry| entry.line.due).min(),
        deadline: list
            .iter()
            .filter(|entry| entry.line.due.is_some())
            .min_by_key(|entry| entry.line.due)
            .and_then(|entry| entry.line.deadline.clone()),
        law: first.map_or_else(String::new, |line| line.law.clone()),
        subjects: list.iter().flat_map(|e| e.line.subjects.clone()).collect(),
        findings: list.iter().flat_map(|e| e.findings.clone()).collect(),
        says_all: false,
        fact_of_all: false,
    }
}

/// Unknown facts: unanswered questions are one line, and each other fact is one line however many rules wait for it.
pub(super) fn find_out(unknown: &[(usize, &Finding)], wording: &Wording<'_>) -> Vec<ActionLine> {
    let mut lines: Vec<ActionLine> = Vec::new();
    let mut questions: HashSet<(&str, &str)> = HashSet::new();
    let mut by_text: HashMap<String, usize> = HashMap::new();
    let mut round: Option<ActionLine> = None;
    for (at, finding) in unknown {
        let is_question = if let Detail::Unanswered { question, .. } = &finding.detail {
            questions.insert((question.as_str(), finding.subject.id.as_str()));
            true
        } else {
            false
        };
        let text = wording.unknown(finding);
        let known = if is_question {
            round.as_mut()
        } else {
            by_text.get(&text).and_then(|at| lines.get_mut(*at))
        };
        match known {
            Some(line) => {
                line.findings.push(*at);
                line.subjects.push(finding.subject.clone());
            }
            None => {
                let line = ActionLine {
                    text,
                    law: law::law(finding),
                    subjects: vec![finding.subject.clone()],
                    findings: vec![*at],
                    ..ActionLine::default()
                };
                if is_question {
                    round = Some(line);
                } else {
                    by_text.insert(line.text.clone(), lines.len());
                    lines.push(line);
                }
            }
        }
    }
    if let Some(mut line) = round {
        if questions.len() > 1 {
            line.text = format!(
                "{} questions have no answer this month. Walk the round.",
                questions.len()
            );
        }
        lines.push(line);
    }
    for line in &mut lines {
        let mut seen = HashSet::new();
        line.subjects.retain(|subject| seen.insert(subject.clone()));
    }
    lines
}

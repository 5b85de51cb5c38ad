//! What to do, as the first sheet and the floor plan number it.

use crate::finding::{Finding, Subject, Verdict};
use crate::report::against::ActionState;
use crate::report::view::View;
use crate::report::words::ActionLine;
use std::collections::HashMap;
use std::ops::Deref;

/// Quarters of a row that the first sheet has for its lists, on the shorter of the two papers.
const ROWS: usize = 216;

/// All of the lists.
pub(super) struct DoLists {
    lists: Vec<DoList>,
    /// The numbers of the lines about each finding.
    by_finding: HashMap<usize, Vec<usize>>,
}

impl Deref for DoLists {
    type Target = [DoList];

    fn deref(&self) -> &[DoList] {
        &self.lists
    }
}

impl DoLists {
    /// The numbers of the lines about some findings, each once.
    pub(super) fn numbers(&self, findings: &[usize]) -> Vec<usize> {
        let lines = findings.iter().filter_map(|at| self.by_finding.get(at));
        let mut numbers: Vec<usize> = lines.flatten().copied().collect();
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    }
}

/// One of the lists of things to do.
pub(super) struct DoList {
    pub(super) title: &'static str,
    pub(super) lines: Vec<DoLine>,
}

/// One thing to do.
pub(super) struct DoLine {
    /// Its number, on the plan too.
    pub(super) number: usize,
    pub(super) action: String,
    /// What is known, and where.
    pub(super) why: String,
    /// Person, deadline and law, in small print.
    pub(super) note: String,
    pub(super) state: LineState,
    pub(super) who: Vec<String>,
    pub(super) rooms: Vec<String>,
    /// Its findings, by position.
    pub(super) findings: Vec<usize>,
    /// It is on the first sheet; the others are unfolded on the page.
    pub(super) on_sheet: bool,
}

/// How a line is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineState {
    Now,
    Over,
    Close,
    Unknown,
}

impl LineState {
    pub(super) fn class(self) -> &'static str {
        match self {
            LineState::Now => "now",
            LineState::Over => "over",
            LineState::Close => "close",
            LineState::Unknown => "unknown",
        }
    }

    pub(super) fn for_verdict(verdict: Verdict) -> LineState {
        match verdict {
            Verdict::Breach => LineState::Over,
            Verdict::CannotJudge => LineState::Unknown,
            Verdict::Near | Verdict::Meets | Verdict::NotInForce => LineState::Close,
        }
    }
}

/// What to do, numbered through.
pub(super) fn lists(view: &View<'_>) -> DoLists {
    let mut number = 0;
    let lists = view.to_do.parts().into_iter().map(|(title, lines)| DoList {
        title,
        lines: lines
            .iter()
            .map(|line| {
                number += 1;
                line_of(view, title, number, line)
            })
            .collect(),
    });
    let mut lists: Vec<DoList> = lists.collect();
    choose(&mut lists);
    let mut by_finding: HashMap<usize, Vec<usize>> = HashMap::new();
    for line in lists.iter().flat_map(|list| &list.lines) {
        for at in &line.findings {
            by_finding.entry(*at).or_default().push(line.number);
        }
    }
    DoLists { lists, by_finding }
}

fn line_of(view: &View<'_>, title: &str, number: usize, line: &ActionLine) -> DoLine {
    let findings = line.findings.iter().filter_map(|at| view.findings.get(*at));
    let verdicts: Vec<Verdict> = findings.map(|finding| finding.verdict).collect();
    // A line with a known fact is about that fact.
    let known = verdicts.iter().filter(|it| **it != Verdict::CannotJudge);
    let worst = known.min().or(verdicts.first()).copied();
    let state = match (title, worst) {
        ("Now", _) => LineState::Now,
        (_, Some(verdict)) => LineState::for_verdict(verdict),
        (_, None) => LineState::Unknown,
    };
    let note = [
        line.person.as_deref(),
        line.deadline.as_deref(),
        Some(line.law.as_str()),
    ];
    let note: Vec<&str> = note
        .into_iter()
        .flatten()
        .filter(|part| !part.is_empty())
        .collect();
    let subjects: Vec<&Subject> = line.subjects.iter().collect();
    DoLine {
        number,
        action: line.text.clone(),
        why: if line.says_all {
            String::new()
        } else {
            line.fact.clone()
        },
        note: note.join(" · "),
        state,
        who: line.person.iter().cloned().collect(),
        rooms: view.rooms_of(&subjects, &line.findings),
        findings: line.findings.clone(),
        on_sheet: false,
    }
}

/// Chooses what the first sheet has room for: the first line of each list, then the others in their order.
fn choose(lists: &mut [DoList]) {
    let mut left =
        ROWS.saturating_sub(4 * lists.iter().filter(|list| !list.lines.is_empty()).count());
    let first = lists.iter_mut().filter_map(|list| list.lines.first_mut());
    for line in first {
        line.on_sheet = true;
        left = left.saturating_sub(line.quarters());
    }
    for list in lists {
        for line in list.lines.iter_mut().skip(1) {
            let Some(rest) = left.checked_sub(line.quarters()) else {
                left = 0;
                break;
            };
            line.on_sheet = true;
            left = rest;
        }
    }
}

impl DoLine {
    /// How high it is on paper, in quarters of a row.
    fn quarters(&self) -> usize {
        let rows = |text: &str, letters: usize| 4 * text.chars().count().div_ceil(letters);
        rows(&self.action, 46) + rows(&self.why, 52) + rows(&self.note, 58) + 2
    }
}

/// Who undertook to put one of these findings right.
pub(super) fn people(view: &View<'_>, findings: &[&Finding]) -> Vec<String> {
    let open = view
        .actions
        .iter()
        .filter(|row| row.state != ActionState::Closed);
    let about = open.filter(|row| {
        let mut findings = findings.iter();
        findings.any(|finding| {
            let rule = row.action.rule.as_deref();
            let subject = row.action.subject.as_deref();
            rule.is_some_and(|rule| finding.is_named(rule))
                && subject.is_none_or(|subject| subject == finding.subject.id)
        })
    });
    let mut people: Vec<String> = about.filter_map(|row| row.action.who.clone()).collect();
    people.sort();
    people.dedup();
    people
}

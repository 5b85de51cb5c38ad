//! The JSON of month against month, and of actions.

use super::against::{ActionRow, Against, Change};
use super::json::SubjectOut;
use crate::finding::Verdict;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct AgainstOut<'a> {
    file: Option<&'a str>,
    on: Option<String>,
    new: Vec<ChangeOut<'a>>,
    standing: Vec<ChangeOut<'a>>,
    cleared: Vec<ChangeOut<'a>>,
    packs_left_out: &'a [String],
    passed_over: Vec<PassedOver<'a>>,
}

#[derive(Serialize)]
struct PassedOver<'a> {
    file: &'a str,
    why: &'a str,
}

#[derive(Serialize)]
struct ChangeOut<'a> {
    rule: &'a str,
    pack: &'a str,
    subject: SubjectOut<'a>,
    title: &'a str,
    was: Option<&'static str>,
    is: Option<&'static str>,
    since: String,
}

#[derive(Serialize)]
pub(super) struct ActionOut<'a> {
    action: &'a str,
    rule: Option<&'a str>,
    subject: Option<&'a str>,
    what: &'a str,
    who: Option<&'a str>,
    by: Option<String>,
    closed: Option<String>,
    initials: Option<&'a str>,
    note: Option<&'a str>,
    state: &'static str,
    remark: Option<&'static str>,
}

pub(super) fn against(against: &Against) -> AgainstOut<'_> {
    AgainstOut {
        file: against.earlier.as_ref().map(|(file, _)| file.as_str()),
        on: against.earlier.as_ref().map(|(_, on)| on.to_string()),
        new: against.new.iter().map(change).collect(),
        standing: against.standing.iter().map(change).collect(),
        cleared: against.cleared.iter().map(change).collect(),
        packs_left_out: &against.left_out,
        passed_over: against
            .passed_over
            .iter()
            .map(|(file, why)| PassedOver { file, why })
            .collect(),
    }
}

fn change(change: &Change) -> ChangeOut<'_> {
    ChangeOut {
        rule: &change.key.rule,
        pack: &change.key.pack,
        subject: SubjectOut {
            kind: &change.key.kind,
            id: &change.key.subject,
        },
        title: &change.title,
        was: change.was.map(Verdict::word),
        is: change.is.map(Verdict::word),
        since: change.since.to_string(),
    }
}

pub(super) fn actions<'a>(rows: &'a [ActionRow<'_>]) -> Vec<ActionOut<'a>> {
    rows.iter()
        .map(|row| ActionOut {
            action: &row.action.id,
            rule: row.action.rule.as_deref(),
            subject: row.action.subject.as_deref(),
            what: &row.action.what,
            who: row.action.who.as_deref(),
            by: row.action.by.map(|day| day.to_string()),
            closed: row.action.closed.map(|day| day.to_string()),
            initials: row.action.initials.as_deref(),
            note: row.action.note.as_deref(),
            state: row.state.word(),
            remark: row.remark,
        })
        .collect()
}

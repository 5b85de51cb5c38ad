//! `checks.csv`: answers of the round.

use super::row::Fields;
use crate::quantity::Moment;
use crate::record::RecordFault;
use crate::text::{Problem, Problems, Shape, Span};

/// The columns of `checks.csv`.
pub static CHECKS: Shape = Shape {
    file: "checks.csv",
    must: &["when", "check", "answer"],
    may: &["where", "by", "note", "written", "id"],
};

/// The words of an answer: yes, no, or `None` for "not present here".
pub const ANSWERS: [(&str, Option<bool>); 3] = [
    ("yes", Some(true)),
    ("no", Some(false)),
    ("not present", None),
];

/// The word of a row that takes back the answer before it.
pub const VOID: &str = "void";

/// What a row says: an answer, or that the one before is taken back.
const SAID: [(&str, Option<Option<bool>>); 4] = [
    ("yes", Some(Some(true))),
    ("no", Some(Some(false))),
    ("not present", Some(None)),
    (VOID, None),
];

/// The word of an answer that a person typed, in full or in short.
pub fn typed_answer(typed: &str) -> Option<&'static str> {
    match typed.trim().to_lowercase().as_str() {
        "yes" | "y" | "ok" => Some("yes"),
        "no" | "n" => Some("no"),
        "not present" | "n/a" | "na" | "none" | "p" => Some("not present"),
        _ => None,
    }
}

#[derive(Clone, Debug)]
pub struct Answer {
    /// When it was given.
    pub when: Moment,
    pub check: String,
    /// What it is about; empty for the shop.
    pub place: String,
    /// Yes, no, or `None` for "not present here".
    pub answer: Option<bool>,
    pub by: Option<String>,
    pub note: Option<String>,
    /// The id under which it was sent, which also names its photo.
    pub id: Option<String>,
    /// Where the row is.
    pub at: Span,
    /// Where the question's word is.
    pub check_at: Span,
    /// Where the thing's name is.
    pub place_at: Span,
}

/// A row of checks.csv.
#[derive(Clone, Debug)]
pub(super) struct AnswerRow {
    answer: Answer,
    /// Does it take back the answer before it?
    is_void: bool,
}

/// The answers that still count. A row that says `void` takes back the last answer to its question about its thing that is not
/// later than it is.
pub(super) fn that_count(rows: &[AnswerRow], problems: &mut Problems) -> Vec<Answer> {
    let mut counting: Vec<Answer> = Vec::with_capacity(rows.len());
    for AnswerRow { answer, is_void } in rows {
        if !is_void {
            counting.push(answer.clone());
            continue;
        }
        let same = |it: &Answer| {
            it.check == answer.check && it.place == answer.place && it.when <= answer.when
        };
        match counting.iter().rposition(same) {
            Some(at) => {
                counting.remove(at);
            }
            None => {
                let check = answer.check.clone();
                problems.add(Problem::new(RecordFault::VoidsNothing { check }, answer.at));
            }
        }
    }
    counting
}

impl AnswerRow {
    /// When it was written for.
    pub(super) fn when(&self) -> Moment {
        self.answer.when
    }
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<AnswerRow> {
    let (when, check) = (fields.day_or_moment(0), fields.must(1).map(str::to_string));
    let said = fields.must(2).and_then(|_| fields.word(2, &SAID))?;
    let answer = Answer {
        when: when?,
        check: check?,
        place: fields.owned(3).unwrap_or_default(),
        answer: said.flatten(),
        by: fields.owned(4),
        note: fields.owned(5),
        id: fields.owned(7),
        at: fields.row.span(),
        check_at: fields.span(1),
        place_at: fields.span(3),
    };
    Some(AnswerRow {
        answer,
        is_void: said.is_none(),
    })
}

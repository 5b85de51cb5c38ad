//! `checks.csv`: answers of the round.

use super::row::Fields;
use crate::quantity::Moment;
use crate::text::{Shape, Span};

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

/// The word of an answer that a person typed, in full or in short.
pub fn typed_answer(typed: &str) -> Option<&'static str> {
    match typed.trim().to_lowercase().as_str() {
        "yes" | "y" | "ok" => Some("yes"),
        "no" | "n" => Some("no"),
        "not present" | "n/a" | "na" | "none" | "p" => Some("not present"),
        _ => None,
    }
}

/// One answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// When it was given.
    pub when: Moment,
    /// The question's word.
    pub check: String,
    /// What it is about; empty for the shop.
    pub place: String,
    /// Yes, no, or `None` for "not present here".
    pub answer: Option<bool>,
    /// Who gave it.
    pub by: Option<String>,
    /// The remark.
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

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Answer> {
    let (when, check) = (fields.day_or_moment(0), fields.must(1).map(str::to_string));
    let answer = fields.must(2).and_then(|_| fields.word(2, &ANSWERS));
    Some(Answer {
        when: when?,
        check: check?,
        place: fields.owned(3).unwrap_or_default(),
        answer: answer?,
        by: fields.owned(4),
        note: fields.owned(5),
        id: fields.owned(7),
        at: fields.row.span(),
        check_at: fields.span(1),
        place_at: fields.span(3),
    })
}

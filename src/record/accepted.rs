//! `accepted.csv`: findings that the owner or the authority accepts, for a time and with a reason.

use super::row::Fields;
use crate::quantity::Day;
use crate::text::{Shape, Span};

/// The columns.
pub static ACCEPTED: Shape = Shape {
    file: "accepted.csv",
    must: &["rule", "subject", "why", "by", "until"],
    may: &["note"],
};

#[derive(Clone, Debug)]
pub struct Acceptance {
    pub rule: String,
    /// The subject of the finding.
    pub subject: String,
    pub why: String,
    pub by: String,
    /// The last day on which it holds.
    pub until: Day,
    /// Where the row is.
    pub at: Span,
    /// Where the rule's name is.
    pub rule_at: Span,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Acceptance> {
    let mut must = |column| fields.must(column).map(str::to_string);
    let (rule, subject, why, by) = (must(0), must(1), must(2), must(3));
    let until = fields.must(4).and_then(|_| fields.day(4));
    Some(Acceptance {
        rule: rule?,
        subject: subject?,
        why: why?,
        by: by?,
        until: until?,
        at: fields.row.span(),
        rule_at: fields.span(0),
    })
}

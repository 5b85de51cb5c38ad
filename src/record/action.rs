//! `actions.csv`: corrective actions with a deadline. An action is open until it is closed with a day and initials.

use super::row::Fields;
use crate::quantity::Day;
use crate::text::{Shape, Span};

/// The columns.
pub static ACTIONS: Shape = Shape {
    file: "actions.csv",
    must: &["action", "what"],
    may: &["rule", "subject", "who", "by", "closed", "initials", "note"],
};

#[derive(Clone, Debug)]
pub struct Action {
    pub id: String,
    /// What is to be done.
    pub what: String,
    /// The rule whose finding it answers; none where it came from elsewhere.
    pub rule: Option<String>,
    /// The subject of that finding; none for every subject of the rule.
    pub subject: Option<String>,
    pub who: Option<String>,
    /// By when.
    pub by: Option<Day>,
    /// The day it was done.
    pub closed: Option<Day>,
    pub initials: Option<String>,
    /// What else there is to say.
    pub note: Option<String>,
    /// Where the row is.
    pub at: Span,
    /// Where the rule's name is.
    pub rule_at: Span,
}

impl Action {
    /// Was it done by that day: closed, with initials?
    pub fn is_done(&self, on: Day) -> bool {
        self.initials.is_some() && self.closed.is_some_and(|day| day <= on)
    }
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Action> {
    let (id, what) = (fields.name(0), fields.must(1));
    let (by, closed) = (fields.day(5), fields.day(6));
    Some(Action {
        id: id?.to_string(),
        what: what?.to_string(),
        rule: fields.owned(2),
        subject: fields.owned(3),
        who: fields.owned(4),
        by,
        closed,
        initials: fields.owned(7),
        note: fields.owned(8),
        at: fields.row.span(),
        rule_at: fields.span(2),
    })
}

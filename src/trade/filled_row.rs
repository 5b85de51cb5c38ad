//! What a filled-in sheet of the round says, and what it is read with.

use super::round::Round;
use crate::quantity::{Amount, Day, Moment};
use crate::record::{ContainerId, ShopTables};
use crate::text::Span;

/// One row that was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FilledRow {
    /// The container, or the question's word.
    pub name: String,
    /// What a question is about, as `checks.csv` writes it; empty for the shop, and for a count.
    pub about: String,
    /// The amount with its unit, or the answer.
    pub told: String,
    pub when: String,
    pub by: String,
    pub note: String,
    /// Where the row is.
    pub at: Span,
}

/// What a filled-in sheet says.
#[derive(Clone, Debug, Default)]
pub struct Filled {
    /// Containers counted.
    pub counts: Vec<FilledRow>,
    /// Questions answered.
    pub answers: Vec<FilledRow>,
    /// Rows that were not looked at.
    pub passed: usize,
    /// The day on which the sheet was printed, if it says.
    pub printed: Option<Day>,
}

/// Finds a row that was written before: the row, whether it is a count, and the day on which the sheet was printed.
pub type FindWritten<'a> = dyn Fn(&FilledRow, bool, Option<Day>) -> Option<Span> + 'a;

/// What a filled-in sheet is read with.
pub struct RoundInput<'a> {
    pub tables: &'a ShopTables,
    pub round: &'a Round,
    /// The moment of rows that give none of their own.
    pub when: Option<Moment>,
    /// Where a count (true) or an answer of that moment is in the shop's tables already, so that nothing is entered twice. What comes
    /// from a sheet printed on that day is looked for by its caller.
    pub there: &'a FindWritten<'a>,
    /// What a container holds by the book at a moment.
    pub book: &'a dyn Fn(ContainerId, Moment) -> Option<Amount>,
}

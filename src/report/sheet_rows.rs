//! The rows of a round: what a person counts, answers and looks at.

use crate::quantity::Day;

/// The sheet of one round.
pub struct RoundSheet {
    pub shop: String,
    /// The day it is printed for.
    pub on: Day,
    /// Room by room, then the shop as a whole.
    pub legs: Vec<Leg>,
    /// Containers that are empty by the book.
    pub empty: Vec<String>,
    /// How many rows bear a number.
    pub rows: usize,
}

/// A room, or what belongs to none.
pub struct Leg {
    pub title: String,
    /// Its name in the tables; empty for what belongs to no room.
    pub room: String,
    /// In walking order.
    pub lines: Vec<RoundLine>,
}

pub struct RoundLine {
    /// Its number; rows without one are looked at, and what is found is written elsewhere.
    pub number: Option<usize>,
    /// The place or fixture; empty for the room as a whole.
    pub place: String,
    pub ask: Ask,
}

/// What a row asks.
pub enum Ask {
    /// Count what a container holds.
    Count(RoundCount),
    /// Answer a question.
    Check(RoundCheck),
    /// Look, and write what is found where the words say.
    Look {
        what: String,
        /// How it should be.
        should: String,
    },
}

/// A container to count.
pub struct RoundCount {
    pub container: String,
    pub product: String,
    /// What the book says it holds; "not known" if it says nothing.
    pub expected: String,
    /// The unit in which a bare number is read; empty where none can be told.
    pub unit: &'static str,
    /// What else to mind.
    pub remark: String,
}

/// A question to answer.
pub struct RoundCheck {
    pub check: String,
    /// What it is about, as `checks.csv` writes it.
    pub about: String,
    pub question: String,
    /// What a yes means.
    pub pass: String,
    /// Must it be?
    pub must: bool,
    /// "Not present" is a good answer.
    pub may_be_absent: bool,
    /// When it is due, and when it was last answered.
    pub due: String,
    /// It was answered before.
    pub answered: bool,
}

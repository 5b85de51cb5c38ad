//! What is unknown of a table, because rows of it could not be read: it is said of no name that it is missing there.

use std::collections::HashSet;

/// What is known of the rows of a table that could not be read.
#[derive(Default)]
pub(super) struct Doubt {
    /// Their first cells: there are such things, and something else is wrong with them.
    pub refused: HashSet<String>,
    /// Not even that is known of some rows, or of the whole table.
    pub torn: bool,
}

impl Doubt {
    /// Can it be said that a name that was not read is not there?
    pub fn none_about(&self, name: &str) -> bool {
        !self.torn && !self.refused.contains(name)
    }

    /// What is in doubt in this table or in another one.
    pub fn and(mut self, other: Doubt) -> Doubt {
        self.torn |= other.torn;
        self.refused.extend(other.refused);
        self
    }
}

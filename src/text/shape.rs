//! The columns that a table has or may have.

/// The columns of a table. A column's number is its position in `must` followed by `may`.
#[derive(Debug)]
pub struct Shape {
    /// The file's usual name.
    pub file: &'static str,
    /// Columns that must be there.
    pub must: &'static [&'static str],
    /// Columns that may be there.
    pub may: &'static [&'static str],
}

impl Shape {
    /// The name of a column by its number.
    pub fn name(&self, column: usize) -> &'static str {
        self.must
            .iter()
            .chain(self.may)
            .nth(column)
            .copied()
            .unwrap_or("?")
    }

    /// The names of all columns.
    pub fn all(&self) -> impl Iterator<Item = &'static str> {
        self.must.iter().chain(self.may).copied()
    }
}

//! Holds tables against the rows that they must have, while they are read.

use super::expected::{ExpectedRows, RowCheck};
use super::file::Files;
use super::span::FileId;

impl Files {
    /// Expects rows in a table.
    pub fn expect(&mut self, file: FileId, rows: ExpectedRows) {
        self.expected.push((file, rows));
    }

    /// Was a table read to its end that lacks a row, or has them in another order or spelling? It must then be looked at
    /// closely.
    pub fn lacks_rows(&self, file: FileId) -> bool {
        let has_all = |rows: &ExpectedRows| rows.has_all.get().copied();
        self.expected_of(file).and_then(has_all) == Some(false)
    }

    /// Follows a table that was not read to its end yet.
    pub(super) fn row_check(&self, file: FileId) -> Option<RowCheck> {
        let rows = self.expected_of(file)?;
        if rows.has_all.get().is_some() {
            return None;
        }
        let check = rows.check();
        if check.is_none() {
            let _ = rows.has_all.set(false);
        }
        check
    }

    pub(super) fn row_checked(&self, file: FileId, check: &RowCheck) {
        if let Some(rows) = self.expected_of(file) {
            let _ = rows.has_all.set(check.has_all());
            let _ = rows.seen.set(check.rows());
        }
    }

    /// How many rows a watched table has, once it was read to its end.
    pub fn rows_seen(&self, file: FileId) -> Option<u64> {
        self.expected_of(file)?.seen.get().copied()
    }

    fn expected_of(&self, file: FileId) -> Option<&ExpectedRows> {
        let found = self.expected.iter().find(|(of, _)| *of == file);
        found.map(|(_, rows)| rows)
    }
}

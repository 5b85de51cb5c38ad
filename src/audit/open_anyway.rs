//! A shop of which rows are lost, opened for one entry more: whoever has a wet rag in hand must be able to log it. What is lost stays
//! lost and is reported, until it is brought back or the change is accepted.

use super::NotAudited;
use super::lost::look_for_lost;
use super::shop::Shop;
use crate::files::{Change, KeptRow, LostRows};
use crate::text::Problems;
use std::path::Path;

/// The tables whose rows are known.
const WATCHED: [&str; 2] = ["log.csv", "checks.csv"];

impl Shop {
    /// As [`Shop::open_with`], for an entry that is written anyway: lost rows and other copies of a table are borne, and
    /// [`Shop::lost_rows`] says which.
    pub fn open_anyway(folder: &Path, changes: &[Change]) -> Result<Shop, NotAudited> {
        Shop::open_bearing(folder, &[], changes, true)
    }

    /// The rows that are lost, once the log was read, and other copies of a table that were borne.
    pub fn lost_rows(&self) -> Problems {
        let mut problems = Problems::new();
        for problem in self.borne.sorted() {
            problems.add(problem);
        }
        self.add_lost(&mut problems);
        problems
    }

    /// The names of entries that were written into the log and are gone or changed, so that no other entry gets them.
    pub fn lost_entries(&self) -> std::io::Result<Vec<String>> {
        let (Some(folder), Some(log)) = (&self.folder, self.tables.log) else {
            return Ok(Vec::new());
        };
        if !self.files.lacks_rows(log) {
            return Ok(Vec::new());
        }
        let name = |row: &KeptRow| row.cell("entry").to_string();
        let lost = LostRows::find(folder, "log.csv")?;
        let changed = lost.changed.iter().map(|row| name(&row.was));
        Ok(lost.gone.iter().map(name).chain(changed).collect())
    }

    /// How many rows the tables have that were read to their end.
    pub fn rows_seen(&self) -> Vec<(&'static str, u64)> {
        let seen = |table: &&'static str| {
            let mut files = self.table_files().iter();
            let (_, file) = files.find(|(name, _)| name == table)?;
            Some((*table, self.files.rows_seen(*file)?))
        };
        WATCHED.iter().filter_map(seen).collect()
    }

    /// Notes which rows of the log are gone that were written into it.
    pub(super) fn add_lost(&self, problems: &mut Problems) {
        let folder = self.folder.as_deref();
        look_for_lost(folder, "log.csv", &self.files, self.tables.log, problems);
    }
}

//! How many rows an audit saw in a table, so that rows typed by hand cannot disappear unnoticed afterwards. The number is kept in
//! the index of the journal, see `row_index.rs`.

use super::change::Note;
use super::journal::Journal;
use super::lost_rows::count_rows;
use super::row_index::{RowIndex, journal_length};
use std::io::Result;
use std::path::Path;

/// Notes how many rows were seen in watched tables: from then on, fewer are reported. A folder that cannot be written keeps no
/// such note, and nothing fails for it. The caller does not hold the folder for reading. Gives what was finished meanwhile.
pub fn note_rows(folder: &Path, seen: &[(&'static str, u64)]) -> Vec<Note> {
    let least = |table: &str| RowIndex::read(folder, table).map_or(0, |index| index.least);
    if seen.iter().all(|(table, rows)| *rows <= least(table)) {
        return Vec::new();
    }
    let Ok((journal, notes)) = Journal::hold(folder) else {
        return Vec::new();
    };
    for (table, rows) in seen {
        let _noted = note_rows_of(&journal.folder, table, *rows);
    }
    notes
}

fn note_rows_of(folder: &Path, table: &'static str, seen: u64) -> Result<()> {
    // A row that went away since then was taken away knowingly, or is missed by the audit's next run.
    let rows = seen.min(count_rows(&folder.join(table))?);
    let journal = journal_length(folder);
    match RowIndex::of_journal(folder, table, journal) {
        Some(mut index) if index.least < rows => {
            index.least = rows;
            index.add(folder, table, &[])
        }
        None if journal == 0 => {
            let index = RowIndex {
                journal,
                count: 0,
                least: rows,
            };
            index.write(folder, table, &[])
        }
        Some(_) | None => Ok(()),
    }
}

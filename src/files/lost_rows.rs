//! Which of the rows that were written into a table are gone or changed, by a close look at table and journal. In goes a
//! folder; out come the rows. Memory grows by some bytes for each row, and not by its text.

use super::kept_rows::{JOURNAL, KEPT, KeptRow, each_row};
use super::lost_fault::LostFault;
use super::row_index::{RowIndex, journal_length};
use super::table_text::each_record;
use crate::text::{Extent, FileId, Problem, Problems, Span};
use std::collections::HashMap;
use std::io::{ErrorKind, Result};
use std::path::Path;
use std::sync::Arc;

/// What became of the rows that were written into a table.
#[derive(Debug, Default)]
pub struct LostRows {
    /// Rows that the table no longer has.
    pub gone: Vec<KeptRow>,
    /// Rows that say something else now.
    pub changed: Vec<ChangedRow>,
    /// The table has so many rows, and had so many when the last one was written.
    pub fewer: Option<(u64, u64)>,
    /// How each row that is there is spelled, in the order of the table.
    pub(super) there: Vec<u64>,
    /// All rows of the table.
    pub(super) rows: u64,
}

/// A row that says something else than what was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangedRow {
    /// As it was written.
    pub was: KeptRow,
    /// As it is.
    pub is: KeptRow,
    /// The byte at which it begins.
    pub byte: u64,
}

impl LostRows {
    pub fn none(&self) -> bool {
        self.gone.is_empty() && self.changed.is_empty() && self.fewer.is_none()
    }

    /// Looks closely.
    pub fn find(folder: &Path, table: &'static str) -> Result<LostRows> {
        let journal = folder.join(JOURNAL);
        let mut wanted = RowsWanted::default();
        each_row(&journal, table, |sign, row| wanted.count(sign, &row))?;
        let mut found = LostRows::default();
        each_table_row(&folder.join(table), |_, row| {
            found.rows += 1;
            if wanted.take(&row) {
                found.there.push(row.spelling());
            }
        })?;
        found.fewer = least_rows(folder, table)
            .filter(|least| found.rows < *least)
            .map(|least| (found.rows, least));
        if wanted.0.is_empty() {
            return Ok(found);
        }
        let mut lost: HashMap<Vec<String>, KeptRow> = HashMap::new();
        each_row(&journal, table, |sign, row| {
            if sign == KEPT && wanted.has(&row) {
                lost.insert(row.key(table), row);
            }
        })?;
        each_table_row(&folder.join(table), |byte, is| {
            if let Some(was) = lost.get(&is.key(table))
                && was.meaning() != is.meaning()
            {
                let was = was.clone();
                found.changed.push(ChangedRow { was, is, byte });
            }
        })?;
        for row in &found.changed {
            lost.remove(&row.was.key(table));
        }
        found.gone = lost.into_values().collect();
        found
            .gone
            .sort_by_key(|row| (row.cell("when").to_string(), row.key(table)));
        Ok(found)
    }

    /// The problems to report, in a file of that number.
    pub fn problems(&self, table: &'static str, file: FileId, problems: &mut Problems) {
        let whole = Span::whole(file);
        if !self.gone.is_empty() {
            let rows = self.gone.iter().map(KeptRow::shown).collect();
            problems.add(Problem::new(LostFault::Gone { table, rows }, whole));
        }
        for row in &self.changed {
            let fault = LostFault::Changed {
                table,
                was: row.was.shown(),
            };
            let extent = Extent::Row(row.byte);
            problems.add(Problem::new(fault, Span { file, extent }));
        }
        if let (Some((now, then)), true) = (self.fewer, self.gone.is_empty()) {
            problems.add(Problem::new(LostFault::Fewer { table, now, then }, whole));
        }
    }
}

/// How often each meaning is wanted.
#[derive(Default)]
struct RowsWanted(HashMap<u64, i64>);

impl RowsWanted {
    fn count(&mut self, sign: u8, row: &KeptRow) {
        let meaning = row.meaning();
        let count = self.0.entry(meaning).or_default();
        *count += if sign == KEPT { 1 } else { -1 };
        if *count == 0 {
            self.0.remove(&meaning);
        }
    }

    fn has(&self, row: &KeptRow) -> bool {
        self.0.get(&row.meaning()).is_some_and(|count| *count > 0)
    }

    /// Takes a row that is there; was it wanted?
    fn take(&mut self, row: &KeptRow) -> bool {
        let has = self.has(row);
        if has {
            self.count(0, row);
        }
        has
    }
}

/// How many rows the table had; an index is believed in this even where it lags behind the journal.
fn least_rows(folder: &Path, table: &str) -> Option<u64> {
    let journal = journal_length(folder);
    let index = RowIndex::read(folder, table);
    index
        .filter(|index| index.journal <= journal)
        .map(|index| index.least)
}

/// The columns of a table.
pub(super) fn table_columns(path: &Path) -> Result<Vec<String>> {
    let mut columns = Vec::new();
    each_record(path, |_, record| {
        columns = names(record.iter());
        false
    })?;
    Ok(columns)
}

/// The names of columns, in small letters.
fn names<'c>(cells: impl Iterator<Item = &'c [u8]>) -> Vec<String> {
    let name = |cell: &[u8]| {
        let cell = String::from_utf8_lossy(cell);
        let cell = cell.trim_start_matches('\u{feff}').trim();
        cell.to_ascii_lowercase()
    };
    cells.map(name).collect()
}

/// How many rows a table has.
pub(super) fn count_rows(path: &Path) -> Result<u64> {
    let mut rows = 0_u64;
    each_record(path, |_, record| {
        rows += u64::from(!record.as_slice().trim_ascii().is_empty());
        true
    })?;
    Ok(rows.saturating_sub(1))
}

/// Hands on each row of a table with the byte at which it begins. A table that is not there has none.
pub(super) fn each_table_row(path: &Path, mut each: impl FnMut(u64, KeptRow)) -> Result<()> {
    let mut columns: Option<Arc<Vec<String>>> = None;
    let read = each_record(path, |byte, record| {
        let Some(columns) = &columns else {
            columns = Some(Arc::new(names(record.iter())));
            return true;
        };
        let cells = record.iter().map(String::from_utf8_lossy);
        let cells: Vec<String> = cells.map(|cell| cell.into_owned()).collect();
        if cells.iter().any(|cell| !cell.trim().is_empty()) {
            let columns = Arc::clone(columns);
            each(byte, KeptRow { columns, cells });
        }
        true
    });
    match read {
        Err(fault) if fault.kind() == ErrorKind::NotFound => Ok(()),
        read => read,
    }
}

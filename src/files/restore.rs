//! What a person decides about rows that a table lacks: to bring them back, or to accept that they are gone.

use super::change::{Added, Refused};
use super::journal::Journal;
use super::kept_rows::{DROPPED, KEPT, KeptRow, as_lines};
use super::lost_rows::LostRows;
use super::row_index::RowIndex;
use super::table_end::NamedCells;
use crate::text::{Locale, Shape, clean};

/// Rows that were brought back.
#[derive(Debug)]
pub struct Restored {
    /// They are in the table again.
    pub rows: Vec<KeptRow>,
    /// What else is wrong with the table.
    pub left: LostRows,
}

impl Journal {
    /// What became of the rows that were written into a table.
    pub fn lost(&self, table: &'static str) -> Result<LostRows, Refused> {
        LostRows::find(&self.folder, table).map_err(|why| Refused::Unread(table.to_string(), why))
    }

    /// Puts the rows that a table lacks at its end. A row that says something else now stays as it is.
    pub fn restore(&self, shape: &'static Shape) -> Result<Restored, Refused> {
        let (end, _) = self.end_of(shape)?;
        let mut left = self.lost(shape.file)?;
        let rows = std::mem::take(&mut left.gone);
        if !rows.is_empty() {
            let as_row = |row: &KeptRow| -> NamedCells {
                let cells = shape
                    .all()
                    .map(|column| (column, row.cell(column).to_string()));
                cells.collect()
            };
            // They are spelled as they were written.
            let rows_again: Vec<NamedCells> = rows.iter().map(as_row).collect();
            let mut change = end.with(&rows_again, &Locale::default());
            // They are in the journal already.
            change.added = Added::default();
            self.write(&[change])?;
            // A reader looks closely where there is no index.
            let _indexed = self.index(false);
        }
        Ok(Restored { rows, left })
    }

    /// Accepts a table as it is. The journal keeps when, by whom and why.
    pub fn accept(
        &self,
        table: &'static str,
        (when, by, note): (&str, &str, &str),
    ) -> Result<LostRows, Refused> {
        let lost = self.lost(table)?;
        if lost.none() {
            return Ok(lost);
        }
        let one_line = |text: &str| clean(text).replace(['\t', '\r', '\n'], " ");
        let [when, by, note] = [when, by, note].map(one_line);
        let mut text = format!("accept\t{table}\t{when}\t{by}\t{note}\n").into_bytes();
        let changed = lost.changed.iter();
        for row in lost.gone.iter().chain(changed.clone().map(|row| &row.was)) {
            text.extend(as_lines(table, DROPPED, &alone(row)));
        }
        for row in changed {
            text.extend(as_lines(table, KEPT, &alone(&row.is)));
        }
        text.extend(self.done());
        self.add(&text).map_err(|why| self.fault(why))?;
        // It is accepted by now. An index that asks for more rows goes; a reader looks closely where there is none.
        if self.index(true).is_err() {
            let _forgotten = RowIndex::forget(&self.folder, table);
        }
        Ok(lost)
    }

    /// Makes the indexes again where a table has all its rows, though in another order or spelling than before.
    pub fn settle_order(&self) {
        let _indexed = self.index(false);
    }
}

fn alone(row: &KeptRow) -> Added {
    Added {
        columns: row.columns.to_vec(),
        rows: vec![row.cells.clone()],
    }
}

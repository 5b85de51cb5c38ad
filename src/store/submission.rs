//! What a caller wants written, and whether it is there already.

use crate::files::{NamedCells, TableEnd, cell_of, with_plain_breaks};
use crate::text::{Locale, Shape};
use std::collections::HashMap;

/// In the column `from`: the rags that the entry before this one, of the same submission, soiled.
pub const ENTRY_BEFORE: &str = "the entry before";

/// A row to be. Its number, id and time of writing are added by the store.
#[derive(Clone, Debug)]
pub struct NewRow {
    pub table: &'static Shape,
    /// The cells, by column.
    pub cells: NamedCells,
}

/// Rows that belong together: all are written, or none is.
#[derive(Clone, Debug, Default)]
pub struct Submission {
    /// The caller's own id. What bears one is written once, however often it is sent.
    pub id: Option<String>,
    pub rows: Vec<NewRow>,
}

impl NewRow {
    /// A row with these cells.
    pub fn new(table: &'static Shape, cells: &[(&'static str, &str)]) -> NewRow {
        let cells = cells
            .iter()
            .map(|(name, cell)| (*name, (*cell).to_string()));
        NewRow {
            table,
            cells: cells.collect(),
        }
    }

    /// A cell by its column.
    pub fn cell(&self, column: &str) -> &str {
        cell_of(&self.cells, column)
    }

    /// Does the table have such a column?
    pub(super) fn takes(&self, column: &str) -> bool {
        self.table.must.contains(&column) || self.table.may.contains(&column)
    }
}

impl Submission {
    /// Rows without an id.
    pub fn without_id(rows: Vec<NewRow>) -> Submission {
        Submission { id: None, rows }
    }

    /// Do these rows, which bear its id, say what it says? Only some tables have a column for the id.
    pub(super) fn is_said_by(&self, there: &[NamedCells]) -> bool {
        let rows = || self.rows.iter().filter(|row| row.takes("id"));
        let same = |row: &NewRow, there: &NamedCells| {
            let cell = |column: &str| there.iter().find(|(name, _)| *name == column);
            let text = |column: &str| cell(column).map_or("", |(_, text)| text.trim());
            let mut cells = row.cells.iter();
            cells.all(|(column, written)| {
                with_plain_breaks(text(column)) == with_plain_breaks(written.trim())
            })
        };
        rows().count() == there.len() && rows().all(|row| there.iter().any(|it| same(row, it)))
    }
}

/// The rows that bear the id of one of these submissions, by id.
pub(super) fn rows_by_id(
    submissions: &[Submission],
    tables: &[TableEnd],
    locale: &Locale,
) -> HashMap<String, Vec<NamedCells>> {
    let ids: Vec<&str> = submissions
        .iter()
        .filter_map(|it| it.id.as_deref())
        .collect();
    let mut found: HashMap<String, Vec<NamedCells>> = HashMap::new();
    if ids.is_empty() {
        return found;
    }
    // Most ids are new, and a table that does not have their letters anywhere need not be taken apart.
    let named = tables
        .iter()
        .filter(|table| ids.iter().any(|id| table.has_letters(id)));
    for row in named.flat_map(|table| table.rows(locale)) {
        let id = row
            .iter()
            .find(|(name, _)| *name == "id")
            .map(|(_, id)| id.trim());
        if let Some(id) = id.filter(|id| ids.contains(id)) {
            found.entry(id.to_string()).or_default().push(row);
        }
    }
    found
}

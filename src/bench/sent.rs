//! What was sent, as rows for the tables, and what became of it.

use crate::files::NamedCells;
use crate::quantity::Moment;
use crate::record::{INVENTORY, LOG, What};
use crate::store::{NewRow, Outcome, Submission};
use crate::text::Shape;

/// A row for a table, without its moment.
pub type RowOfTable = (&'static Shape, Vec<(&'static str, String)>);

/// An entry that was sent.
#[derive(Clone, Debug)]
pub struct Sent {
    /// Its id, made before it was sent first.
    pub id: String,
    /// What was done; `None` for an answer of the round.
    pub what: Option<What>,
    pub when: Moment,
    /// The rows, without their moment.
    pub rows: Vec<RowOfTable>,
    /// It has happened, whatever it breaks.
    pub anyway: bool,
    /// Its moment is the clock's, and no person gave it.
    pub by_clock: bool,
}

impl Sent {
    /// As the store takes it.
    pub fn submission(&self, when: Moment) -> Submission {
        let rows = self.rows.iter().map(|(table, cells)| {
            let mut row = NewRow {
                table,
                cells: cells.clone(),
            };
            let dated = match table.file == INVENTORY.file {
                true => ("since", when.day().to_string()),
                false => ("when", when.to_string()),
            };
            row.cells.insert(0, dated);
            row
        });
        Submission {
            id: Some(self.id.clone()),
            rows: rows.collect(),
        }
    }

    /// The entries of the log, each by its cells.
    pub fn entries(&self) -> impl Iterator<Item = &[(&'static str, String)]> {
        let entries = self.rows.iter().filter(|(table, _)| table.file == LOG.file);
        entries.map(|(_, cells)| cells.as_slice())
    }

    /// A cell of the first entry.
    pub fn cell(&self, column: &str) -> &str {
        let entry = |row: &&RowOfTable| row.0.file != INVENTORY.file;
        let cells = self
            .rows
            .iter()
            .find(entry)
            .map(|(_, cells)| cells.as_slice());
        let found = cells
            .unwrap_or_default()
            .iter()
            .find(|(name, _)| *name == column);
        found.map_or("", |(_, text)| text)
    }
}

/// What became of an entry that was written.
#[derive(Default)]
pub struct Written {
    /// The numbers of its rows in the log; none for an answer of the round.
    pub numbers: Vec<String>,
    /// It was written before.
    pub already: bool,
}

impl Written {
    /// By what the store says.
    pub fn of(outcome: &Outcome) -> Written {
        match outcome {
            Outcome::New(numbers) => Written {
                numbers: numbers.clone(),
                already: false,
            },
            Outcome::Already(rows) => Written {
                numbers: numbers(rows),
                already: true,
            },
        }
    }
}

fn numbers(rows: &[NamedCells]) -> Vec<String> {
    let cells = rows.iter().flatten();
    let entries = cells.filter(|(column, _)| *column == "entry");
    entries.map(|(_, number)| number.clone()).collect()
}

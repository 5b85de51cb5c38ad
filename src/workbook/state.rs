//! The hidden sheet of a workbook: the rows it was written with, so that only later changes are taken.

use super::rows::{TableRow, columns};
use crate::text::Shape;

/// The name of the hidden sheet.
pub(super) const SHEET: &str = "state";
/// The version of what is in it.
const FORMAT: &str = "1";

/// The rows that a workbook was written with.
#[derive(Clone, Debug, Default)]
pub(super) struct State {
    /// What tells this workbook from others.
    pub id: String,
    tables: Vec<Saved>,
}

#[derive(Clone, Debug)]
struct Saved {
    file: String,
    columns: Vec<String>,
    rows: Vec<Vec<String>>,
}

/// The lines of the hidden sheet.
pub(super) fn lines(id: &str, tables: &[(&'static Shape, Vec<TableRow>)]) -> Vec<Vec<String>> {
    let text = str::to_string;
    let mut lines = vec![vec![text("format"), text(FORMAT), text("id"), text(id)]];
    for (shape, rows) in tables {
        let names = columns(shape).into_iter().map(text);
        lines.push(
            [text("columns"), text(shape.file)]
                .into_iter()
                .chain(names)
                .collect(),
        );
        let line = |row: &TableRow| {
            let cells = row.cells.iter().cloned();
            [text("row"), text(shape.file)]
                .into_iter()
                .chain(cells)
                .collect()
        };
        lines.extend(rows.iter().map(line));
    }
    lines
}

impl State {
    /// What the lines of the hidden sheet say; `None` if they are none of ours.
    pub(super) fn read(lines: &[Vec<String>]) -> Option<State> {
        let mut state = State::default();
        for line in lines {
            match line
                .iter()
                .map(String::as_str)
                .collect::<Vec<_>>()
                .as_slice()
            {
                ["format", FORMAT, "id", id, ..] => state.id = (*id).to_string(),
                ["columns", file, columns @ ..] => state.tables.push(Saved {
                    file: (*file).to_string(),
                    columns: columns.iter().map(ToString::to_string).collect(),
                    rows: Vec::new(),
                }),
                ["row", file, cells @ ..] => {
                    let table = state.tables.last_mut().filter(|it| it.file == *file)?;
                    table
                        .rows
                        .push(cells.iter().map(ToString::to_string).collect());
                }
                _ => return None,
            }
        }
        (!state.id.is_empty()).then_some(state)
    }

    /// The rows of a table, in the order of its columns.
    pub(super) fn rows(&self, shape: &'static Shape) -> Vec<TableRow> {
        let Some(saved) = self.tables.iter().find(|it| it.file == shape.file) else {
            return Vec::new();
        };
        let place = |name: &&str| saved.columns.iter().position(|it| it == name);
        let at: Vec<Option<usize>> = columns(shape).iter().map(place).collect();
        let row = |row: &Vec<String>| {
            let cell = |at: &Option<usize>| at.and_then(|at| row.get(at).cloned());
            TableRow {
                cells: at.iter().map(|at| cell(at).unwrap_or_default()).collect(),
                at: None,
                places: Vec::new(),
            }
        };
        saved.rows.iter().map(row).collect()
    }
}

//! What can be wrong with the columns and rows of a table, whatever the table is about.

use super::cell_fault::known_or_near;
use super::problem::{Fault, Words};

/// A fault of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum TableFault {
    TooLong {
        most: usize,
    },
    HeaderBelow,
    HashRow,
    Empty {
        columns: String,
    },
    ColumnUnknown {
        column: String,
        near: Option<String>,
        known: String,
    },
    ColumnTwice {
        column: String,
    },
    ColumnMissing {
        column: &'static str,
    },
    CellCount {
        cells: usize,
        columns: usize,
        curly: bool,
        separator: u8,
    },
}

impl Fault for TableFault {
    fn code(&self) -> &'static str {
        match self {
            TableFault::TooLong { .. } => "table-too-long",
            TableFault::HeaderBelow => "header-below",
            TableFault::HashRow => "hash-row",
            TableFault::Empty { .. } => "table-empty",
            TableFault::ColumnUnknown { .. } => "column-unknown",
            TableFault::ColumnTwice { .. } => "column-twice",
            TableFault::ColumnMissing { .. } => "column-missing",
            TableFault::CellCount { .. } => "cell-count",
        }
    }

    fn words(&self) -> Words {
        match self {
            TableFault::TooLong { most } => Words::new(
                format!("The table has more than {most} rows."),
                "Put what was done into log.csv, which may have more rows.",
            ),
            TableFault::HeaderBelow => Words::new(
                "This row names no column, but a row below it does.",
                "Put the column names into the first row. Remove the rows above them, or start each with \"# \".",
            ),
            TableFault::HashRow => Words::new(
                "This line is a comment, but it has as many cells as a row.",
                "If it is a row, put its first cell in quotation marks. If it is a comment, write a space after the #.",
            ),
            TableFault::Empty { columns } => Words::new(
                "The table is empty.",
                format!("Name the columns in the first row. The table needs at least: {columns}."),
            ),
            TableFault::ColumnUnknown {
                column,
                near,
                known,
            } => Words::new(
                format!("This table has no column \"{column}\"."),
                known_or_near(near.as_deref(), known),
            ),
            TableFault::ColumnTwice { column } => Words::new(
                format!("The column \"{column}\" appears twice."),
                "Keep one of them.",
            ),
            TableFault::ColumnMissing { column } => Words::new(
                format!("The column \"{column}\" is missing."),
                "Add it to the first row. Its cells may stay empty if the value is unknown.",
            ),
            TableFault::CellCount {
                cells,
                columns,
                curly,
                separator,
            } => Words::new(
                format!(
                    "This row has {}, but the first row names {}.",
                    counted(*cells, "cell"),
                    counted(*columns, "column")
                ),
                if *curly {
                    "Curly quotation marks do not hold a cell together. Use straight ones: \"alcohol, denatured\".".to_string()
                } else {
                    let separator = match separator {
                        b';' => "semicolon",
                        b'\t' => "tab",
                        _ => "comma",
                    };
                    format!(
                        "Look for a missing or extra {separator}, or a row that was cut short. Put a cell with a {separator} in quotation marks."
                    )
                },
            ),
        }
    }
}

/// "1 cell", "9 columns".
fn counted(count: usize, thing: &str) -> String {
    match count {
        1 => format!("1 {thing}"),
        count => format!("{count} {thing}s"),
    }
}

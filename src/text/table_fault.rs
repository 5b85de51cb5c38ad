//! What can be wrong with the columns and rows of a table, whatever the table is about.

use super::cell_fault::known_or_near;
use super::phrase::counted;
use super::problem::faults;

faults! {
    /// A fault of a table.
    pub enum TableFault {
        TooLong { most: usize } = "table-too-long" => (
            format!("The table has more than {most} rows."),
            "Put what was done into log.csv, which may have more rows.",
        ),
        HeaderBelow = "header-below" => (
            "This row names no column, but a row below it does.",
            "Put the column names into the first row. Remove the rows above them, or start each with \"# \".",
        ),
        HashRow = "hash-row" => (
            "This line is a comment, but it has as many cells as a row.",
            "If it is a row, put its first cell in quotation marks. If it is a comment, write a space after the #.",
        ),
        Empty { columns: String } = "table-empty" => (
            "The table is empty.",
            format!("Name the columns in the first row. The table needs at least: {columns}."),
        ),
        ColumnUnknown { column: String, near: Option<String>, known: String } = "column-unknown" => (
            format!("This table has no column \"{column}\"."),
            known_or_near(near.as_deref(), known),
        ),
        ColumnTwice { column: String } = "column-twice" => (
            format!("The column \"{column}\" appears twice."),
            "Keep one of them.",
        ),
        ColumnMissing { column: &'static str } = "column-missing" => (
            format!("The column \"{column}\" is missing."),
            "Add it to the first row. Its cells may stay empty if the value is unknown.",
        ),
        CellCount { cells: usize, columns: usize, curly: bool, separator: u8 } = "cell-count" => (
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
                format!("Look for a missing or extra {separator}, or a row that was cut short. Put a cell with a {separator} in quotation marks.")
            },
        ),
    }
}

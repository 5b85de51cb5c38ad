//! A row as evidence names it: `log.csv:14`.

use crate::text::{Files, Span};

/// The file and line of a place; the file alone where it as a whole is meant.
pub(super) fn row_of(files: &Files, place: Span) -> String {
    let at = files.locate(place);
    at.line
        .map_or(at.name.clone(), |line| format!("{}:{line}", at.name))
}

/// As [`row_of`], for a line that is known already.
pub(super) fn named_row(files: &Files, place: Span, line: Option<u64>) -> String {
    let name = files.name(place.file);
    line.map_or_else(|| name.to_string(), |line| format!("{name}:{line}"))
}

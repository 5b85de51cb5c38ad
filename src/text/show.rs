//! Problems as a person reads them: file, row, column, what is wrong, what to write instead.

use super::file::{FileId, Files};
use super::problem::{Problem, Problems};
use super::row_number::RowCount;
use super::span::{Extent, Span};
use super::unseen::clean;
use std::fmt::Write;

/// As many letters of a sentence as are shown: a cell that it quotes may be of any length.
const SENTENCE: usize = 600;
/// As many letters of a cell as stand for its row.
const LABEL: usize = 40;

/// All problems, one after another, how many there are, and that nothing was audited because of them.
pub fn show_all(problems: &Problems, files: &Files) -> String {
    show_all_and(problems, files, "Nothing was audited.")
}

/// As [`show_all`], with what was not done because of them, as a sentence.
pub fn show_all_and(problems: &Problems, files: &Files, undone: &str) -> String {
    let mut text = String::new();
    let mut rows = None;
    for problem in problems.sorted() {
        text.push_str(&show(problem, files, &mut rows));
        text.push('\n');
    }
    if problems.more() > 0 {
        let _ = writeln!(text, "{} more problems are not shown.\n", problems.more());
    }
    let count = problems.count();
    let noun = if count == 1 { "problem" } else { "problems" };
    let _ = writeln!(text, "{count} {noun}. {undone}");
    text
}

/// One problem.
pub fn show_one(problem: &Problem, files: &Files) -> String {
    show(problem, files, &mut None)
}

/// One problem; `rows` counts on from the problem before.
fn show<'f>(problem: &Problem, files: &'f Files, rows: &mut Option<RowCount<'f>>) -> String {
    let words = problem.fault.words();
    let at = place(problem.at, problem.fault.field(), files, rows);
    let mut text = format!("{at}: {}\n", short(&words.wrong));
    let _ = writeln!(text, "  {}", short(&words.fix));
    if let Some(see) = problem.see {
        let _ = writeln!(text, "  See also {}.", place(see, None, files, &mut None));
    }
    text
}

/// Where something is, in words: `inventory.csv, row 14 (J-9), column "amount"`, or `shop.toml, line 3, key "units"`.
fn place<'f>(
    at: Span,
    field: Option<&str>,
    files: &'f Files,
    rows: &mut Option<RowCount<'f>>,
) -> String {
    let name = clean(files.name(at.file));
    let is_table = name.ends_with(".csv");
    let mut text = name;
    let byte = files.first_byte(at);
    if let Some(byte) = byte.filter(|_| is_table) {
        let _ = write!(text, ", row {}", row(files, at.file, byte, rows));
    } else if byte.is_some() {
        let line = files.lines(&[at]).into_iter().flatten().next();
        let _ = write!(text, ", line {}", line.unwrap_or(1));
    }
    let (label, column) = match at.extent {
        Extent::Row(start) | Extent::Cell(start, _) if is_table => {
            names_of(files, at.file, start, at.extent)
        }
        Extent::Whole | Extent::At(_) | Extent::Row(_) | Extent::Cell(..) | Extent::Range(..) => {
            (None, None)
        }
    };
    if let Some(label) = label {
        let _ = write!(text, " ({label})");
    }
    match (column, field) {
        (Some(column), _) => {
            let _ = write!(text, ", column \"{column}\"");
        }
        (None, Some(field)) if field.starts_with("--") => {
            let _ = write!(text, ", {}", clean(field));
        }
        (None, Some(field)) => {
            let word = if is_table { "column" } else { "key" };
            let _ = write!(text, ", {word} \"{}\"", clean(field));
        }
        (None, None) => {}
    }
    text
}

fn row<'f>(files: &'f Files, file: FileId, byte: u64, rows: &mut Option<RowCount<'f>>) -> u64 {
    if rows
        .as_ref()
        .is_none_or(|rows| rows.file != file || rows.at > byte)
    {
        *rows = RowCount::new(files, file);
    }
    rows.as_mut().map_or(1, |rows| rows.at(byte))
}

/// The first cell of a row, which names it, and the name of a cell's column.
fn names_of(
    files: &Files,
    file: FileId,
    start: u64,
    at: Extent,
) -> (Option<String>, Option<String>) {
    let text = |cell: Option<String>| {
        let cell = cell.map(|cell| clean(cell.trim()));
        let cut = |cell: String| match cell.char_indices().nth(LABEL) {
            Some((end, _)) => format!("{}…", cell.get(..end).unwrap_or_default()),
            None => cell,
        };
        cell.filter(|cell| !cell.is_empty()).map(cut)
    };
    let column = match at {
        Extent::Cell(_, nth) => text(files.cell(file, 0, nth)),
        Extent::Whole | Extent::At(_) | Extent::Row(_) | Extent::Range(..) => None,
    };
    // A cell does not name itself.
    let label = match at {
        Extent::Cell(_, 0) => None,
        Extent::Cell(..) | Extent::Whole | Extent::At(_) | Extent::Row(_) | Extent::Range(..) => {
            (start > 0)
                .then(|| text(files.cell(file, start, 0)))
                .flatten()
        }
    };
    (label, column)
}

/// A sentence without what controls a terminal, cut where it grows too long.
fn short(text: &str) -> String {
    match text.char_indices().nth(SENTENCE) {
        Some((end, _)) => format!("{}…", clean(text.get(..end).unwrap_or_default())),
        None => clean(text),
    }
}

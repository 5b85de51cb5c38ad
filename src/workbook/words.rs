//! Changes and questions in words, for a terminal or a page.

use super::difference::{Alteration, Difference, Reason, WorkbookQuestion};
use super::merge::Merged;
use super::read::NotAWorkbook;
use crate::text::{Shape, clean};

/// Entries and answers that were deleted in the workbook stay: that is said, never silent.
pub fn kept_words(merged: &Merged) -> Vec<String> {
    let line = |(shape, name): &(&'static Shape, String)| {
        format!(
            "{}: {} is not in the workbook. It stays, since rows of this table are never deleted.\n",
            shape.file,
            clean(name)
        )
    };
    merged.kept.iter().map(line).collect()
}

/// A difference in words.
pub fn difference_words(difference: &Difference) -> String {
    let (file, name) = (difference.table.file, clean(&difference.name));
    match &difference.what {
        Alteration::Cell {
            column, from, to, ..
        } => format!(
            "{file}, {name}, {column}: {} becomes {}",
            cell(from),
            cell(to)
        ),
        Alteration::NewRow { cells, .. } => {
            let cells: Vec<String> = cells.iter().map(|(_, text)| clean(text)).collect();
            format!("{file}: new row {}", cells.join(", "))
        }
        Alteration::Removed { .. } => format!("{file}, {name}: deleted"),
        Alteration::Counted { from, to, .. } => format!(
            "{file}: count {name} {} (inventory.csv keeps {})",
            clean(to),
            cell(from)
        ),
    }
}

fn cell(text: &str) -> String {
    if text.is_empty() {
        "nothing".to_string()
    } else {
        format!("\"{}\"", clean(text))
    }
}

/// A question in words.
pub fn question_words(question: &WorkbookQuestion) -> String {
    let difference = &question.difference;
    let (file, name) = (difference.table.file, clean(&difference.name));
    match (&question.reason, &difference.what) {
        (Reason::Deleted, _) => format!("{file}: {name} was deleted in the workbook. Delete it?"),
        (Reason::RemovedFromShop, _) => format!(
            "{file}: {name} was changed in the workbook, but removed from the shop since. Put it back?"
        ),
        (
            Reason::ChangedInBoth { was },
            Alteration::Cell {
                column, from, to, ..
            },
        ) => format!(
            "{file}, {name}, {column}: it was {}. The shop now says {}, the workbook {}. Take the workbook's?",
            cell(was),
            cell(from),
            cell(to)
        ),
        (Reason::AddedInBoth, _) | (Reason::ChangedInBoth { .. }, _) => {
            format!(
                "{}, but the shop has such a row, too. Take the workbook's?",
                difference_words(difference)
            )
        }
    }
}

/// Why a workbook of this name cannot be read, and what to do.
pub fn unread_words(shown: &str, not: &NotAWorkbook) -> (String, String) {
    match not {
        NotAWorkbook::Unreadable(why) => (
            format!("{shown} cannot be read: {why}."),
            "Name a workbook that `sandarac workbook` wrote, saved as .xlsx or .ods.".to_string(),
        ),
        NotAWorkbook::TooLarge(bytes) => (
            format!("{shown} has {bytes} bytes. At most 64 MiB are read."),
            "Write a new workbook, and change that one.".to_string(),
        ),
        NotAWorkbook::NoState => (
            format!(
                "{shown} was not written by `sandarac workbook`, or its hidden sheet \"state\" is gone."
            ),
            "Write a new workbook, and copy your changes into it.".to_string(),
        ),
        NotAWorkbook::NoSheet(name) => (
            format!("{shown} has no sheet \"{name}\"."),
            "Put it back, or write a new workbook and copy your changes into it.".to_string(),
        ),
    }
}

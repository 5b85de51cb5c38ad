//! What all commands do that write into the tables of a shop: hold the journal, look at the ends of tables, add rows, and
//! say what is in the way.

use super::open::WRITTEN;
use super::{Failure, style};
use crate::text::{Addition, Journal, Refused, Shape, Tail, clean, clean_lines};
use std::path::Path;

/// This fault, and that nothing was written.
pub(super) fn unwritten(words: &str) -> Failure {
    Failure::Said(format!("{}\n{WRITTEN}", words.trim_end()))
}

/// Why the journal refused.
pub(super) fn refused(why: &Refused) -> Failure {
    unwritten(&format!("error: {}", clean_lines(&why.to_string())))
}

/// The right to write; what it finished for others is told.
pub(super) fn hold(folder: &Path) -> Result<Journal, Failure> {
    let (journal, said) = Journal::hold(folder).map_err(|why| refused(&why))?;
    said.iter().for_each(|note| tell(note));
    Ok(journal)
}

/// The end of a table to be written; a last line that was cut off is set aside first, which is told.
pub(super) fn end_of(journal: &Journal, shape: &'static Shape) -> Result<Tail, Failure> {
    let (tail, note) = journal.tail_of(shape).map_err(|why| refused(&why))?;
    if let Some(note) = note {
        tell(&note);
    }
    Ok(tail)
}

/// The end of a table as it is, cut off or not.
pub(super) fn look_at(folder: &Path, shape: &'static Shape) -> Result<Tail, Failure> {
    Tail::of(folder, shape).map_err(|why| refused(&why))
}

/// Rows at the end of a table; `whose` they are, in the words for a column that it lacks.
pub(super) fn rows(
    tail: &Tail,
    rows: &[Vec<(&'static str, String)>],
    whose: &str,
) -> Result<Addition, Failure> {
    tail.addition(rows).map_err(|column| {
        unwritten(&format!(
            "error: {} has no column `{column}`, which {whose}\n = help: add `{column}` to its first row",
            tail.file()
        ))
    })
}

/// Adds to all tables or to none.
pub(super) fn add(journal: &Journal, additions: &[Addition]) -> Result<(), Failure> {
    journal.add(additions).map_err(|why| refused(&why))
}

fn tell(note: &str) {
    style::complain(&format!("note: {}", clean(note)));
}

//! What all commands do that write into the tables of a shop: hold the journal, look at the ends of tables, add rows, and
//! say what is in the way.

use super::open::WRITTEN;
use super::{Failure, style};
use crate::files::{Journal, Note, Refused, TableEnd};
use crate::text::{Shape, clean};
use std::path::Path;

/// This fault, and that nothing was written.
pub(super) fn unwritten(words: &str) -> Failure {
    Failure::Said(format!("{}\n{WRITTEN}", words.trim_end()))
}

/// Why the journal refused.
pub(super) fn refused(why: &Refused) -> Failure {
    let words = why.words();
    Failure::refused(words.wrong, words.fix, WRITTEN)
}

/// The right to write; what it finished for others is told.
pub(super) fn hold(folder: &Path) -> Result<Journal, Failure> {
    let (journal, notes) = Journal::hold(folder).map_err(|why| refused(&why))?;
    notes.iter().for_each(tell);
    Ok(journal)
}

/// The end of a table to be written; a last line that was cut off is set aside first, which is told.
pub(super) fn end_of(journal: &Journal, shape: &'static Shape) -> Result<TableEnd, Failure> {
    let (end, note) = journal.end_of(shape).map_err(|why| refused(&why))?;
    note.iter().for_each(tell);
    Ok(end)
}

/// The end of a table as it is, cut off or not.
pub(super) fn look_at(folder: &Path, shape: &'static Shape) -> Result<TableEnd, Failure> {
    TableEnd::read(folder, shape).map_err(|why| refused(&why))
}

fn tell(note: &Note) {
    style::complain(&format!("note: {}", clean(&note.to_string())));
}

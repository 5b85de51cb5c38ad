//! Rows that were written into a table and are gone: a problem of the shop, found where the table is read.

use crate::files::LostRows;
use crate::text::{FileFault, FileId, Files, Problem, Problems, Span};
use std::path::Path;

/// Notes which rows of a table are gone, where its reading found that some may be.
pub(super) fn look_for_lost(
    folder: Option<&Path>,
    table: &'static str,
    files: &Files,
    file: Option<FileId>,
    problems: &mut Problems,
) {
    let (Some(folder), Some(file)) = (folder, file) else {
        return;
    };
    if !files.lacks_rows(file) {
        return;
    }
    match LostRows::find(folder, table) {
        Ok(lost) => lost.problems(table, file, problems),
        Err(fault) => {
            let why = fault.to_string();
            problems.add(Problem::new(
                FileFault::Unreadable { why },
                Span::whole(file),
            ));
        }
    }
}

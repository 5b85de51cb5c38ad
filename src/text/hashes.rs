//! Comment lines that may be rows: `#7,oil varnish,…` is a comment by the letter, and would vanish without a word.

use super::cells::{cells, skip_idle_lines};
use super::file::{Files, ROW_WINDOW};
use super::span::FileId;

/// Lines that begin with `#`, parted into comments and what is only a line inside a quoted cell.
#[derive(Default)]
pub(super) struct Hashes {
    /// So many of those that were seen are parted.
    parted: usize,
    comments: Vec<u64>,
}

impl Hashes {
    /// Is there one among `seen` that is not parted yet?
    pub(super) fn behind(&self, seen: &[u64]) -> bool {
        seen.len() > self.parted
    }

    /// Parts those that lie in a record, from the byte at which it begins (comments before it included) to its end.
    pub(super) fn part(
        &mut self,
        seen: &[u64],
        files: &Files,
        file: FileId,
        (start, end): (u64, u64),
    ) {
        let due: Vec<u64> = seen.iter().skip(self.parted).copied().collect();
        let due: Vec<u64> = due.into_iter().take_while(|byte| *byte < end).collect();
        if due.is_empty() {
            return;
        }
        self.parted += due.len();
        let idle = skip_idle_lines(&files.window(file, start, ROW_WINDOW));
        let row = start + u64::try_from(idle).unwrap_or(u64::MAX);
        self.comments
            .extend(due.into_iter().filter(|byte| *byte < row));
    }

    /// Takes those behind the last record: comments, all of them.
    pub(super) fn part_rest(&mut self, seen: &[u64]) {
        self.comments.extend(seen.iter().skip(self.parted));
        self.parted = seen.len();
    }

    /// The comments that have as many cells as a row.
    pub(super) fn rows<'h>(
        &'h self,
        files: &'h Files,
        file: FileId,
        width: usize,
    ) -> impl Iterator<Item = u64> + 'h {
        let separator = files.head(file).separator;
        let as_wide = move |byte: &u64| {
            width > 1 && cells(&files.window(file, *byte, ROW_WINDOW), separator) == width
        };
        self.comments.iter().copied().filter(as_wide)
    }
}

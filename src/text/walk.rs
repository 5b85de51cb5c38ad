//! Which line a byte lies in: line breaks counted forward, from mark to mark of a large file.

use super::file::{Files, ROW_WINDOW};
use super::span::FileId;
use std::io::{Read, Seek, SeekFrom};

/// Walks a file forward and counts line breaks, jumping from mark to mark where the next place is far.
pub(super) struct LineWalk<'f> {
    files: &'f Files,
    file: FileId,
    open: Option<std::fs::File>,
    chunk: Vec<u8>,
    /// The byte at which the chunk starts, and the breaks before it.
    start: u64,
    before: u64,
    /// A byte inside the chunk up to which the breaks are counted already.
    counted: usize,
    counted_breaks: u64,
}

impl<'f> LineWalk<'f> {
    pub(super) fn new(files: &'f Files, file: FileId) -> LineWalk<'f> {
        LineWalk {
            files,
            file,
            open: files.on_disk(file),
            chunk: Vec::new(),
            start: 0,
            before: 0,
            counted: 0,
            counted_breaks: 0,
        }
    }

    /// Brings a chunk that holds the byte.
    fn reach(&mut self, byte: u64) {
        let end = self.start + length(&self.chunk);
        if byte >= self.start && byte < end {
            return;
        }
        let marks = self.files.marks(self.file);
        let mark = marks
            .partition_point(|mark| mark.byte <= byte)
            .checked_sub(1)
            .and_then(|at| marks.get(at));
        let (mut at, mut breaks) = mark.map_or((0, 0), |mark| (mark.byte, mark.breaks));
        if byte >= end && end > at {
            (at, breaks) = (end, self.before + count_breaks(&self.chunk));
        }
        loop {
            self.read(at);
            (self.start, self.before) = (at, breaks);
            let end = at + length(&self.chunk);
            if byte < end || self.chunk.is_empty() {
                return;
            }
            breaks += count_breaks(&self.chunk);
            at = end;
        }
    }

    fn read(&mut self, from: u64) {
        self.chunk.clear();
        (self.counted, self.counted_breaks) = (0, 0);
        match &mut self.open {
            Some(file) => {
                let most = u64::try_from(ROW_WINDOW).unwrap_or(u64::MAX);
                if file.seek(SeekFrom::Start(from)).is_ok() {
                    let _ = file.take(most).read_to_end(&mut self.chunk);
                }
            }
            None => self.chunk = self.files.window(self.file, from, ROW_WINDOW),
        }
    }

    pub(super) fn breaks_before(&mut self, byte: u64) -> u64 {
        self.reach(byte);
        let inside = usize::try_from(byte - self.start.min(byte)).unwrap_or(usize::MAX);
        let inside = inside.min(self.chunk.len());
        if inside < self.counted {
            (self.counted, self.counted_breaks) = (0, 0);
        }
        self.counted_breaks +=
            count_breaks(self.chunk.get(self.counted..inside).unwrap_or_default());
        self.counted = inside;
        self.before + self.counted_breaks
    }

    /// The breaks before a row, past the blank and comment lines that may precede it.
    pub(super) fn row_breaks(&mut self, row: u64) -> u64 {
        let before = self.breaks_before(row);
        let inside = usize::try_from(row - self.start.min(row)).unwrap_or(usize::MAX);
        match self.chunk.get(inside..) {
            Some(rest) if !matches!(rest.first(), Some(b'\n' | b'\r' | b'#' | 0xEF)) => before,
            Some(_) | None => {
                let raw = self.files.window(self.file, row, ROW_WINDOW);
                let skipped = super::cells::skip_idle_lines(&raw);
                before + count_breaks(raw.get(..skipped).unwrap_or_default())
            }
        }
    }
}

fn length(bytes: &[u8]) -> u64 {
    u64::try_from(bytes.len()).unwrap_or(u64::MAX)
}

pub(super) fn count_breaks(bytes: &[u8]) -> u64 {
    u64::try_from(memchr::memchr_iter(b'\n', bytes).count()).unwrap_or(u64::MAX)
}

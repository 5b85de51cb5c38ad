//! Watches the bytes of a table as they are read: counts lines and finds what the csv crate would forgive.

use super::file::Mark;
use super::walk::count_breaks;
use std::io::Read;

/// The longest row of a table that is read. Real rows are far shorter, and this bounds the memory.
pub const MOST_ROW_BYTES: u64 = 1 << 20;

/// At most so many lines that may be rows are looked at again.
const MOST_HASHES: usize = 1000;

/// A reader that looks at every byte once on its way to the csv crate.
pub(super) struct Watch<R> {
    inner: R,
    seen: RowsWatched,
}

#[derive(Default)]
pub(super) struct RowsWatched {
    pub marks: Vec<Mark>,
    pub byte: u64,
    pub breaks: u64,
    pub lone_return: Option<u64>,
    pub nul: Option<u64>,
    pub utf16: bool,
    /// The byte at which the row under way began.
    pub row: u64,
    /// That row never ends, and reading stopped.
    pub endless: bool,
    /// Comment lines that may be rows: a letter stands right behind the `#`, and a separator in the line.
    pub hashes: Vec<u64>,
    separator: u8,
    last: Option<u8>,
    last_was_return: bool,
}

impl<R> Watch<R> {
    pub fn new(inner: R, separator: u8) -> Self {
        Watch {
            inner,
            seen: RowsWatched {
                separator,
                ..RowsWatched::default()
            },
        }
    }

    /// Did a row go on for so long that reading stopped?
    pub fn endless(&self) -> bool {
        self.seen.endless
    }

    /// Lines that begin with `#` and may be rows.
    pub fn hashes(&self) -> &[u64] {
        &self.seen.hashes
    }

    pub fn seen(&mut self) -> &mut RowsWatched {
        &mut self.seen
    }
}

impl<R: Read> Read for Watch<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        if self.seen.byte - self.seen.row > MOST_ROW_BYTES {
            self.seen.endless = true;
            return Ok(0);
        }
        let read = self.inner.read(buffer)?;
        if let Some(bytes) = buffer.get(..read) {
            self.seen.look(bytes);
        }
        Ok(read)
    }
}

impl RowsWatched {
    fn look(&mut self, bytes: &[u8]) {
        if bytes.is_empty() {
            if self.last_was_return && self.lone_return.is_none() {
                self.lone_return = Some(self.byte - 1);
            }
            return;
        }
        if self.byte == 0 {
            self.utf16 = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
        }
        self.marks.push(Mark {
            byte: self.byte,
            breaks: self.breaks,
        });
        self.breaks += count_breaks(bytes);
        if self.lone_return.is_none()
            && (self.last_was_return || memchr::memchr(b'\r', bytes).is_some())
        {
            self.look_for_returns(bytes);
        }
        if self.nul.is_none()
            && let Some(at) = memchr::memchr(0, bytes)
        {
            self.nul = Some(self.byte + offset(at));
        }
        self.look_for_hashes(bytes);
        self.last = bytes.last().copied();
        self.last_was_return = bytes.last() == Some(&b'\r');
        self.byte += offset(bytes.len());
    }

    fn look_for_hashes(&mut self, bytes: &[u8]) {
        for at in memchr::memchr_iter(b'#', bytes) {
            let before = at
                .checked_sub(1)
                .map_or(self.last, |at| bytes.get(at).copied());
            let rest = bytes.get(at + 1..).unwrap_or_default();
            let plain = |byte: &u8| matches!(byte, b' ' | b'\t' | b'#' | b'\r' | b'\n');
            if before != Some(b'\n') || rest.first().is_some_and(plain) {
                continue;
            }
            // A line that goes on behind these bytes is looked at later.
            let parted = memchr::memchr2(self.separator, b'\n', rest);
            let without = parted.is_some_and(|at| rest.get(at) == Some(&b'\n'));
            if !without && self.hashes.len() < MOST_HASHES {
                self.hashes.push(self.byte + offset(at));
            }
        }
    }

    fn look_for_returns(&mut self, bytes: &[u8]) {
        if self.last_was_return && bytes.first() != Some(&b'\n') {
            self.lone_return = Some(self.byte - 1);
            return;
        }
        let lone = bytes
            .windows(2)
            .position(|pair| pair[0] == b'\r' && pair[1] != b'\n');
        self.lone_return = lone.map(|at| self.byte + offset(at));
    }
}

fn offset(at: usize) -> u64 {
    u64::try_from(at).unwrap_or(u64::MAX)
}

//! Watches the bytes of a table as they are read: counts lines and finds what the csv crate would forgive.

use super::file::{Mark, count_breaks};
use std::io::Read;

/// A reader that looks at every byte once on its way to the csv crate.
pub(super) struct Watch<R> {
    inner: R,
    seen: Seen,
}

/// What was noticed.
#[derive(Default)]
pub(super) struct Seen {
    pub marks: Vec<Mark>,
    pub byte: u64,
    pub breaks: u64,
    pub lone_return: Option<u64>,
    pub nul: Option<u64>,
    pub utf16: bool,
    last_was_return: bool,
}

impl<R> Watch<R> {
    pub fn new(inner: R) -> Self {
        Watch {
            inner,
            seen: Seen::default(),
        }
    }

    pub fn seen(&mut self) -> &mut Seen {
        &mut self.seen
    }
}

impl<R: Read> Read for Watch<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let read = self.inner.read(buffer)?;
        if let Some(bytes) = buffer.get(..read) {
            self.seen.look(bytes);
        }
        Ok(read)
    }
}

impl Seen {
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
        self.last_was_return = bytes.last() == Some(&b'\r');
        self.byte += offset(bytes.len());
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

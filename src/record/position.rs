//! A row of a table by its position, in four bytes: an entry of a log names up to four, and entries are many.

use std::num::NonZeroU32;

/// The position of a container, a place or a room among its like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Position(NonZeroU32);

impl Position {
    /// As a number that nothing needs to be taken from; `None` past four thousand million, which no table reaches.
    pub fn new(at: usize) -> Option<Position> {
        let one_more = u32::try_from(at).ok()?.checked_add(1)?;
        NonZeroU32::new(one_more).map(Position)
    }

    /// Where it stands, from 0.
    pub fn at(self) -> usize {
        usize::try_from(self.0.get() - 1).unwrap_or(usize::MAX)
    }
}

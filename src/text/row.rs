//! One row of a table, and its cells with their places.

use super::locale::Locale;
use super::shape::Shape;
use super::span::{Extent, FileId, Span};

/// One row of cells.
#[derive(Clone, Copy)]
pub struct Row<'t> {
    pub(super) text: &'t str,
    /// Where each cell begins and ends in the text.
    pub(super) cells: &'t [(u32, u32)],
    pub(super) at: &'t [Option<u16>],
    pub(super) shape: &'static Shape,
    pub(super) locale: &'t Locale,
    pub(super) file: FileId,
    pub(super) byte: u64,
}

/// One cell: its text without white space around it, and its place.
#[derive(Clone, Copy, Debug)]
pub struct Cell<'t> {
    pub text: &'t str,
    pub place: Span,
    pub column: &'static str,
}

impl<'t> Row<'t> {
    /// A cell by the number of its column; empty where the table has no such column.
    pub fn cell(&self, column: usize) -> Cell<'t> {
        Cell {
            text: self.text(column),
            place: self.cell_place(column),
            column: self.shape.name(column),
        }
    }

    /// Where a cell is, or would stand.
    pub fn cell_place(&self, column: usize) -> Span {
        let index = self.at.get(column).copied().flatten();
        let extent = index.map_or(Extent::Row(self.byte), |index| {
            Extent::Cell(self.byte, index)
        });
        Span {
            file: self.file,
            extent,
        }
    }

    /// Only the text of a cell.
    #[inline(always)]
    pub fn text(&self, column: usize) -> &'t str {
        let index = self.at.get(column).copied().flatten();
        let cell = index.and_then(|index| self.cells.get(usize::from(index)));
        let cell = cell.and_then(|(from, to)| self.text.get(long(*from)..long(*to)));
        cell.unwrap_or("")
    }

    /// The text of the first so many columns at once.
    #[inline(always)]
    pub fn texts<const N: usize>(&self) -> [&'t str; N] {
        std::array::from_fn(|column| self.text(column))
    }

    /// How the table writes dates and decimals.
    pub fn locale(&self) -> &'t Locale {
        self.locale
    }

    /// Where the row is.
    pub fn span(&self) -> Span {
        Span {
            file: self.file,
            extent: Extent::Row(self.byte),
        }
    }
}

fn long(place: u32) -> usize {
    usize::try_from(place).unwrap_or(usize::MAX)
}

//! One row of a table, and its cells with their places.

use super::shape::Shape;
use super::span::{Extent, FileId, Span};

/// One row of cells.
#[derive(Clone, Copy)]
pub struct Row<'t> {
    pub(super) record: &'t csv::StringRecord,
    /// Which cell of the record is the first of the row.
    pub(super) first: usize,
    pub(super) at: &'t [Option<u16>],
    pub(super) shape: &'static Shape,
    pub(super) file: FileId,
    pub(super) byte: u64,
}

/// One cell: its text without white space around it, and its place.
#[derive(Clone, Copy, Debug)]
pub struct Cell<'t> {
    /// The text.
    pub text: &'t str,
    /// Where it stands.
    pub place: Span,
    /// The column's name.
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

    /// Where a cell stands, or would stand.
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
        let Some(index) = self.at.get(column).copied().flatten() else {
            return "";
        };
        let text = self
            .record
            .get(self.first + usize::from(index))
            .unwrap_or("");
        let plain = |byte: Option<&u8>| byte.is_none_or(u8::is_ascii_graphic);
        if plain(text.as_bytes().first()) && plain(text.as_bytes().last()) {
            text
        } else {
            text.trim()
        }
    }

    /// The text of the first so many columns at once.
    #[inline(always)]
    pub fn texts<const N: usize>(&self) -> [&'t str; N] {
        std::array::from_fn(|column| self.text(column))
    }

    /// Where the row stands.
    pub fn span(&self) -> Span {
        Span {
            file: self.file,
            extent: Extent::Row(self.byte),
        }
    }
}

//! A place in a file. It is small and copied freely; line and column are worked out only when needed.

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FileId(pub(super) u16);

/// Where something was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Span {
    pub file: FileId,
    /// The spot in it.
    pub extent: Extent,
}

/// A spot in a file, by bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Extent {
    /// The file as a whole.
    Whole,
    At(u64),
    /// A row of a table; blank and comment lines may lie between this byte and the row itself.
    Row(u64),
    /// A cell of such a row, counted from 0.
    Cell(u64, u16),
    /// From one byte, so many of them.
    Range(u64, u32),
}

impl Extent {
    /// Its first byte, or of a row the byte at which blank and comment lines before it begin.
    pub(super) fn byte(self) -> u64 {
        match self {
            Extent::Whole => 0,
            Extent::At(byte)
            | Extent::Row(byte)
            | Extent::Cell(byte, _)
            | Extent::Range(byte, _) => byte,
        }
    }
}

impl Span {
    /// The file as a whole.
    pub fn whole(file: FileId) -> Span {
        Span {
            file,
            extent: Extent::Whole,
        }
    }
}

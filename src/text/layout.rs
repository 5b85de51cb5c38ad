//! Where the cells of a row are, and copies of rows that another thread can read.

use super::locale::{CellForm, Locale};
use super::row::Row;
use super::shape::Shape;
use super::span::FileId;

/// How the rows of a table are laid out: enough to read a record as a row.
#[derive(Clone)]
pub(super) struct Layout {
    pub file: FileId,
    pub shape: &'static Shape,
    /// For each column of the shape, where it stands in a row.
    pub at: Vec<Option<u16>>,
    pub width: usize,
    /// How dates and decimals are written.
    pub locale: Locale,
    /// What each cell of a row holds; empty where all are written as the program writes them.
    pub forms: Vec<CellForm>,
}

impl Layout {
    /// None of its columns are known yet.
    pub(super) fn new(file: FileId, shape: &'static Shape, locale: Locale) -> Layout {
        Layout {
            file,
            shape,
            at: Vec::new(),
            width: 0,
            locale,
            forms: Vec::new(),
        }
    }

    /// Takes the names of the columns in, and where each column of the shape stands.
    pub(super) fn name(&mut self, names: &[&str], at: Vec<Option<u16>>) {
        (self.at, self.width) = (at, names.len());
        if !self.locale.is_plain() {
            self.forms = names.iter().map(|name| self.locale.form(name)).collect();
        }
    }

    /// The row whose cells are at `cells` in `text`.
    pub(super) fn row<'t>(&'t self, text: &'t str, cells: &'t [(u32, u32)], byte: u64) -> Row<'t> {
        Row {
            text,
            cells,
            at: &self.at,
            shape: self.shape,
            locale: &self.locale,
            file: self.file,
            byte,
        }
    }

    /// Adds where each cell of a record begins and ends in a text of which the record begins at `start`, without the white
    /// space around it.
    pub(super) fn find_cells<'r>(
        &self,
        record: impl Iterator<Item = &'r str>,
        start: usize,
        cells: &mut Vec<(u32, u32)>,
    ) {
        let first = cells.len();
        cells.resize(first + self.width, (0, 0));
        let mut end = start;
        for (place, cell) in cells[first..].iter_mut().zip(record) {
            let from = end;
            end += cell.len();
            let (before, behind) = white_space(cell);
            *place = (short(from + before), short(end - behind));
        }
    }
}

/// How many bytes of white space there are before and behind what is in a cell; nearly none has any.
#[inline]
fn white_space(cell: &str) -> (usize, usize) {
    let plain = |byte: Option<&u8>| byte.is_none_or(u8::is_ascii_graphic);
    if plain(cell.as_bytes().first()) && plain(cell.as_bytes().last()) {
        return (0, 0);
    }
    let behind = cell.len() - cell.trim_end().len();
    (cell.trim_end().len() - cell.trim().len(), behind)
}

/// A place in a text in four bytes: no row, and no batch of rows, is anywhere near so long.
fn short(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}

/// Copies of some rows of a table, which another thread can read. They lie one behind the other, since each separate piece of
/// memory that goes from one core to another costs time.
pub struct Rows {
    layout: Layout,
    text: String,
    cells: Vec<(u32, u32)>,
    /// The byte at which each row begins.
    bytes: Vec<u64>,
}

impl Rows {
    pub(super) fn new(layout: &Layout) -> Rows {
        Rows {
            layout: layout.clone(),
            text: String::new(),
            cells: Vec::new(),
            bytes: Vec::new(),
        }
    }

    /// Adds a row, whose whole text goes with its cells.
    pub(super) fn add<'r>(&mut self, cells: impl Iterator<Item = &'r str>, text: &str, byte: u64) {
        let start = self.text.len();
        self.text.push_str(text);
        self.layout.find_cells(cells, start, &mut self.cells);
        self.bytes.push(byte);
    }

    /// Each row in turn.
    pub fn iter(&self) -> impl Iterator<Item = Row<'_>> {
        let cells = self.cells.chunks_exact(self.layout.width);
        let rows = cells.zip(&self.bytes);
        rows.map(|(cells, byte)| self.layout.row(&self.text, cells, *byte))
    }

    /// How many bytes their cells have.
    pub fn size(&self) -> usize {
        self.text.len()
    }

    /// Takes all rows out. Their memory stays for others.
    pub fn clear(&mut self) {
        self.text.clear();
        self.cells.clear();
        self.bytes.clear();
    }
}

//! CSV text to rows of cells, each with its true place. The one door to the csv reader.

use super::dialect::starts_comment;
use super::expected::RowCheck;
use super::file::Files;
use super::hashes::Hashes;
use super::header;
use super::layout::{Layout, Rows};
use super::locale::CellForm;
use super::problem::Problem;
use super::problems::Problems;
use super::row::Row;
use super::shape::Shape;
use super::span::FileId;
use super::span::{Extent, Span};
use super::watch::Watch;
use crate::text::{CellFault, FileFault, TableFault};
use csv::StringRecord;
use std::io::Read;

/// A table being read, row by row.
pub struct Table<'f> {
    reader: csv::Reader<Watch<Box<dyn Read + Send + 'f>>>,
    files: &'f Files,
    layout: Layout,
    record: StringRecord,
    /// Where the cells of the last row are in the record.
    cells: Vec<(u32, u32)>,
    /// Where the last record begins.
    last: u64,
    hashes: Hashes,
    /// Looks for rows that must be there.
    check: Option<RowCheck>,
    is_at_end: bool,
}

/// The byte at which a record begins.
fn start(record: &StringRecord) -> u64 {
    record.position().map_or(0, csv::Position::byte)
}

impl<'f> Table<'f> {
    /// Opens a table and reads its first row; `None` if that alone makes reading pointless (the problem is noted).
    pub fn open(
        files: &'f Files,
        file: FileId,
        shape: &'static Shape,
        problems: &mut Problems,
    ) -> Option<Table<'f>> {
        let source = match files.reader(file) {
            Ok(source) => source,
            Err(fault) => {
                problems.add(Problem::new(
                    FileFault::Unreadable {
                        why: fault.to_string(),
                    },
                    Span::whole(file),
                ));
                return None;
            }
        };
        let separator = files.head(file).separator;
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .delimiter(separator)
            .buffer_capacity(1 << 16)
            .from_reader(Watch::new(source, separator));
        let layout = Layout::new(file, shape, files.locale(file));
        let mut table = Table {
            reader,
            files,
            layout,
            record: StringRecord::new(),
            cells: Vec::new(),
            last: 0,
            hashes: Hashes::default(),
            check: files.row_check(file),
            is_at_end: false,
        };
        let mut found = Problems::new();
        let reads = table.read_header(&mut found);
        if !table.is_broken() {
            problems.take(found);
            return reads.then_some(table);
        }
        // What is wrong with the bytes as a whole makes nonsense of the names of the columns.
        if reads {
            return Some(table);
        }
        table.structural(problems);
        None
    }

    /// No rows yet; [`Table::copy_to`] adds them.
    pub fn no_rows(&self) -> Rows {
        Rows::new(&self.layout)
    }

    fn read_header(&mut self, problems: &mut Problems) -> bool {
        let (before, file, shape) = (problems.count(), self.layout.file, self.layout.shape);
        if !self.advance(problems) {
            if problems.count() == before && !self.is_broken() {
                let columns = shape.must.join(",");
                problems.add(Problem::new(
                    TableFault::Empty { columns },
                    Span::whole(file),
                ));
            }
            return false;
        }
        let record = std::mem::take(&mut self.record);
        let byte = start(&record);
        let names: Vec<&str> = record.iter().map(str::trim).collect();
        if header::names_none(shape, &names) && self.header_is_below(byte, problems) {
            return false;
        }
        let at = header::columns(shape, file, byte, &names, problems);
        let whole = header::has_all(shape, file, byte, &at, problems);
        self.layout.name(&names, at);
        whole
    }

    /// Is the row that names the columns one of the next few? Then all that stands above it is reported as one problem.
    fn header_is_below(&mut self, first: u64, problems: &mut Problems) -> bool {
        let (file, shape) = (self.layout.file, self.layout.shape);
        let mut unread = Problems::new();
        for _ in 0..header::MOST_ROWS_ABOVE {
            if !self.advance(&mut unread) {
                return false;
            }
            let names: Vec<&str> = self.record.iter().map(str::trim).collect();
            if header::names_all(shape, &names) {
                let place = |byte| Span {
                    file,
                    extent: Extent::Row(byte),
                };
                let code = TableFault::HeaderBelow;
                problems.add(Problem::between(
                    code,
                    place(first),
                    place(start(&self.record)),
                ));
                return true;
            }
        }
        false
    }

    /// Reads the next record that is no comment which a spreadsheet wrote back as a row.
    fn advance(&mut self, problems: &mut Problems) -> bool {
        while self.advance_to_record(problems) {
            if !self.record.as_slice().starts_with('#') || !self.is_remark() {
                return true;
            }
        }
        false
    }

    /// Is the last record such a comment? Below the names of the columns, a row with more than one cell is a row.
    fn is_remark(&self) -> bool {
        let mut cells = self.record.iter();
        let begins = cells
            .next()
            .is_some_and(|cell| starts_comment(cell.as_bytes()));
        begins && (self.layout.width == 0 || cells.all(|cell| cell.trim().is_empty()))
    }

    /// Reads the next record that is UTF-8; others are noted, but in a file that is UTF-16 throughout, noted once.
    fn advance_to_record(&mut self, problems: &mut Problems) -> bool {
        let file = self.layout.file;
        loop {
            let row = self.reader.position().byte();
            self.reader.get_mut().seen().row = row;
            let fault = match self.reader.read_record(&mut self.record) {
                Ok(true) => {
                    self.last = start(&self.record);
                    let seen = self.reader.get_ref().hashes();
                    if self.hashes.behind(seen) {
                        let ends = (self.last, self.reader.position().byte());
                        self.hashes.part(seen, self.files, file, ends);
                    }
                    return !self.reader.get_ref().endless();
                }
                Ok(false) => {
                    self.is_at_end = true;
                    return false;
                }
                Err(fault) => fault,
            };
            match fault.kind() {
                csv::ErrorKind::Utf8 { pos, err } => {
                    let row = pos.as_ref().map_or(0, csv::Position::byte);
                    let cell = u16::try_from(err.field()).unwrap_or(u16::MAX);
                    if self.reader.get_mut().seen().utf16 || self.reader.get_ref().endless() {
                        return false;
                    }
                    let place = Span {
                        file,
                        extent: Extent::Cell(row, cell),
                    };
                    problems.add(Problem::new(FileFault::NotUtf8, place));
                }
                _ => {
                    let code = FileFault::Unreadable {
                        why: fault.to_string(),
                    };
                    problems.add(Problem::new(code, Span::whole(file)));
                    return false;
                }
            }
        }
    }

    /// Adds to the count of rows read that a waiting user sees.
    pub fn note_rows(&self, rows: usize) {
        self.files.rows.add(rows);
    }

    /// Reads the next row; false at the end. Blank rows are passed over; rows with another number of cells than the first
    /// are problems.
    pub fn read(&mut self, problems: &mut Problems) -> bool {
        loop {
            if !self.advance(problems) {
                return false;
            }
            let blank = self.record.as_slice().trim_start().is_empty();
            if blank {
                continue;
            }
            if let Some(check) = &mut self.check {
                check.see(&self.record);
            }
            if self.has_its_cells(&self.record, problems) {
                if !self.layout.forms.is_empty() {
                    self.write_plain(problems);
                }
                return true;
            }
        }
    }

    /// Writes the dates and decimals of the last record as the program writes them.
    fn write_plain(&mut self, problems: &mut Problems) {
        let Layout {
            file,
            locale,
            forms,
            ..
        } = &self.layout;
        let mut plain = StringRecord::new();
        for (at, cell) in self.record.iter().enumerate() {
            let form = forms.get(at).copied().unwrap_or(CellForm::Text);
            let told = locale.plain(cell, form).unwrap_or_else(|_| {
                let column = u16::try_from(at).unwrap_or(u16::MAX);
                let extent = Extent::Cell(self.last, column);
                let fault = CellFault::Ambiguous { read: cell.into() };
                problems.add(Problem::new(
                    fault,
                    Span {
                        file: *file,
                        extent,
                    },
                ));
                None
            });
            plain.push_field(told.as_deref().unwrap_or(cell));
        }
        self.record = plain;
    }

    /// The next row, or `None` at the end.
    pub fn next(&mut self, problems: &mut Problems) -> Option<Row<'_>> {
        if !self.read(problems) {
            return None;
        }
        self.cells.clear();
        self.layout
            .find_cells(self.record.iter(), 0, &mut self.cells);
        let text = self.record.as_slice();
        Some(self.layout.row(text, &self.cells, self.last))
    }

    /// Adds a copy of the row that was read last.
    pub fn copy_to(&self, rows: &mut Rows) {
        rows.add(self.record.iter(), self.record.as_slice(), self.last);
    }

    /// A row has a cell for each column; empty cells beyond them, as spreadsheets write, do no harm.
    fn has_its_cells(&self, record: &StringRecord, problems: &mut Problems) -> bool {
        let (cells, columns) = (record.len(), self.layout.width);
        let surplus_empty = || record.iter().skip(columns).all(|c| c.trim().is_empty());
        if cells == columns || cells > columns && surplus_empty() {
            return true;
        }
        let place = Span {
            file: self.layout.file,
            extent: Extent::Row(start(record)),
        };
        let code = TableFault::CellCount {
            cells,
            columns,
            separator: self.files.head(self.layout.file).separator,
            curly: record.iter().any(|cell| cell.contains(['“', '”', '„'])),
        };
        problems.add(Problem::new(code, place));
        false
    }

    /// Notes what was wrong with the bytes of the file as a whole.
    pub fn finish(mut self, problems: &mut Problems) -> Finished {
        self.hashes.part_rest(self.reader.get_ref().hashes());
        self.structural(problems);
        if let Some(check) = self.check.take().filter(|_| self.is_at_end) {
            self.files.row_checked(self.layout.file, &check);
        }
        let seen = std::mem::take(self.reader.get_mut().seen());
        Finished {
            file: self.layout.file,
            marks: seen.marks,
        }
    }

    /// Is something wrong with the bytes as a whole?
    fn is_broken(&mut self) -> bool {
        let mut found = Problems::new();
        self.structural(&mut found);
        !found.none()
    }

    fn structural(&mut self, problems: &mut Problems) {
        let file = self.layout.file;
        let endless = self.reader.get_ref().endless();
        let last = if endless {
            self.reader.get_mut().seen().row
        } else {
            self.last
        };
        let open = self.files.quote_left_open(file, last);
        let seen = self.reader.get_mut().seen();
        if seen.utf16 {
            problems.add(Problem::new(FileFault::Utf16, Span::whole(file)));
            return;
        }
        let place = |extent| Span { file, extent };
        if endless {
            let (code, at) = (FileFault::RowTooLong, place(Extent::Row(last)));
            let see = open.map(place);
            problems.add(Problem::with(code, at, see));
            return;
        }
        let mut note = |fault, extent| problems.add(Problem::new(fault, place(extent)));
        if let Some(byte) = seen.nul {
            note(FileFault::NulByte, Extent::At(byte));
        }
        if let Some(byte) = seen.lone_return {
            note(FileFault::LoneReturn, Extent::At(byte));
        }
        if let Some(cell) = open {
            note(FileFault::UnevenQuotes, cell);
        }
        // A container called `#1` is no comment, and must not be passed over.
        for byte in self.hashes.rows(self.files, file, self.layout.width) {
            problems.add(Problem::new(TableFault::HashRow, place(Extent::At(byte))));
        }
    }
}

/// What a finished table leaves behind: the line marks of a large file.
pub struct Finished {
    file: FileId,
    marks: Vec<super::file::Mark>,
}

impl Finished {
    /// Keeps the marks, so that a message about a large file finds its line quickly.
    pub fn keep(self, files: &Files) {
        files.set_marks(self.file, self.marks);
    }
}

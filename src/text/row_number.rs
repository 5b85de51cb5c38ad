//! The number of a row as a spreadsheet shows it: line ends inside quotation marks do not count.

use super::file::Files;
use super::span::FileId;
use std::io::{BufRead, BufReader, Read};

/// Counts the rows of one file, forward only.
pub(super) struct RowCount<'f> {
    pub file: FileId,
    bytes: Box<dyn BufRead + 'f>,
    /// Bytes that are counted already.
    pub at: u64,
    rows: u64,
    state: CellState,
    separator: u8,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum CellState {
    LineStart,
    CellStart,
    Cell,
    Quoted,
    /// Just behind a mark that may close a quoted cell.
    Closed,
    Comment,
}

impl CellState {
    fn after(self, byte: u8, separator: u8) -> CellState {
        match (self, byte) {
            (CellState::Quoted, b'"') => CellState::Closed,
            // The second of two marks belongs to the cell.
            (CellState::Quoted, _) | (CellState::Closed, b'"') => CellState::Quoted,
            (_, b'\n') => CellState::LineStart,
            (CellState::Comment, _) | (CellState::LineStart, b'#') => CellState::Comment,
            (CellState::LineStart | CellState::CellStart, b'"') => CellState::Quoted,
            (_, byte) if byte == separator => CellState::CellStart,
            // A byte order mark, and the blank before a cell's own line end.
            (CellState::LineStart, 0xEF | 0xBB | 0xBF) => CellState::LineStart,
            (
                CellState::LineStart | CellState::CellStart | CellState::Cell | CellState::Closed,
                _,
            ) => CellState::Cell,
        }
    }
}

impl<'f> RowCount<'f> {
    /// None counted yet.
    pub(super) fn new(files: &'f Files, file: FileId) -> Option<RowCount<'f>> {
        let reader = files.reader(file).ok()?;
        Some(RowCount {
            file,
            bytes: Box::new(BufReader::new(reader)),
            at: 0,
            rows: 1,
            state: CellState::LineStart,
            separator: files.head(file).separator,
        })
    }

    /// The number of the row that a byte is in; no byte before one that was asked already.
    pub(super) fn at(&mut self, byte: u64) -> u64 {
        let mut chunk = Vec::new();
        while self.at < byte {
            chunk.clear();
            let most = (byte - self.at).min(1 << 16);
            let read = self.bytes.by_ref().take(most).read_to_end(&mut chunk);
            if !read.is_ok_and(|read| read > 0) {
                break;
            }
            for byte in &chunk {
                self.state = self.state.after(*byte, self.separator);
                self.rows += u64::from(self.state == CellState::LineStart && *byte == b'\n');
            }
            self.at += u64::try_from(chunk.len()).unwrap_or(u64::MAX);
        }
        self.rows
    }
}

#[cfg(test)]
mod tests {
    use super::super::file::Files;
    use super::RowCount;

    #[test]
    fn counts_rows_as_a_spreadsheet_does() {
        let text = "\u{feff}a,b\n# \"one\" mark: \"\n\n1,\"two\nlines, \"\"quoted\"\"\n\"\n3/4\" board,x\r\nlast,y\n";
        let mut files = Files::default();
        let file = files.hold("t.csv", text.as_bytes().to_vec());
        let mut count = RowCount::new(&files, file).unwrap();
        let mut row = |of: &str| count.at(u64::try_from(text.find(of).unwrap()).unwrap());
        let rows = ["a,b", "# ", "1,", "quoted", "3/4", "last"].map(&mut row);
        assert_eq!(rows, [1, 2, 4, 4, 5, 6]);
    }
}

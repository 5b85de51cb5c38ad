//! The number of a row as a spreadsheet shows it: line ends inside quotation marks do not count.

use super::file::Files;
use super::span::FileId;
use std::io::{BufRead, BufReader, Read};

/// Counts the rows of one file, forward only.
pub(super) struct RowCount<'f> {
    /// The file.
    pub file: FileId,
    bytes: Box<dyn BufRead + 'f>,
    /// Bytes that are counted already.
    pub at: u64,
    rows: u64,
    state: State,
    separator: u8,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum State {
    LineStart,
    CellStart,
    Cell,
    Quoted,
    /// Just behind a mark that may close a quoted cell.
    Closed,
    Comment,
}

impl State {
    fn after(self, byte: u8, separator: u8) -> State {
        match (self, byte) {
            (State::Quoted, b'"') => State::Closed,
            // The second of two marks belongs to the cell.
            (State::Quoted, _) | (State::Closed, b'"') => State::Quoted,
            (_, b'\n') => State::LineStart,
            (State::Comment, _) | (State::LineStart, b'#') => State::Comment,
            (State::LineStart | State::CellStart, b'"') => State::Quoted,
            (_, byte) if byte == separator => State::CellStart,
            // A byte order mark, and the blank before a cell's own line end.
            (State::LineStart, 0xEF | 0xBB | 0xBF) => State::LineStart,
            (State::LineStart | State::CellStart | State::Cell | State::Closed, _) => State::Cell,
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
            state: State::LineStart,
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
                self.rows += u64::from(self.state == State::LineStart && *byte == b'\n');
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

//! How a table begins and ends: its columns in their order, and its last line. What a new row needs. What this says of the
//! file holds of one and the same state of it.

use super::change::{Added, Change, Refused};
use crate::text::{Shape, Stamp};
use std::io::{ErrorKind, Read};
use std::path::Path;

/// A row to be written: its cells by column.
pub type Row = Vec<(&'static str, String)>;

/// A table to be written, as it is on the disk.
#[derive(Clone, Debug)]
pub struct TableEnd {
    shape: &'static Shape,
    seen: Stamp,
    text: Vec<u8>,
    /// The columns, in the order of the file; of a table that has none yet, all of its shape.
    pub columns: Vec<String>,
    is_new: bool,
    /// The byte at which a last line begins that was cut off in the middle.
    pub(super) torn: Option<u64>,
}

impl TableEnd {
    /// As the table in this folder is now. It is refused if the file comes or goes meanwhile.
    pub fn read(folder: &Path, shape: &'static Shape) -> std::result::Result<TableEnd, Refused> {
        let path = folder.join(shape.file);
        // In this order: what changes after the first look is noticed when rows are added.
        let seen = Stamp::now(&path);
        let text = match std::fs::read(&path) {
            Ok(text) => text,
            Err(fault) if fault.kind() == ErrorKind::NotFound => Vec::new(),
            Err(fault) => return Err(Refused::Unread(shape.file.to_string(), fault)),
        };
        // A file that went away and came back between two looks would get a second row of column names.
        if (seen.length == 0) != text.is_empty() {
            return Err(Refused::Changed(shape.file.to_string()));
        }
        let first = reader(text.as_slice()).into_records().next();
        let first = first.and_then(std::result::Result::ok).unwrap_or_default();
        let mut end = TableEnd {
            shape,
            seen,
            is_new: first.is_empty(),
            columns: first.iter().map(|cell| cell.trim().to_string()).collect(),
            torn: None,
            text,
        };
        let (length, line) = (end.text.len(), end.last_line());
        if end.is_new {
            let all = shape.must.iter().chain(shape.may);
            end.columns = all.map(|column| (*column).to_string()).collect();
        } else if is_torn(line, end.columns.len()) {
            end.torn = u64::try_from(length - line.len()).ok();
        }
        Ok(end)
    }

    /// The table's name.
    pub fn file(&self) -> &'static str {
        self.shape.file
    }

    /// Its rows, with the columns of its shape.
    pub fn rows(&self) -> impl Iterator<Item = Row> {
        let at = |name: &&'static str| {
            let mut columns = self.columns.iter();
            Some((*name, columns.position(|it| it.eq_ignore_ascii_case(name))?))
        };
        let known: Vec<_> = self
            .shape
            .must
            .iter()
            .chain(self.shape.may)
            .filter_map(at)
            .collect();
        let named = move |row: Vec<String>| {
            let cell = |(name, at): &(_, usize)| Some((*name, row.get(*at)?.clone()));
            known.iter().filter_map(cell).collect()
        };
        rows(&self.text).into_iter().skip(1).map(named)
    }

    /// A last row without a line break behind it: a whole one, or one that was cut off. A row may have line breaks inside.
    pub(super) fn last_line(&self) -> &[u8] {
        if self.text.is_empty() || self.text.ends_with(b"\n") {
            return &[];
        }
        let (mut reader, mut record) = (reader(self.text.as_slice()), csv::ByteRecord::new());
        let (mut from, mut end) = (0, 0);
        while let Ok(true) = reader.read_byte_record(&mut record) {
            from = record.position().map_or(0, csv::Position::byte);
            end = reader.position().byte();
        }
        let behind = |byte: u64| {
            let byte = usize::try_from(byte).unwrap_or(usize::MAX);
            self.text.get(byte..).unwrap_or_default()
        };
        // Behind the last row there can only be a comment.
        let mut row = match behind(end) {
            [] => behind(from),
            comment => comment,
        };
        // The reader counts blank lines and comments before a row to it.
        while let Some(line) = row.iter().position(|byte| *byte == b'\n') {
            match row.first() {
                Some(b'#' | b'\r' | b'\n') => row = row.get(line + 1..).unwrap_or_default(),
                Some(_) | None => break,
            }
        }
        row
    }

    /// The table with these rows at its end. A column that it lacks is added to all of its rows.
    pub fn with(&self, rows: &[Row]) -> Change {
        let mut columns = self.columns.clone();
        let filled = rows.iter().flatten().filter(|(_, text)| !text.is_empty());
        for (column, _) in filled {
            if !columns.iter().any(|it| it.eq_ignore_ascii_case(column)) {
                columns.push((*column).to_string());
            }
        }
        let lacking = columns.get(self.columns.len()..).unwrap_or_default();
        let whole = !self.is_new && !lacking.is_empty();
        let mut bytes = if whole {
            widened(&self.text, lacking)
        } else {
            Vec::new()
        };
        let first = self.text.split_inclusive(|byte| *byte == b'\n').next();
        let returns = first.is_some_and(|line| line.ends_with(b"\r\n"));
        let line_break = if returns { "\r\n" } else { "\n" };
        if !self.last_line().is_empty() {
            bytes.extend(line_break.bytes());
        }
        if self.is_new {
            bytes.extend(lines(std::slice::from_ref(&columns), line_break));
        }
        let cell = |row: &Row, column: &String| {
            let named = row
                .iter()
                .find(|(name, _)| column.eq_ignore_ascii_case(name));
            named.map_or_else(String::new, |(_, text)| with_plain_breaks(text))
        };
        let row = |row| columns.iter().map(|column| cell(row, column)).collect();
        let rows: Vec<Vec<String>> = rows.iter().map(row).collect();
        bytes.extend(lines(&rows, line_break));
        Change {
            file: self.shape.file.to_string(),
            seen: self.seen.clone(),
            whole,
            bytes,
            added: Added { columns, rows },
        }
    }
}

pub(super) fn reader<R: Read>(from: R) -> csv::Reader<R> {
    let mut how = csv::ReaderBuilder::new();
    how.has_headers(false).flexible(true).comment(Some(b'#'));
    how.from_reader(from)
}

/// All rows of a text.
pub(super) fn rows(text: &[u8]) -> Vec<Vec<String>> {
    let cells = |row: csv::StringRecord| row.iter().map(str::to_string).collect();
    reader(text).into_records().flatten().map(cells).collect()
}

/// A last line without a line break is whole if it has all its cells; a disk that failed leaves NUL bytes.
fn is_torn(line: &[u8], columns: usize) -> bool {
    let open_quote = line.iter().filter(|byte| **byte == b'"').count() % 2 == 1;
    let cells = || rows(line).first().map_or(0, Vec::len);
    let is_row = !line.is_empty() && !line.starts_with(b"#");
    is_row && (open_quote || line.contains(&0) || cells() < columns)
}

/// A text whose lines end as the table takes them inside a cell: a carriage return alone would end the row for some readers.
pub fn with_plain_breaks(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

/// A table with these columns behind its own, empty in each row; all else stays as it is written.
fn widened(text: &[u8], columns: &[String]) -> Vec<u8> {
    let (mut wide, mut from) = (Vec::new(), 0);
    let mut more = format!(",{}", columns.join(","));
    let (mut reader, mut record) = (reader(text), csv::ByteRecord::new());
    while reader.read_byte_record(&mut record).is_ok_and(|read| read) {
        let end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        let row = text.get(from..end).unwrap_or_default();
        let row = row.strip_suffix(b"\n").unwrap_or(row);
        let row = row.strip_suffix(b"\r").unwrap_or(row);
        wide.extend(row);
        wide.extend(more.bytes());
        from += row.len();
        more = ",".repeat(columns.len());
    }
    wide.extend(text.get(from..).unwrap_or_default());
    wide
}

/// Rows as the lines of a table.
pub(super) fn lines(rows: &[Vec<String>], line_break: &str) -> Vec<u8> {
    let mut how = csv::WriterBuilder::new();
    how.flexible(true).comment(Some(b'#'));
    if line_break == "\r\n" {
        how.terminator(csv::Terminator::CRLF);
    }
    let mut writer = how.from_writer(Vec::new());
    for row in rows {
        // Memory does not refuse what is written to it.
        let _ = writer.write_record(row);
    }
    writer.into_inner().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::{Refused, TableEnd};
    use crate::text::Shape;

    static SHAPE: Shape = Shape {
        file: "log.csv",
        must: &["entry", "when"],
        may: &["note"],
    };

    fn end(text: &str) -> (tempfile::TempDir, TableEnd) {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("log.csv"), text).unwrap();
        let end = TableEnd::read(folder.path(), &SHAPE).unwrap();
        (folder, end)
    }

    fn with(text: &str, row: &[(&'static str, &str)]) -> (String, bool) {
        let (_folder, end) = end(text);
        let row = row.iter().map(|(name, cell)| (*name, (*cell).to_string()));
        let change = end.with(&[row.collect()]);
        (String::from_utf8(change.bytes).unwrap(), change.whole)
    }

    #[test]
    fn a_row_follows_the_columns_of_its_file() {
        let added = |text: &str| match with(text, &[("entry", "7"), ("note", "a, \"b\"")]) {
            (row, false) => row,
            (all, true) => panic!("{all}"),
        };
        assert_eq!(added("note,when,entry\n"), "\"a, \"\"b\"\"\",,7\n");
        assert_eq!(
            added("\u{feff}entry,when,note\r\n1,,\r\n"),
            "7,,\"a, \"\"b\"\"\"\r\n"
        );
        assert_eq!(
            added("# log\n\nentry,when,note\n1,a,b"),
            "\n7,,\"a, \"\"b\"\"\"\n"
        );
        // The reader takes capitals that a spreadsheet put into the names of columns.
        assert_eq!(added("Entry,WHEN,Note\n"), "7,,\"a, \"\"b\"\"\"\n");
        let all = "entry,when,note\n7,,\"a, \"\"b\"\"\"\n";
        assert_eq!(added(""), all);
        assert_eq!(added("# log\n"), all);
        let hash = with("entry,when,note\n", &[("entry", "#7")]);
        assert_eq!(hash, ("\"#7\",,\n".into(), false));
        let gone = TableEnd::read(std::path::Path::new("/no/such"), &SHAPE).unwrap();
        assert_eq!(gone.with(&[]).bytes, b"entry,when,note\n");
    }

    #[test]
    fn a_column_that_a_table_lacks_is_added_to_all_rows() {
        let row = [("entry", "7"), ("note", "n"), ("by", "me")];
        for (text, all) in [
            ("entry,when\n", "entry,when,note,by\n7,,n,me\n"),
            ("entry,when", "entry,when,note,by\n7,,n,me\n"),
            (
                "# log\r\n\r\n\u{feff}When,\"entry\"\r\n\"a\r\nb\" ,1\r\n# a, remark\r\n\r\n,\r\n2,b",
                "# log\r\n\r\n\u{feff}When,\"entry\",note,by\r\n\"a\r\nb\" ,1,,\r\n# a, remark\r\n\r\n,,,\r\n2,b,,\r\n,7,n,me\r\n",
            ),
            (
                "\u{feff}entry,when,,\n1,a,,\n",
                "\u{feff}entry,when,,,note,by\n1,a,,,,\n7,,,,n,me\n",
            ),
        ] {
            assert_eq!(with(text, &row), (all.into(), true), "{text}");
        }
        let empty = [("entry", "7"), ("note", "")];
        assert_eq!(with("entry,when\n", &empty), ("7,\n".into(), false));
    }

    #[test]
    fn a_line_cut_off_is_known() {
        for (text, torn) in [
            ("entry,when,note\n1,a,b\n", None),
            ("entry,when,note\n1,a,b", None),
            ("entry,when,note\n1,a,b\n2,a", Some(22)),
            ("entry,when,note\n1,a,\"b", Some(16)),
            ("entry,when,note\n1,a,b\0\0", Some(16)),
            ("entry,when,note\n# a remark", None),
            ("entry,when,note", None),
        ] {
            let (_, end) = end(text);
            assert_eq!(end.torn, torn, "{text}");
        }
    }

    #[test]
    fn a_folder_is_no_table() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join("log.csv")).unwrap();
        let read = TableEnd::read(folder.path(), &SHAPE);
        assert!(matches!(read, Err(Refused::Unread(..))));
    }
}

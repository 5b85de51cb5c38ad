//! How a table begins and ends: its columns in their order, and its last line. What a new row needs. What this says of the
//! file holds of one and the same state of it.

use super::change::{Added, Change, Refused};
use super::table_text::{is_torn, lines, reader, rows_of, widened};
use crate::text::{CellForm, CellStyle, Encoding, Head, Locale, Shape, Stamp};
use std::io::{Error, ErrorKind};
use std::path::Path;

/// A row to be written: its cells by column.
pub type NamedCells = Vec<(&'static str, String)>;

/// A cell by its column; empty where there is none.
pub fn cell_of<'c>(cells: &'c [(&'static str, String)], column: &str) -> &'c str {
    let found = cells.iter().find(|(name, _)| *name == column);
    found.map_or("", |(_, text)| text)
}

/// A table to be written, as it is on the disk.
#[derive(Clone, Debug)]
pub struct TableEnd {
    shape: &'static Shape,
    seen: Stamp,
    encoding: Encoding,
    pub(super) separator: u8,
    /// As UTF-8, whatever its encoding.
    pub(super) text: Vec<u8>,
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
        let raw = match std::fs::read(&path) {
            Ok(raw) => raw,
            Err(fault) if fault.kind() == ErrorKind::NotFound => Vec::new(),
            Err(fault) => return Err(Refused::Unread(shape.file.to_string(), fault)),
        };
        // A file that went away and came back between two looks would get a second row of column names.
        if (seen.length == 0) != raw.is_empty() {
            return Err(Refused::Changed(shape.file.to_string()));
        }
        let (length, encoding) = (raw.len(), Encoding::detect(&raw));
        let text = encoding.decode(raw).ok_or_else(|| {
            let fault = Error::other("its UTF-16 text is damaged");
            Refused::Unread(shape.file.to_string(), fault)
        })?;
        let mut end = TableEnd {
            shape,
            seen,
            encoding,
            separator: Head::detect(&text).separator,
            is_new: true,
            columns: Vec::new(),
            torn: None,
            text,
        };
        if let Some(first) = rows_of(&end.text, end.separator).next() {
            end.is_new = false;
            end.columns = first.iter().map(|cell| cell.trim().to_string()).collect();
            let line = end.last_line();
            if is_torn(line, end.columns.len(), end.separator) {
                end.torn = u64::try_from(length - encoding.encode(line).len()).ok();
            }
        } else {
            let all = shape.must.iter().chain(shape.may);
            end.columns = all.map(|column| (*column).to_string()).collect();
        }
        Ok(end)
    }

    pub fn file(&self) -> &'static str {
        self.shape.file
    }

    /// May these letters be in a cell? Not by taking the table apart: only a text without quotation marks is spelled the same in
    /// every cell.
    pub fn has_letters(&self, letters: &str) -> bool {
        letters.contains(['"', '\r', '\n'])
            || std::str::from_utf8(&self.text).map_or(true, |text| text.contains(letters))
    }

    /// Its rows, with the columns of its shape, in the form that the program uses.
    pub fn rows(&self, locale: &Locale) -> impl Iterator<Item = NamedCells> {
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
        let plain = |name: &str, cell: &String| match locale.plain(cell, locale.form(name)) {
            Ok(Some(plain)) => plain,
            // What is ambiguous stays as it is, and is refused when the table is read.
            Ok(None) | Err(_) => cell.clone(),
        };
        let named = move |row: Vec<String>| {
            let cell =
                |(name, at): &(&'static str, usize)| Some((*name, plain(name, row.get(*at)?)));
            known.iter().filter_map(cell).collect()
        };
        rows_of(&self.text, self.separator).skip(1).map(named)
    }

    /// A last row without a line break behind it: a whole one, or one that was cut off. A row may have line breaks inside.
    pub(super) fn last_line(&self) -> &[u8] {
        if self.text.is_empty() || self.text.ends_with(b"\n") {
            return &[];
        }
        let (mut reader, mut record) = (
            reader(self.text.as_slice(), self.separator),
            csv::ByteRecord::new(),
        );
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

    /// How this table writes dates and decimals.
    pub(super) fn style(&self, locale: &Locale) -> CellStyle {
        if locale.is_plain() {
            return CellStyle::for_table(locale, std::iter::empty());
        }
        let is_day = |column: &String| locale.form(column) == CellForm::Day;
        let days: Vec<bool> = self.columns.iter().map(is_day).collect();
        let rows: Vec<Vec<String>> = rows_of(&self.text, self.separator).skip(1).collect();
        let cells = rows.iter().flat_map(|row| row.iter().zip(&days));
        let cells = cells.filter(|(_, is_day)| **is_day);
        CellStyle::for_table(locale, cells.map(|(cell, _)| cell.trim()))
    }

    /// `\r\n` or `\n`, as the first line has it.
    pub(super) fn line_break(&self) -> &'static str {
        let first = self.text.split_inclusive(|byte| *byte == b'\n').next();
        let returns = first.is_some_and(|line| line.ends_with(b"\r\n"));
        if returns { "\r\n" } else { "\n" }
    }

    /// The columns that some of these rows fill and the table lacks.
    pub(super) fn lacking(&self, rows: &[NamedCells]) -> Vec<String> {
        let mut lacking: Vec<String> = Vec::new();
        for (column, _) in rows.iter().flatten().filter(|(_, text)| !text.is_empty()) {
            let mut known = self.columns.iter().chain(&lacking);
            if !known.any(|it| it.eq_ignore_ascii_case(column)) {
                lacking.push((*column).to_string());
            }
        }
        lacking
    }

    /// The table with these rows at its end. A column that it lacks is added to all of its rows.
    pub fn with(&self, rows: &[NamedCells], locale: &Locale) -> Change {
        let lacking = self.lacking(rows);
        let columns = [self.columns.as_slice(), &lacking].concat();
        let whole = !self.is_new && !lacking.is_empty();
        let mut bytes = if whole {
            widened(&self.text, &lacking, self.separator)
        } else {
            Vec::new()
        };
        let line_break = self.line_break();
        if !self.last_line().is_empty() {
            bytes.extend(line_break.bytes());
        }
        if self.is_new {
            let names = std::slice::from_ref(&columns);
            bytes.extend(lines(names, line_break, self.separator));
        }
        let style = self.style(locale);
        let cell = |row: &NamedCells, column: &String| {
            let named = row
                .iter()
                .find(|(name, _)| column.eq_ignore_ascii_case(name));
            named.map_or_else(String::new, |(_, text)| {
                style.write(&with_plain_breaks(text), locale.form(column))
            })
        };
        let row = |row| columns.iter().map(|column| cell(row, column)).collect();
        let rows: Vec<Vec<String>> = rows.iter().map(row).collect();
        bytes.extend(lines(&rows, line_break, self.separator));
        let mut change = self.change(whole, bytes);
        change.added = Added { columns, rows };
        change
    }

    /// A change of this table as it was read.
    pub(super) fn change(&self, whole: bool, bytes: Vec<u8>) -> Change {
        Change {
            file: self.shape.file.to_string(),
            seen: self.seen.clone(),
            whole,
            encoding: self.encoding,
            separator: self.separator,
            bytes,
            added: Added::default(),
            dropped: Added::default(),
        }
    }
}

/// A text whose lines end as the table takes them inside a cell: a carriage return alone would end the row for some readers.
pub fn with_plain_breaks(text: &str) -> String {
    text.replace("\r\n", "\n").replace('\r', "\n")
}

#[cfg(test)]
mod tests {
    use super::{Refused, TableEnd};
    use crate::text::{DateOrder, DecimalMark, Locale, Shape};

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
        let change = end.with(&[row.collect()], &Locale::default());
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
        assert_eq!(
            gone.with(&[], &Locale::default()).bytes,
            b"entry,when,note\n"
        );
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
    fn a_table_of_a_spreadsheet_keeps_its_form() {
        let german = Locale {
            dates: Some(DateOrder::DayFirst),
            decimals: Some(DecimalMark::Comma),
            days: &["when"],
            numbers: &["note"],
        };
        let row = [
            ("entry", "7"),
            ("when", "2026-11-01T09:30"),
            ("note", "0.5 L"),
        ];
        let row: Vec<super::NamedCells> =
            vec![row.map(|(name, cell)| (name, cell.to_string())).into()];
        let added = |text: &str| {
            let (_folder, end) = end(text);
            let change = end.with(&row, &german);
            (
                String::from_utf8(change.bytes).unwrap(),
                end.rows(&german).next(),
            )
        };
        let (line, first) = added("\"entry\";when;note\r\n1;31.10.2026 08:00;1,5 L\r\n");
        assert_eq!(line, "7;01.11.2026 09:30;0,5 L\r\n");
        let first = first.unwrap();
        assert_eq!((&*first[1].1, &*first[2].1), ("2026-10-31T08:00", "1.5 L"));
        let (line, _) = added("entry\twhen\n1\t2026-10-31T08:00\n");
        assert_eq!(
            line,
            "entry\twhen\tnote\n1\t2026-10-31T08:00\t\n7\t2026-11-01T09:30\t0,5 L\n"
        );
        let (line, _) = added("\"# a, \"\"b\"\"\";;\nentry;when\n1;2.1.26 9:00");
        assert_eq!(
            line,
            "\"# a, \"\"b\"\"\";;;\nentry;when;note\n1;2.1.26 9:00;\n7;1.11.2026 09:30;0,5 L\n"
        );
    }

    #[test]
    fn a_table_in_utf_16_stays_so() {
        let utf16 = |text: &str| -> Vec<u8> {
            let units = format!("\u{feff}{text}");
            units.encode_utf16().flat_map(u16::to_le_bytes).collect()
        };
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let table = "entry;when;note\r\n1;x;Möbel\r\n";
        for (cell, all) in [
            ("note", "entry;when;note\r\n1;x;Möbel\r\n7;;漆\r\n"),
            ("by", "entry;when;note;by\r\n1;x;Möbel;\r\n7;;;漆\r\n"),
        ] {
            std::fs::write(&path, utf16(table)).unwrap();
            let end = TableEnd::read(folder.path(), &SHAPE).unwrap();
            let row = vec![("entry", "7".to_string()), (cell, "漆".to_string())];
            let change = end.with(&[row], &Locale::default());
            for _ in 0..2 {
                assert!(change.make(folder.path()).unwrap());
                assert_eq!(std::fs::read(&path).unwrap(), utf16(all));
            }
        }
        std::fs::write(&path, utf16("entry;when;note\n1;a;b\n2;a")).unwrap();
        let end = TableEnd::read(folder.path(), &SHAPE).unwrap();
        assert_eq!(end.torn, Some(2 * 23));
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

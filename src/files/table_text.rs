//! The text of a table as rows of cells, and rows as lines of text. It knows no columns.

use crate::text::{Encoding, Head, starts_comment};
use std::fs::File;
use std::io::{Cursor, Error, Read, Result};
use std::path::Path;

/// As much of a table as tells what separates its cells.
const START: u64 = 1 << 16;

pub(super) fn reader<R: Read>(from: R, separator: u8) -> csv::Reader<R> {
    let mut how = csv::ReaderBuilder::new();
    how.has_headers(false).flexible(true).comment(Some(b'#'));
    how.delimiter(separator);
    how.from_reader(from)
}

/// All rows of a text.
pub(super) fn rows(text: &[u8], separator: u8) -> Vec<Vec<String>> {
    let cells = |row: csv::StringRecord| row.iter().map(str::to_string).collect();
    let records = reader(text, separator).into_records();
    records.flatten().map(cells).collect()
}

/// Hands on each record of a table on disk, with the byte of its text (as UTF-8) at which it begins, until `each` says no.
/// Comments that a spreadsheet wrote back as rows are left out.
pub(super) fn each_record(
    path: &Path,
    mut each: impl FnMut(u64, &csv::ByteRecord) -> bool,
) -> Result<()> {
    let mut start = Vec::new();
    File::open(path)?.take(START).read_to_end(&mut start)?;
    let from: Box<dyn Read> = match Encoding::detect(&start) {
        Encoding::Utf8 => Box::new(File::open(path)?),
        encoding => {
            let text = encoding.decode(std::fs::read(path)?);
            let text = text.ok_or_else(|| Error::other("its UTF-16 text is damaged"))?;
            start.clone_from(&text);
            Box::new(Cursor::new(text))
        }
    };
    let mut named = false;
    for record in reader(from, Head::detect(&start).separator).into_byte_records() {
        let record = record.map_err(Error::other)?;
        let mut cells = record.iter();
        let begins = cells.next().is_some_and(starts_comment);
        if begins && (!named || cells.all(|cell| cell.trim_ascii().is_empty())) {
            continue;
        }
        named = true;
        let byte = record.position().map_or(0, csv::Position::byte);
        if !each(byte, &record) {
            break;
        }
    }
    Ok(())
}

/// All rows of a text, without comments that a spreadsheet wrote back as rows.
pub(super) fn rows_of(text: &[u8], separator: u8) -> impl Iterator<Item = Vec<String>> {
    let cells = |row: csv::StringRecord| row.iter().map(str::to_string).collect();
    let records = reader(text, separator).into_records().flatten().map(cells);
    let mut named = false;
    records.filter(move |row: &Vec<String>| {
        let is_row = !is_remark(row, named);
        named |= is_row;
        is_row
    })
}

/// Below the names of the columns, a row with more than one cell is a row.
fn is_remark(row: &[String], named: bool) -> bool {
    let mut cells = row.iter();
    let begins = cells
        .next()
        .is_some_and(|cell| starts_comment(cell.as_bytes()));
    begins && (!named || cells.all(|cell| cell.trim().is_empty()))
}

/// A last line without a line break is whole if it has all its cells; a disk that failed leaves NUL bytes.
pub(super) fn is_torn(line: &[u8], columns: usize, separator: u8) -> bool {
    let open_quote = line.iter().filter(|byte| **byte == b'"').count() % 2 == 1;
    let cells = || rows_of(line, separator).next().map_or(0, |row| row.len());
    let is_row = !line.is_empty() && !line.starts_with(b"#");
    is_row && (open_quote || line.contains(&0) || cells() < columns)
}

/// A table with these columns behind its own, empty in each row; all else stays as it is written.
pub(super) fn widened(text: &[u8], columns: &[String], separator: u8) -> Vec<u8> {
    let (mut wide, mut from) = (Vec::new(), 0);
    let between = char::from(separator).to_string();
    let names = format!("{between}{}", columns.join(&between));
    let (mut named, empty) = (false, between.repeat(columns.len()));
    let (mut reader, mut record) = (reader(text, separator), csv::ByteRecord::new());
    while reader.read_byte_record(&mut record).is_ok_and(|read| read) {
        let end = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        let row = text.get(from..end).unwrap_or_default();
        let row = row.strip_suffix(b"\n").unwrap_or(row);
        let row = row.strip_suffix(b"\r").unwrap_or(row);
        wide.extend(row);
        let is_names = !named && !record.get(0).is_some_and(starts_comment);
        wide.extend(if is_names { &names } else { &empty }.bytes());
        named |= is_names;
        from += row.len();
    }
    wide.extend(text.get(from..).unwrap_or_default());
    wide
}

/// Rows as the lines of a table.
pub(super) fn lines(rows: &[Vec<String>], line_break: &str, separator: u8) -> Vec<u8> {
    let mut how = csv::WriterBuilder::new();
    how.flexible(true).comment(Some(b'#')).delimiter(separator);
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

//! The rows of the journal: each row that was written into a table, cell by cell, and what a row means however it is spelled.

use super::change::Added;
use super::table_text::{lines, rows};
use crate::quantity::{Day, Measure};
use crate::text::row_digest;
use std::borrow::Cow;
use std::fs::File;
use std::io::{BufRead, BufReader, Error, ErrorKind, Result};
use std::path::Path;
use std::sync::Arc;

/// The folder inside a shop folder in which the journal lives.
pub(super) const HOME: &str = ".sandarac";
/// The journal, as a path inside a shop folder.
pub const JOURNAL: &str = ".sandarac/journal";
/// Begins the line that names a table and its columns.
pub(super) const COLUMNS: u8 = b':';
/// Begins a row that the table must have from now on.
pub(super) const KEPT: u8 = b'=';
/// Begins a row that it need not have any more.
pub(super) const DROPPED: u8 = b'-';

/// The tables of which it is known that they have every row that was written.
pub(super) const WATCHED: [&str; 2] = ["log.csv", "checks.csv"];

/// What makes a row of a table this one and no other: the name of an entry, or the question with its time and subject.
fn key_columns(table: &str) -> &'static [&'static str] {
    match table {
        "log.csv" => &["entry"],
        "checks.csv" => &["when", "check", "where"],
        "inventory.csv" => &["container"],
        _ => &[],
    }
}

/// A row with its columns.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptRow {
    /// The names of its columns, in small letters.
    pub columns: Arc<Vec<String>>,
    pub cells: Vec<String>,
}

impl KeptRow {
    /// The filled cells with their columns.
    pub fn filled(&self) -> impl Iterator<Item = (&str, &str)> {
        let pairs = self.columns.iter().zip(&self.cells);
        pairs
            .map(|(column, cell)| (column.as_str(), cell.trim()))
            .filter(|(column, cell)| !column.is_empty() && !cell.is_empty())
    }

    /// A cell by its column.
    pub fn cell(&self, column: &str) -> &str {
        let mut filled = self.filled();
        let found = filled.find(|(name, _)| *name == column);
        found.map_or("", |(_, cell)| cell)
    }

    /// What makes it this row and no other.
    pub(super) fn key(&self, table: &str) -> Vec<String> {
        let cell = |column: &&'static str| normal(column, self.cell(column)).into_owned();
        key_columns(table).iter().map(cell).collect()
    }

    /// Is this the row that was written, perhaps corrected by hand? Half of its filled cells must be as they were: a row that
    /// another program put in its place may have its name.
    pub(super) fn is_alike(&self, table: &str, found: &KeptRow) -> bool {
        if self.meaning() == found.meaning() {
            return true;
        }
        let key = self.key(table);
        let is_same = |column: &str, cell: &str| {
            let other = found.cell(column);
            normal(column, cell) == normal(column, other)
        };
        let filled = || {
            self.filled()
                .filter(|(column, _)| !key_columns(table).contains(column))
        };
        let same = filled().filter(|(column, cell)| is_same(column, cell));
        key.iter().any(|cell| !cell.is_empty())
            && key == found.key(table)
            && same.count() * 2 >= filled().count()
    }

    /// The row as a message shows it.
    pub fn shown(&self) -> String {
        let shown = |(column, _): &(&str, &str)| !matches!(*column, "written" | "id");
        let cells: Vec<&str> = self.filled().filter(shown).map(|(_, cell)| cell).collect();
        cells.join(", ").replace(['\r', '\n'], " / ")
    }

    /// Eight bytes for what it means: the same for rows whose columns stand in another order, whose times have a space for
    /// the `T`, or whose amounts are written with other digits or units.
    pub(super) fn meaning(&self) -> u64 {
        self.filled().fold(0_u64, |sum, (column, cell)| {
            let digest = |text: &str| row_digest(text, std::iter::once(text.len()));
            let cell = digest(&normal(column, cell));
            sum.wrapping_add(digest(column).rotate_left(32) ^ cell)
        })
    }

    /// Eight bytes for how it is spelled.
    pub(super) fn spelling(&self) -> u64 {
        row_digest(&self.cells.concat(), self.cells.iter().map(String::len))
    }
}

/// A cell in one spelling of those that mean the same.
fn normal<'c>(column: &str, cell: &'c str) -> Cow<'c, str> {
    let cell = cell.trim();
    if matches!(column, "what" | "answer") {
        return cell.to_lowercase().into();
    }
    if let Some(moment) = moment(cell) {
        return moment.into();
    }
    // A decimal comma means what a point means.
    let read = || Measure::parse(cell).or_else(|_| Measure::parse(&cell.replacen(',', ".", 1)));
    if column == "amount"
        && let Ok(measure) = read()
    {
        return format!("{:?} {}", measure.unit.dimension, measure.base.digits()).into();
    }
    if cell.contains('\r') {
        return cell.replace("\r\n", "\n").replace('\r', "\n").into();
    }
    cell.into()
}

/// A moment or a day in one form, however a spreadsheet writes it; `None` for anything else. Which of two numbers is the
/// month is unknown here, so they stand in the order of their size.
fn moment(cell: &str) -> Option<String> {
    let end = cell.find(['T', ' ']).unwrap_or(cell.len());
    let (day, clock) = cell.split_at_checked(end)?;
    let mark = day.chars().find(|c| !c.is_ascii_digit())?;
    let parts: Vec<&str> = day.split(mark).collect();
    let [a, b, c] = parts.as_slice() else {
        return None;
    };
    let (year, one, other) = if a.len() == 4 { (a, b, c) } else { (c, a, b) };
    let number = |text: &str| text.parse::<u16>().ok().filter(|_| text.len() <= 4);
    let (one, other) = (number(one)?, number(other)?);
    let year = match year.len() {
        2 => 2000 + number(year)?,
        4 => number(year)?,
        _ => return None,
    };
    Day::parse(&format!("{year:04}-{:02}-{:02}", one.min(other).min(12), 1)).ok()?;
    let clock = clock.get(1..).unwrap_or("");
    let clock = match clock.len() {
        8 => clock.strip_suffix(":00")?,
        0 => "00:00",
        _ => clock,
    };
    Some(format!(
        "{year}-{}-{}T{clock:0>5}",
        one.min(other),
        one.max(other)
    ))
}

/// The lines of the journal that keep these rows, or drop them.
pub(super) fn as_lines(table: &str, sign: u8, rows: &Added) -> Vec<u8> {
    let mut text = Vec::new();
    if rows.rows.is_empty() {
        return text;
    }
    let mut head = vec![table.to_string()];
    head.extend(rows.columns.iter().cloned());
    signed(COLUMNS, &lines(&[head], "\n", b','), &mut text);
    signed(sign, &lines(&rows.rows, "\n", b','), &mut text);
    text
}

/// Each line with a sign before it.
pub(super) fn signed(sign: u8, bytes: &[u8], text: &mut Vec<u8>) {
    for line in bytes.split_inclusive(|byte| *byte == b'\n') {
        text.push(sign);
        text.extend(line);
    }
}

/// Gathers rows from signed lines.
#[derive(Default)]
pub(super) struct SignedRows {
    table: String,
    columns: Vec<String>,
    sign: u8,
    bytes: Vec<u8>,
}

impl SignedRows {
    /// Takes a line. If it ends some rows, these are handed on: the table, the sign, and the rows.
    pub fn take(&mut self, line: &[u8], mut each: impl FnMut(&str, u8, Added)) {
        let (sign, rest) = line.split_first().unwrap_or((&0, &[]));
        let is_row = matches!(*sign, KEPT | DROPPED);
        if !is_row || *sign != self.sign {
            self.end(&mut each);
        }
        if is_row {
            self.sign = *sign;
            self.bytes.extend(rest);
        } else if *sign == COLUMNS {
            let mut head = rows(rest, b',').into_iter().flatten();
            self.table = head.next().unwrap_or_default();
            self.columns = head.map(|column| column.to_ascii_lowercase()).collect();
        }
    }

    /// Hands on what was not handed on yet.
    pub fn end(&mut self, each: &mut impl FnMut(&str, u8, Added)) {
        let bytes = std::mem::take(&mut self.bytes);
        let sign = std::mem::take(&mut self.sign);
        if !bytes.is_empty() {
            let columns = self.columns.clone();
            let rows = rows(&bytes, b',');
            each(&self.table, sign, Added { columns, rows });
        }
    }
}

/// Hands on each row of a table that the journal keeps or drops, in order. Without a journal there is none.
pub(super) fn each_row(
    journal: &Path,
    table: &str,
    mut each: impl FnMut(u8, KeptRow),
) -> Result<()> {
    match std::fs::metadata(journal) {
        // Opening a pipe would wait forever.
        Ok(found) if !found.is_file() => return Err(Error::other("the journal is not a file")),
        Err(fault) if fault.kind() == ErrorKind::NotFound => return Ok(()),
        Ok(_) | Err(_) => {}
    }
    let file = File::open(journal)?;
    let mut hand_on = |of: &str, sign: u8, rows: Added| {
        if of == table {
            let columns = Arc::new(rows.columns);
            let row = |cells| KeptRow {
                columns: Arc::clone(&columns),
                cells,
            };
            rows.rows.into_iter().map(row).for_each(|it| each(sign, it));
        }
    };
    let (mut found, mut line) = (SignedRows::default(), Vec::new());
    let mut reader = BufReader::new(file);
    while reader.read_until(b'\n', &mut line)? > 0 {
        found.take(&line, &mut hand_on);
        line.clear();
    }
    found.end(&mut hand_on);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::KeptRow;

    fn row(columns: &str, cells: &str) -> KeptRow {
        let split = |text: &str| text.split('|').map(str::to_string).collect();
        KeptRow {
            columns: std::sync::Arc::new(split(columns)),
            cells: split(cells),
        }
    }

    #[test]
    fn a_row_means_the_same_however_it_is_spelled() {
        let columns = "entry|when|what|amount|note";
        let written = row(columns, "7|2026-10-31T18:00|use|1 qt|a\nb");
        for (columns, cells) in [
            (columns, "7|2026-10-31 18:00|use|1 qt|a\nb"),
            (columns, "7|31.10.2026 18:00|use|1,0 qt|a\nb"),
            (columns, "7|10/31/2026 18:00|use|1 qt|a\nb"),
            (columns, "7|2026-10-31 18:00:00|Use|2 pt|a\r\nb"),
            (
                "note|amount|when|what|entry",
                "a\nb|1.0 qt|2026-10-31T18:00|use|7",
            ),
            (
                "entry|when|what|amount|note|id",
                "7|2026-10-31T18:00| use |1 qt|a\nb|",
            ),
        ] {
            assert_eq!(row(columns, cells).meaning(), written.meaning(), "{cells}");
        }
        for cells in [
            "8|2026-10-31T18:00|use|1 qt|a\nb",
            "7|2026-10-31T18:01|use|1 qt|a\nb",
            "7|2026-10-31T18:00|use|1 pt|a\nb",
            "7|2026-10-31T18:00|use|1 qt|a b",
            "7|2026-10-31T18:00|use||a\nb",
        ] {
            assert_ne!(row(columns, cells).meaning(), written.meaning(), "{cells}");
        }
    }
}

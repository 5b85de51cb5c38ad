//! Rows that a table must still have. Digests of them go in, in the order in which they were written; out comes whether a
//! table that was read to its end has them all in that order. What a missing digest means is for others to find out.

use csv::StringRecord;
use std::fs::File;
use std::io::{BufReader, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// An odd number whose bits are well mixed.
const FACTOR: u64 = 0x9E37_79B9_7F4A_7C15;

/// The rows that a table must have.
pub struct ExpectedRows {
    rows: WhichRows,
    /// The table had so many rows.
    least: u64,
    pub(super) has_all: OnceLock<bool>,
    /// So many rows were read.
    pub(super) seen: OnceLock<u64>,
}

/// Which rows a table must have.
enum WhichRows {
    /// Those whose digests are in a file, eight bytes for each, behind so many others.
    Digests(PathBuf, u64),
    /// None in particular.
    Any,
    /// That is not known.
    Unknown,
}

/// Follows the rows of a table as they are read.
pub(super) struct RowCheck {
    digests: Option<BufReader<File>>,
    next: Option<u64>,
    rows: u64,
    least: u64,
}

impl ExpectedRows {
    /// Rows whose digests are in a file from a byte on, of a table that had so many rows.
    pub fn new(path: &Path, from: u64, least: u64) -> ExpectedRows {
        ExpectedRows::of(WhichRows::Digests(path.to_path_buf(), from), least)
    }

    /// No row in particular: the rows are only counted.
    pub fn any() -> ExpectedRows {
        ExpectedRows::of(WhichRows::Any, 0)
    }

    /// Rows of which no digests are at hand, so that the table must be looked at closely.
    pub fn unknown() -> ExpectedRows {
        ExpectedRows::of(WhichRows::Unknown, 0)
    }

    fn of(rows: WhichRows, least: u64) -> ExpectedRows {
        ExpectedRows {
            rows,
            least,
            has_all: OnceLock::new(),
            seen: OnceLock::new(),
        }
    }

    pub(super) fn check(&self) -> Option<RowCheck> {
        let digests = match &self.rows {
            WhichRows::Unknown => return None,
            WhichRows::Any => None,
            WhichRows::Digests(path, from) => {
                let mut file = File::open(path).ok()?;
                file.seek(SeekFrom::Start(*from)).ok()?;
                Some(BufReader::with_capacity(1 << 16, file))
            }
        };
        let mut check = RowCheck {
            digests,
            next: None,
            rows: 0,
            least: self.least,
        };
        check.advance();
        Some(check)
    }
}

impl RowCheck {
    #[inline(always)]
    pub fn see(&mut self, record: &StringRecord) {
        self.rows += 1;
        let Some(next) = self.next else { return };
        if next == row_digest(record.as_slice(), record.iter().map(str::len)) {
            self.advance();
        }
    }

    fn advance(&mut self) {
        let mut bytes = [0; 8];
        let read = self.digests.as_mut().map(|it| it.read_exact(&mut bytes));
        self.next = matches!(read, Some(Ok(()))).then(|| u64::from_le_bytes(bytes));
    }

    pub fn rows(&self) -> u64 {
        self.rows
    }

    pub fn has_all(&self) -> bool {
        self.next.is_none() && self.rows >= self.least
    }
}

/// Eight bytes that stand for a row: its cells as one text, and the length of each. Empty cells count for nothing, so that a
/// new column at the end of a table changes no digest. Quotation marks and line ends are no part of it.
pub fn row_digest(cells: &str, lengths: impl Iterator<Item = usize>) -> u64 {
    let mut digest = FACTOR;
    for (at, length) in lengths.enumerate() {
        if length > 0 {
            digest = mix(digest, word(at) << 32 | word(length));
        }
    }
    let (words, rest) = cells.as_bytes().as_chunks::<8>();
    for bytes in words {
        digest = mix(digest, u64::from_le_bytes(*bytes));
    }
    let mut last = [0; 8];
    last.iter_mut().zip(rest).for_each(|(to, from)| *to = *from);
    mix(digest, u64::from_le_bytes(last))
}

/// Both halves of the product with a fixed number, one over the other.
fn mix(digest: u64, word: u64) -> u64 {
    let product = u128::from(digest.rotate_left(5) ^ word) * u128::from(FACTOR);
    let half = |bits: u128| u64::try_from(bits & u128::from(u64::MAX)).unwrap_or(0);
    half(product) ^ half(product >> 64)
}

fn word(number: usize) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::row_digest;
    use std::collections::HashSet;

    fn digest(cells: &[&str]) -> u64 {
        row_digest(&cells.concat(), cells.iter().map(|cell| cell.len()))
    }

    #[test]
    fn each_change_of_a_row_changes_its_digest() {
        let rows: [&[&str]; 8] = [
            &["1", "use", "A-1", "1 pt"],
            &["2", "use", "A-1", "1 pt"],
            &["1", "use", "A-1", "2 pt"],
            &["1", "use", "A-11", " pt"],
            &["1", "use", "", "A-1", "1 pt"],
            &["1use", "A-1", "1 pt"],
            &["1", "use", "A-1", "1 pt", "\0"],
            &["", "", "", ""],
        ];
        let digests: HashSet<u64> = rows.iter().map(|row| digest(row)).collect();
        assert_eq!(digests.len(), rows.len());
        assert_eq!(digest(&["1", "use"]), digest(&["1", "use", "", ""]));
        let many: HashSet<u64> = (0..100_000)
            .map(|n| digest(&[&n.to_string(), "use"]))
            .collect();
        assert_eq!(many.len(), 100_000);
    }
}

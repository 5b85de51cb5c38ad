//! An index of the journal: eight bytes for each row that a table must have, in their order. A reader compares them while it
//! reads the table. Whatever is odd about an index only means that it is rebuilt, or that the table is looked at closely.

use super::kept_rows::{HOME, JOURNAL, KEPT, WATCHED, each_row};
use crate::text::{ExpectedRows, FileId, Files};
use std::fs::{File, OpenOptions};
use std::io::{BufWriter, Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Begins an index. Another way to reckon digests gets another mark.
const MARK: u64 = u64::from_le_bytes(*b"rows v1\n");
/// The mark and three numbers.
const HEAD: u64 = 32;

/// What an index says before its digests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct RowIndex {
    /// The length of the journal that it belongs to.
    pub journal: u64,
    /// How many digests there are.
    pub count: u64,
    /// How many rows the table had.
    pub least: u64,
}

impl RowIndex {
    /// As it is on the disk; `None` if it is missing, cut short or no index.
    pub fn read(folder: &Path, table: &str) -> Option<RowIndex> {
        let path = path(folder, table);
        let found = std::fs::symlink_metadata(&path).ok()?;
        if !found.is_file() {
            return None;
        }
        let (mut bytes, mut file) = ([0; 32], File::open(path).ok()?);
        file.read_exact(&mut bytes).ok()?;
        let (words, _) = bytes.as_chunks::<8>();
        let [mark, journal, count, least] = words else {
            return None;
        };
        let [mark, journal, count, least] =
            [mark, journal, count, least].map(|word| u64::from_le_bytes(*word));
        let is_whole = found.len() >= HEAD.saturating_add(count.saturating_mul(8));
        (mark == MARK && is_whole).then_some(RowIndex {
            journal,
            count,
            least,
        })
    }

    /// The index of a table, if it belongs to a journal of this length.
    pub fn of_journal(folder: &Path, table: &str, journal: u64) -> Option<RowIndex> {
        RowIndex::read(folder, table).filter(|index| index.journal == journal)
    }

    /// Takes the index of a table away: it is made anew, and says nothing of the rows that the table had before.
    pub fn forget(folder: &Path, table: &str) -> Result<()> {
        match std::fs::remove_file(path(folder, table)) {
            Err(fault) if fault.kind() != ErrorKind::NotFound => Err(fault),
            Ok(()) | Err(_) => Ok(()),
        }
    }

    fn head(&self) -> [u8; 32] {
        let mut bytes = [0; 32];
        let words = [MARK, self.journal, self.count, self.least];
        for (to, word) in bytes.as_chunks_mut::<8>().0.iter_mut().zip(words) {
            *to = word.to_le_bytes();
        }
        bytes
    }

    /// Adds digests. The head comes last, so that an index that was cut short does not belong to the journal.
    pub fn add(mut self, folder: &Path, table: &str, digests: &[u64]) -> Result<()> {
        let mut file = OpenOptions::new().write(true).open(path(folder, table))?;
        file.seek(SeekFrom::Start(HEAD + self.count * 8))?;
        let bytes: Vec<u8> = digests.iter().flat_map(|it| it.to_le_bytes()).collect();
        file.write_all(&bytes)?;
        self.count += u64::try_from(digests.len()).unwrap_or(0);
        file.set_len(HEAD + self.count * 8)?;
        file.seek(SeekFrom::Start(0))?;
        file.write_all(&self.head())
    }

    /// Writes an index again.
    pub fn write(mut self, folder: &Path, table: &str, digests: &[u64]) -> Result<()> {
        let path = path(folder, table);
        // Nothing is written through a link, and a pipe would wait forever.
        if std::fs::symlink_metadata(&path).is_ok_and(|found| !found.is_file()) {
            std::fs::remove_file(&path)?;
        }
        let mut out = BufWriter::new(File::create(path)?);
        out.write_all(&[0; 32])?;
        for digest in digests {
            out.write_all(&digest.to_le_bytes())?;
        }
        self.count = u64::try_from(digests.len()).unwrap_or(0);
        out.seek(SeekFrom::Start(0))?;
        out.write_all(&self.head())?;
        out.flush()
    }
}

fn path(folder: &Path, table: &str) -> PathBuf {
    folder.join(HOME).join(format!("{table}.rows"))
}

/// The length of the journal of a folder; nothing where there is none. One that cannot be looked at has a length that no index has, so
/// that tables are looked at closely.
pub(super) fn journal_length(folder: &Path) -> u64 {
    match std::fs::symlink_metadata(folder.join(JOURNAL)) {
        Ok(found) if found.is_file() => found.len(),
        Ok(_) => 0,
        Err(fault) if is_absent(&fault) => 0,
        Err(_) => u64::MAX,
    }
}

fn is_absent(fault: &Error) -> bool {
    matches!(fault.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory)
}

/// May there be an index of a table that could not be read?
fn may_be_there(folder: &Path, table: &str) -> bool {
    let found = std::fs::symlink_metadata(path(folder, table));
    found.map_or_else(|fault| !is_absent(&fault), |found| found.is_file())
}

/// Do the indexes belong to the journal as it is?
pub(super) fn are_current(folder: &Path) -> bool {
    let journal = journal_length(folder);
    let is_current = |table: &&str| RowIndex::of_journal(folder, table, journal).is_some();
    journal == 0 || WATCHED.iter().all(is_current)
}

/// Has a table the rows that were written into it? That is found out while it is read, see [`Files::lacks_rows`].
pub fn expect_rows(folder: &Path, table: &str, file: FileId, files: &mut Files) {
    if !WATCHED.contains(&table) {
        return;
    }
    let journal = journal_length(folder);
    files.expect(
        file,
        match RowIndex::of_journal(folder, table, journal) {
            Some(index) => ExpectedRows::new(&path(folder, table), HEAD, index.least),
            None if journal == 0 && !may_be_there(folder, table) => ExpectedRows::any(),
            None => ExpectedRows::unknown(),
        },
    );
}

/// Were rows written into a table or seen in it, so that it must be there?
pub fn has_rows(folder: &Path, table: &str) -> bool {
    if !WATCHED.contains(&table) {
        return false;
    }
    let journal = journal_length(folder);
    if let Some(index) = RowIndex::of_journal(folder, table, journal) {
        return index.count > 0 || index.least > 0;
    }
    let mut rows = 0_i64;
    let path = folder.join(JOURNAL);
    let read = each_row(&path, table, |sign, _| {
        rows += if sign == KEPT { 1 } else { -1 };
    });
    // A journal that cannot be read may have some.
    read.is_err() || rows > 0
}

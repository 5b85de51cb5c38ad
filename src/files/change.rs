//! A change of one table: lines at its end, or all of its lines again. And why nothing is written.

use super::write::{sync, sync_folder, whole};
use crate::text::{Encoding, Stamp, Words, row_digest};
use std::borrow::Cow;
use std::fs::{File, OpenOptions};
use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};
use std::path::Path;

/// What is to become of one table.
#[derive(Clone, Debug)]
pub struct Change {
    /// The table, by its bare name.
    pub file: String,
    /// The table as it was when the change was thought out.
    pub(super) seen: Stamp,
    /// Are these all lines of the table, or only those at its end?
    pub whole: bool,
    /// The encoding of the table.
    pub(super) encoding: Encoding,
    /// What separates its cells.
    pub(super) separator: u8,
    /// Whole lines, as UTF-8.
    pub bytes: Vec<u8>,
    /// The rows among them that are new.
    pub(super) added: Added,
    /// The rows that the table need not have any more.
    pub(super) dropped: Added,
}

/// Rows with the names of their columns.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Added {
    pub columns: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

/// What a writer found and settled before its own rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Note {
    /// These lines were cut short and are in the table now.
    Finished(String, String),
    /// These lines were cut short, and the table changed since: they were set aside.
    Unplaced(String, String),
    /// The last line of a table was cut off and set aside.
    Torn(String, String),
}

/// Why nothing was written.
#[derive(Debug)]
pub enum Refused {
    /// Another writer holds the journal.
    Busy,
    /// A file was changed since it was read.
    Changed(String),
    /// A file may not be read, so that its content is unknown.
    Unread(String, Error),
    /// A file is a link, and may lead anywhere.
    Link(String),
    /// The folder is on a drive that locks nothing, so that two programs could write at once.
    Unlocked(Error),
    /// The disk or the system refused.
    Fault(String, Error),
    /// The same, but the rows are in the journal: the next command puts them into their tables.
    Left(String, Error),
}

impl Added {
    /// How each row is spelled, in eight bytes.
    pub fn digests(&self) -> impl Iterator<Item = u64> {
        let spelling = |row: &Vec<String>| row_digest(&row.concat(), row.iter().map(String::len));
        self.rows.iter().map(spelling)
    }
}

impl Change {
    /// The bytes as they go into the file.
    fn encoded(&self) -> Cow<'_, [u8]> {
        match self.encoding {
            Encoding::Utf8 => Cow::Borrowed(&self.bytes),
            Encoding::Utf16Le | Encoding::Utf16Be => {
                let mark = if self.whole {
                    self.encoding.mark()
                } else {
                    b""
                };
                Cow::Owned([mark, &self.encoding.encode(&self.bytes)].concat())
            }
        }
    }

    /// Makes the change, or the rest of it, and syncs it. A table that is neither as it was seen nor in the middle of this change
    /// is left alone. Gives whether the table has the change now.
    pub(super) fn make(&self, folder: &Path) -> Result<bool> {
        let path = folder.join(&self.file);
        let is_new = !path.exists();
        // A table that went away is not begun again, and one that came is looked at.
        let how = OpenOptions::new()
            .append(true)
            .create(self.seen.length == 0)
            .open(&path);
        let mut file = match how {
            Err(fault) if fault.kind() == ErrorKind::NotFound => return Ok(false),
            file => file?,
        };
        let (length, tail) = (file.metadata()?.len(), self.tail(&path)?);
        let bytes = self.encoded();
        if tail == *bytes {
            return Ok(true);
        }
        let is_begun = !self.whole && bytes.starts_with(&tail);
        if length < self.seen.length || length > self.seen.length && !is_begun {
            return Ok(false);
        }
        if self.whole {
            whole(&path, &bytes)?;
        } else {
            if length > self.seen.length {
                shorten(&path, self.seen.length)?;
            }
            file.write_all(&bytes)?;
            sync(&file)?;
        }
        if is_new {
            sync_folder(folder)?;
        }
        Ok(self.tail(&path)? == *bytes)
    }

    /// Undoes a change that is still the end of its table; `before` is the table as it was, where all of it changed.
    pub(super) fn undo(&self, folder: &Path, before: Option<&[u8]>) -> Result<()> {
        let path = folder.join(&self.file);
        let tail = self.tail(&path)?;
        match before {
            _ if tail.is_empty() || !self.encoded().starts_with(&tail) => Ok(()),
            Some(before) => whole(&path, before),
            None if self.seen.changed.is_none() => std::fs::remove_file(path),
            None => shorten(&path, self.seen.length),
        }
    }

    /// The table from the byte on where this change puts its lines, and one byte more than they have.
    fn tail(&self, path: &Path) -> Result<Vec<u8>> {
        let (mut bytes, from) = (Vec::new(), if self.whole { 0 } else { self.seen.length });
        match File::open(path) {
            Ok(file) if file.metadata()?.is_dir() => Ok(bytes),
            Ok(mut file) => {
                file.seek(SeekFrom::Start(from))?;
                let most = u64::try_from(self.encoded().len()).unwrap_or(u64::MAX);
                file.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
                Ok(bytes)
            }
            Err(fault) if fault.kind() == ErrorKind::NotFound => Ok(bytes),
            Err(fault) => Err(fault),
        }
    }
}

/// Cuts a file off, and syncs it.
pub(super) fn shorten(path: &Path, length: u64) -> Result<()> {
    let file = OpenOptions::new().write(true).open(path)?;
    file.set_len(length)?;
    sync(&file)
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let aside = "set aside in .sandarac/unplaced.csv";
        match self {
            Note::Finished(file, lines) => write!(
                f,
                "an entry was cut short last time and is now finished in {file}: `{lines}`"
            ),
            Note::Unplaced(file, lines) => write!(
                f,
                "an entry was cut short last time, and {file} has changed since. `{lines}` is in no table; it was {aside}"
            ),
            Note::Torn(file, line) => write!(
                f,
                "the last line of {file} was incomplete: `{line}`. It was {aside}"
            ),
        }
    }
}

impl Refused {
    /// What is in the way of writing, and what to do about it.
    pub fn words(&self) -> Words {
        match self {
            Refused::Busy => Words::new(
                "Another program has been writing into this shop folder for ten seconds.",
                "Let it finish, then try again.",
            ),
            Refused::Changed(file) => Words::new(
                format!("Another program changed {file} just now, after it was read."),
                "Save and close it there, check its last lines, then try again.",
            ),
            Refused::Unread(file, fault) => Words::new(
                format!("{file} cannot be read: {fault}."),
                "Check that you may read it.",
            ),
            Refused::Link(file) => Words::new(
                format!("{file} is a link. Nothing is written through a link."),
                "Put the file itself into the shop folder.",
            ),
            Refused::Unlocked(fault) => Words::new(
                format!(
                    "The shop folder cannot be locked: {fault}. Two programs could write into it at once."
                ),
                "Keep the shop folder on a drive of this computer.",
            ),
            Refused::Fault(file, fault) => Words::new(
                format!("{file} cannot be written: {fault}."),
                "Check that you may write there and that the disk has room.",
            ),
            Refused::Left(file, fault) => Words::new(
                format!(
                    "{file} cannot be written completely: {fault}. The entry is kept in .sandarac/journal."
                ),
                "Do not enter it again. Run `sandarac stock` when the disk works: it puts the entry into the table.",
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Added, Change};
    use crate::text::{Encoding, Stamp};

    fn change(folder: &tempfile::TempDir, bytes: &str, whole: bool) -> Change {
        Change {
            file: "log.csv".into(),
            seen: Stamp::now(&folder.path().join("log.csv")),
            whole,
            encoding: Encoding::Utf8,
            separator: b',',
            bytes: bytes.into(),
            added: Added::default(),
            dropped: Added::default(),
        }
    }

    #[test]
    fn a_table_that_came_or_went_gets_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let is = |text: &str| assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text);
        let made = |change: &Change| change.make(folder.path()).unwrap();
        let of_none = change(&folder, "entry\n1\n", false);
        std::fs::write(&path, "when,entry\n").unwrap();
        assert!(!made(&of_none));
        is("when,entry\n");
        let (of_one, all) = (
            change(&folder, "1\n", false),
            change(&folder, "when\n", true),
        );
        std::fs::write(&path, "when,entry\n9\n").unwrap();
        assert!(!made(&of_one) && !made(&all));
        is("when,entry\n9\n");
        std::fs::remove_file(&path).unwrap();
        assert!(!made(&of_one) && !made(&all) && !path.exists());
        for begun in ["", "ent", "entry\n1\n"] {
            std::fs::write(&path, begun).unwrap();
            assert!(made(&of_none));
            is("entry\n1\n");
        }
    }

    #[test]
    fn a_whole_table_is_made_or_undone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let is = |text: &str| assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        std::fs::write(&path, "entry\n1\n").unwrap();
        let all = change(&folder, "entry,id\n1,\n2,\n", true);
        for _ in 0..2 {
            assert!(all.make(folder.path()).unwrap());
            is("entry,id\n1,\n2,\n");
        }
        all.undo(folder.path(), Some(b"entry\n1\n")).unwrap();
        is("entry\n1\n");
        std::fs::write(&path, "entry\n1\n7\n").unwrap();
        assert!(!all.make(folder.path()).unwrap());
        all.undo(folder.path(), Some(b"entry\n1\n")).unwrap();
        is("entry\n1\n7\n");
    }
}

//! A change of one table: rows at its end, or the whole table anew. And why a change is refused.

use super::write::{sync_folder, whole};
use crate::text::Stamp;
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
    /// Are these all bytes of the table, or only those at its end?
    pub whole: bool,
    /// Whole lines.
    pub bytes: Vec<u8>,
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
    /// The journal's last record is damaged and was set aside.
    Unreadable,
    /// Rows of these names are no longer in the log, and were set aside.
    Lost(Vec<String>),
}

/// Why nothing was written.
#[derive(Debug)]
pub enum Refused {
    /// Another writer holds the journal.
    Busy,
    /// A file was changed since it was read.
    Changed(String),
    /// A file was changed while it was being added to, so that the addition is not in it.
    Overtaken(String),
    /// A file into which rows were written is not there any more.
    Gone(String),
    /// A file may not be read, so that its content is unknown.
    Unread(String, Error),
    /// A file is a link, and may lead anywhere.
    Link(String),
    /// The disk or the system refused.
    Fault(String, Error),
}

impl Change {
    /// The byte from which on the table gets these bytes.
    fn at(&self) -> u64 {
        if self.whole { 0 } else { self.seen.length }
    }

    /// Puts the bytes into the table if that is `length` bytes long. A table that came or went meanwhile would get its column
    /// names in the middle, or none. Gives whether the table had that length.
    fn place(&self, folder: &Path, length: u64) -> Result<bool> {
        let path = folder.join(&self.file);
        let mut how = OpenOptions::new();
        how.append(true);
        let (mut file, is_new) = match how.open(&path) {
            Ok(file) => (file, false),
            Err(fault) if fault.kind() != ErrorKind::NotFound => return Err(fault),
            Err(_) if length > 0 => return Ok(false),
            Err(_) => match how.create_new(true).open(&path) {
                Err(fault) if fault.kind() == ErrorKind::AlreadyExists => return Ok(false),
                file => (file?, true),
            },
        };
        if file.metadata()?.len() != length {
            return Ok(false);
        }
        if self.whole {
            return whole(&path, &self.bytes).map(|()| true);
        }
        file.write_all(&self.bytes)?;
        file.sync_all()?;
        if is_new {
            sync_folder(folder)?;
        }
        Ok(true)
    }

    /// Puts the bytes into a table that must be as it was seen.
    pub(super) fn make(&self, folder: &Path) -> std::result::Result<(), Refused> {
        let fault = |fault| Refused::Fault(self.file.clone(), fault);
        if !self.place(folder, self.seen.length).map_err(fault)? {
            return Err(Refused::Changed(self.file.clone()));
        }
        if self.tail(folder).map_err(fault)? != self.bytes {
            return Err(Refused::Overtaken(self.file.clone()));
        }
        Ok(())
    }

    /// Makes a change that was cut short, wherever it stopped. Gives whether the table has it now.
    pub(super) fn finish(&self, folder: &Path) -> Result<bool> {
        let path = folder.join(&self.file);
        let tail = self.tail(folder)?;
        if tail == self.bytes {
            return Ok(true);
        }
        let length = Stamp::now(&path).length;
        let begun = !self.whole && length >= self.seen.length && self.bytes.starts_with(&tail);
        if begun && length > self.seen.length {
            shorten(&path, self.seen.length)?;
        } else if !begun && length != self.seen.length {
            return Ok(false);
        }
        self.place(folder, self.seen.length)
    }

    /// Undoes a change that is still the end of its table; `before` is the table as it was, where all of it changed.
    pub(super) fn undo(&self, folder: &Path, before: Option<&[u8]>) -> Result<()> {
        let (path, tail) = (folder.join(&self.file), self.tail(folder)?);
        if tail.is_empty() || !self.bytes.starts_with(&tail) {
            return Ok(());
        }
        match before {
            Some(before) => whole(&path, before),
            None if self.seen.changed.is_none() => std::fs::remove_file(path),
            None => shorten(&path, self.seen.length),
        }
    }

    /// The bytes of the table where this change puts its own, and one more than it has.
    fn tail(&self, folder: &Path) -> Result<Vec<u8>> {
        let (mut bytes, path) = (Vec::new(), folder.join(&self.file));
        if path.is_dir() {
            return Ok(bytes);
        }
        match File::open(path) {
            Ok(mut file) => {
                file.seek(SeekFrom::Start(self.at()))?;
                let most = u64::try_from(self.bytes.len()).unwrap_or(u64::MAX);
                file.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
            }
            Err(fault) if fault.kind() == ErrorKind::NotFound => {}
            Err(fault) => return Err(fault),
        }
        Ok(bytes)
    }
}

/// Cuts a file off, and syncs it.
pub(super) fn shorten(path: &Path, length: u64) -> Result<()> {
    let file = OpenOptions::new().write(true).open(path)?;
    file.set_len(length)?;
    file.sync_all()
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Note::Finished(file, lines) => write!(
                f,
                "finished in {file} what was cut short the last time: `{lines}`"
            ),
            Note::Unplaced(file, lines) => write!(
                f,
                "{file} was changed before what was cut short could be finished: `{lines}` is in no table; it was set aside in \
                 .sandarac/unplaced.csv"
            ),
            Note::Torn(file, line) => write!(
                f,
                "the last line of {file} was cut off in the middle: `{line}`; it was set aside in .sandarac/unplaced.csv"
            ),
            Note::Unreadable => write!(
                f,
                "what was cut short cannot be read in .sandarac/journal; it was set aside in .sandarac/unplaced.csv"
            ),
            Note::Lost(names) => write!(
                f,
                "log.csv no longer has what was logged as {}: another program has saved over it since; the lines were set aside \
                 in .sandarac/unplaced.csv. Log them again if they are true",
                names.join(", ")
            ),
        }
    }
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Refused::Busy => write!(
                f,
                "another program has been writing into this shop folder for ten seconds\n = help: let it end, then try again"
            ),
            Refused::Changed(file) => write!(
                f,
                "{file} was changed by another program just now, after it was read\n = help: save and close it there, then \
                 try again"
            ),
            Refused::Overtaken(file) => write!(
                f,
                "{file} was saved over by another program at the same moment, and does not hold what was written\n = help: \
                 close it there, look at its last lines, then try again"
            ),
            Refused::Gone(file) => write!(
                f,
                "there is no {file} any more, and rows were written into it\n = help: put it back; if you mean to begin a new \
                 one, write the names of its columns into its first row"
            ),
            Refused::Unread(file, fault) => write!(
                f,
                "{file} cannot be read: {fault}\n = help: check that you may read it"
            ),
            Refused::Link(file) => write!(
                f,
                "{file} is a link, and nothing is written through a link\n = help: put the file itself into the shop folder"
            ),
            Refused::Fault(file, fault) => write!(
                f,
                "{file} cannot be written: {fault}\n = help: check that you may write there and that the disk has room"
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Change;
    use crate::text::Stamp;

    fn change(folder: &tempfile::TempDir, bytes: &str, whole: bool) -> Change {
        Change {
            file: "log.csv".into(),
            seen: Stamp::now(&folder.path().join("log.csv")),
            whole,
            bytes: bytes.into(),
        }
    }

    #[test]
    fn a_table_that_came_or_went_gets_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let is = |text: &str| assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text);
        let place = |change: &Change| change.place(folder.path(), change.seen.length).unwrap();
        let of_none = change(&folder, "entry\n1\n", false);
        std::fs::write(&path, "entry\n").unwrap();
        assert!(!place(&of_none));
        is("entry\n");
        let all = change(&folder, "entry,id\n1,\n", true);
        let of_one = change(&folder, "1\n", false);
        std::fs::write(&path, "entry\n9\n").unwrap();
        assert!(!place(&of_one) && !place(&all));
        is("entry\n9\n");
        std::fs::remove_file(&path).unwrap();
        assert!(!place(&of_one) && !place(&all));
        assert!(!path.exists());
        assert!(place(&of_none));
        is("entry\n1\n");
        std::fs::write(&path, "").unwrap();
        assert!(place(&of_none));
        is("entry\n1\n");
    }

    #[test]
    fn a_whole_table_is_finished_or_undone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        std::fs::write(&path, "entry\n1\n").unwrap();
        let all = change(&folder, "entry,id\n1,\n2,\n", true);
        for _ in 0..2 {
            assert!(all.finish(folder.path()).unwrap());
            assert_eq!(std::fs::read(&path).unwrap(), all.bytes);
        }
        all.undo(folder.path(), Some(b"entry\n1\n")).unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"entry\n1\n");
        std::fs::write(&path, "entry\n1\n7\n").unwrap();
        assert!(!all.finish(folder.path()).unwrap());
        all.undo(folder.path(), Some(b"entry\n1\n")).unwrap();
        assert_eq!(std::fs::read(&path).unwrap(), b"entry\n1\n7\n");
    }
}

//! Adding rows to the tables of a shop folder: all of them or none, one writer at a time, on the disk before it is
//! called done.
//!
//! What is to be added is first written to `.sandarac/pending`, whole and synced; then to the tables, synced; then the
//! pending file goes. Whoever holds the journal next finishes what was cut short between the two, so that a row is never
//! half there and two tables change as one. Rows that this program wrote and another has saved over since are noticed.

use super::pending::as_pending;
use super::write::{sync_folder, whole};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

/// The folder inside a shop folder in which the journal lives.
pub(super) const HOME: &str = ".sandarac";
/// How long another writer is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// The right to add to the tables of one folder.
#[derive(Debug)]
pub struct Journal {
    pub(super) folder: PathBuf,
    pub(super) home: PathBuf,
    _lock: File,
}

/// A file as it was when it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    pub(super) length: u64,
    pub(super) changed: Option<SystemTime>,
}

/// Bytes that go at the end of one file.
#[derive(Clone, Debug)]
pub struct Addition {
    /// The file, by its bare name.
    pub file: String,
    /// The file as it was when the addition was thought out.
    pub seen: Seen,
    /// Whole lines.
    pub bytes: Vec<u8>,
}

/// Why nothing was added.
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
    /// A file may not be read, so that nobody knows what stands in it.
    Unread(String, Error),
    /// A file is a link, and may lead anywhere.
    Link(String),
    /// The disk or the system refused.
    Fault(String, Error),
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

/// Was an addition cut short, so that the tables may be half changed?
pub fn is_unfinished(folder: &Path) -> bool {
    // A pipe in its place is none of ours, and would wait for ever.
    folder.join(HOME).join("pending").is_file()
}

/// Keeps writers out while a shop is read, so that a reader never sees one table changed and another not yet. A folder
/// into which nothing was ever written needs no such thing; after ten seconds a reader goes on without.
pub fn hold_for_reading(folder: &Path) -> Option<File> {
    let lock = File::open(folder.join(HOME).join("lock")).ok()?;
    let initial = Instant::now();
    while lock.try_lock_shared().is_err() {
        if initial.elapsed() >= PATIENCE {
            return None;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    Some(lock)
}

impl Journal {
    /// Waits for the right to write, finishes what was cut short, and says what it found.
    pub fn hold(folder: &Path) -> std::result::Result<(Journal, Vec<String>), Refused> {
        let home = folder.join(HOME);
        let fault = |fault| Refused::Fault(home.display().to_string(), fault);
        if home.is_symlink() {
            return Err(Refused::Link(home.display().to_string()));
        }
        std::fs::create_dir_all(&home).map_err(fault)?;
        let lock = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(home.join("lock"))
            .map_err(fault)?;
        wait_for(&lock, fault)?;
        let journal = Journal {
            folder: folder.to_path_buf(),
            home: home.clone(),
            _lock: lock,
        };
        let mut said = journal.finish_pending().map_err(fault)?;
        said.extend(journal.look_for_written()?);
        Ok((journal, said))
    }

    /// A file as it is now; one that is not there has no length.
    pub fn seen(&self, file: &str) -> Seen {
        seen(&self.folder.join(file))
    }

    /// Adds to one or several files, all or none.
    pub fn add(&self, additions: &[Addition]) -> std::result::Result<(), Refused> {
        for addition in additions {
            let path = self.folder.join(&addition.file);
            if path.is_symlink() {
                return Err(Refused::Link(addition.file.clone()));
            }
            if seen(&path) != addition.seen {
                return Err(Refused::Changed(addition.file.clone()));
            }
        }
        let pending = self.home.join("pending");
        whole(&pending, &as_pending(additions))
            .map_err(|fault| Refused::Fault(pending.display().to_string(), fault))?;
        for (at, addition) in additions.iter().enumerate() {
            if let Err(refused) = self.append_whole(addition) {
                // Nothing of this one is in a file that was found changed.
                let begun = at + usize::from(!matches!(refused, Refused::Changed(_)));
                self.take_back(additions.get(..begun).unwrap_or(additions));
                return Err(refused);
            }
        }
        self.remember(additions);
        self.end_pending()
            .map_err(|fault| Refused::Fault(pending.display().to_string(), fault))
    }

    fn append_whole(&self, addition: &Addition) -> std::result::Result<(), Refused> {
        let fault = |fault| Refused::Fault(addition.file.clone(), fault);
        if !self.append(addition).map_err(fault)? {
            return Err(Refused::Changed(addition.file.clone()));
        }
        if self.tail(addition).map_err(fault)? != addition.bytes {
            return Err(Refused::Overtaken(addition.file.clone()));
        }
        Ok(())
    }

    /// Writes to the end of a file, if it is as long as it was: a file that came or went since then would get its column
    /// names in the middle, or none. Whether it was.
    pub(super) fn append(&self, addition: &Addition) -> Result<bool> {
        let path = self.folder.join(&addition.file);
        let mut how = OpenOptions::new();
        how.append(true);
        let (mut file, is_new) = match how.open(&path) {
            Ok(file) => (file, false),
            Err(fault) if fault.kind() != ErrorKind::NotFound => return Err(fault),
            Err(_) if addition.seen.length > 0 => return Ok(false),
            Err(_) => match how.create_new(true).open(&path) {
                Err(fault) if fault.kind() == ErrorKind::AlreadyExists => return Ok(false),
                file => (file?, true),
            },
        };
        if file.metadata()?.len() != addition.seen.length {
            return Ok(false);
        }
        file.write_all(&addition.bytes)?;
        file.sync_all()?;
        if is_new {
            sync_folder(&self.folder)?;
        }
        Ok(true)
    }

    /// What stands in a file from the byte on at which an addition begins, and one byte more than it has.
    pub(super) fn tail(&self, addition: &Addition) -> Result<Vec<u8>> {
        let mut bytes = Vec::new();
        let path = self.folder.join(&addition.file);
        if path.is_dir() {
            return Ok(bytes);
        }
        match File::open(path) {
            Ok(mut file) => {
                file.seek(SeekFrom::Start(addition.seen.length))?;
                let most = u64::try_from(addition.bytes.len()).unwrap_or(u64::MAX);
                file.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
            }
            Err(fault) if fault.kind() == ErrorKind::NotFound => {}
            Err(fault) => return Err(fault),
        }
        Ok(bytes)
    }

    /// After a refusal in the middle, takes the beginnings out again where they still are the end of a file. What fails
    /// here stays pending, and is finished by whoever comes next.
    fn take_back(&self, additions: &[Addition]) {
        let taken = additions.iter().try_for_each(|addition| {
            let tail = self.tail(addition)?;
            if tail.is_empty() || !addition.bytes.starts_with(&tail) {
                return Ok(());
            }
            let path = self.folder.join(&addition.file);
            if addition.seen.changed.is_none() {
                return std::fs::remove_file(path);
            }
            let file = OpenOptions::new().write(true).open(path)?;
            file.set_len(addition.seen.length)?;
            file.sync_all()
        });
        if taken.is_ok() {
            // Left pending, it would be finished by the next writer although it was refused.
            let _ = self.end_pending();
        }
    }

    pub(super) fn end_pending(&self) -> Result<()> {
        std::fs::remove_file(self.home.join("pending"))?;
        sync_folder(&self.home)
    }
}

fn wait_for(lock: &File, fault: impl Fn(Error) -> Refused) -> std::result::Result<(), Refused> {
    let initial = Instant::now();
    loop {
        match lock.try_lock() {
            Ok(()) => return Ok(()),
            Err(TryLockError::WouldBlock) if initial.elapsed() < PATIENCE => {
                std::thread::sleep(Duration::from_millis(5));
            }
            Err(TryLockError::WouldBlock) => return Err(Refused::Busy),
            Err(TryLockError::Error(error)) => return Err(fault(error)),
        }
    }
}

pub(super) fn seen(path: &Path) -> Seen {
    let data = std::fs::metadata(path).ok();
    Seen {
        length: data.as_ref().map_or(0, std::fs::Metadata::len),
        changed: data.and_then(|data| data.modified().ok()),
    }
}

#[cfg(test)]
mod tests {
    use super::{Addition, Journal};

    #[test]
    fn a_file_that_came_or_went_gets_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let addition = |bytes: &str| Addition {
            file: "log.csv".into(),
            seen: journal.seen("log.csv"),
            bytes: bytes.into(),
        };
        let is = |text: &str| assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text);
        let of_none = addition("entry\n1\n");
        std::fs::write(&path, "entry\n").unwrap();
        assert!(!journal.append(&of_none).unwrap());
        is("entry\n");
        let of_one = addition("1\n");
        std::fs::write(&path, "entry\n9\n").unwrap();
        assert!(!journal.append(&of_one).unwrap());
        is("entry\n9\n");
        std::fs::remove_file(&path).unwrap();
        assert!(!journal.append(&of_one).unwrap());
        assert!(!path.exists());
        assert!(journal.append(&of_none).unwrap());
        is("entry\n1\n");
        std::fs::write(&path, "").unwrap();
        assert!(journal.append(&of_none).unwrap());
        is("entry\n1\n");
    }
}

//! Writing a folder: whole or not at all. The new one is made beside the one it replaces, synced, and put in its place by
//! renaming; what a crash leaves is found and settled by the next run.
//!
//! For a folder `binder` there stand beside it, while it is written: `.binder.sandarac-lock`, held by the writer;
//! `.binder.sandarac-new`, which is not whole yet; and for a moment `.binder.sandarac-old`, the one before. A crash before
//! the first rename leaves the old one in its place; between the two, the old one aside, and the next run puts it back;
//! after the second, the new one in its place. In no case is half a folder where the whole one is looked for.

use super::write::sync_folder;
use std::ffi::OsString;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{BufWriter, Error, ErrorKind, Read, Result, Write};
use std::path::{Path, PathBuf};

/// A folder that is being written.
#[derive(Debug)]
pub struct Beside {
    to: PathBuf,
    new: PathBuf,
    old: PathBuf,
    lock: PathBuf,
    /// Folders made in it, itself among them, the innermost last; none before it is made.
    made: Vec<PathBuf>,
    _held: File,
}

/// Why a folder cannot be written.
#[derive(Debug)]
pub enum NotBegun {
    /// Another run is writing it.
    Busy,
    /// Something stands where the new folder is to be made, and is none that an earlier run can have left.
    InTheWay(PathBuf),
    /// The disk or the system refused.
    Fault(PathBuf, Error),
}

impl Beside {
    /// Settles what an earlier run left, and makes an empty folder beside `to`, whose parent must be there. `ours` says of
    /// a folder whether an earlier run can have left it.
    pub fn begin(to: &Path, ours: impl Fn(&Path) -> bool) -> std::result::Result<Beside, NotBegun> {
        let [new, old, lock] = ["new", "old", "lock"].map(|end| beside(to, end));
        let fault = |path: &Path| {
            let path = path.to_path_buf();
            |fault| NotBegun::Fault(path, fault)
        };
        if lock.is_symlink() {
            return Err(NotBegun::InTheWay(lock));
        }
        let held = OpenOptions::new()
            .create(true)
            .truncate(false)
            .write(true)
            .open(&lock)
            .map_err(fault(&lock))?;
        match held.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(NotBegun::Busy),
            Err(TryLockError::Error(error)) => return Err(NotBegun::Fault(lock, error)),
        }
        let mut writing = Beside {
            to: to.to_path_buf(),
            new,
            old,
            lock,
            made: Vec::new(),
            _held: held,
        };
        writing.settle(ours)?;
        std::fs::create_dir(&writing.new).map_err(fault(&writing.new))?;
        writing.made.push(writing.new.clone());
        Ok(writing)
    }

    /// A new folder that is not whole goes; an old one goes back, or goes where the new one stands in its place.
    fn settle(&self, ours: impl Fn(&Path) -> bool) -> std::result::Result<(), NotBegun> {
        for left in [&self.new, &self.old] {
            let there = std::fs::symlink_metadata(left);
            let Ok(there) = there else { continue };
            if !there.is_dir() || !ours(left) {
                return Err(NotBegun::InTheWay(left.clone()));
            }
            let back = left == &self.old && std::fs::symlink_metadata(&self.to).is_err();
            let settled = if back {
                std::fs::rename(left, &self.to)
            } else {
                std::fs::remove_dir_all(left)
            };
            settled.map_err(|fault| NotBegun::Fault(left.clone(), fault))?;
        }
        Ok(())
    }

    /// Writes a file into it, by its name inside, and syncs it.
    pub fn write(&mut self, inner: &str, bytes: &[u8]) -> Result<()> {
        self.fill(inner, |out| out.write_all(bytes))
    }

    /// Copies all that a reader gives into a file, and syncs it. Gives its length.
    pub fn copy(&mut self, inner: &str, from: &mut dyn Read) -> Result<u64> {
        let mut length = 0;
        self.fill(inner, |out| {
            length = std::io::copy(from, out)?;
            Ok(())
        })?;
        Ok(length)
    }

    /// A file with what `fill` writes as it goes, synced.
    pub fn fill(
        &mut self,
        inner: &str,
        fill: impl FnOnce(&mut dyn Write) -> Result<()>,
    ) -> Result<()> {
        let path = self.new.join(inner);
        if !path.starts_with(&self.new) || inner.contains("..") {
            return Err(Error::from(ErrorKind::InvalidInput));
        }
        if let Some(folder) = path.parent().filter(|folder| !folder.is_dir()) {
            std::fs::create_dir_all(folder)?;
            let mut made: Vec<PathBuf> = folder.ancestors().map(Path::to_path_buf).collect();
            made.retain(|folder| folder.starts_with(&self.new) && !self.made.contains(folder));
            made.reverse();
            self.made.extend(made);
        }
        let file = OpenOptions::new().create_new(true).write(true).open(path)?;
        let mut out = BufWriter::new(file);
        fill(&mut out)?;
        out.flush()?;
        out.get_ref().sync_all()
    }

    /// Puts it in its place: the one before goes aside, the new one in, the one before away.
    pub fn put_in_place(self) -> Result<()> {
        for folder in self.made.iter().rev() {
            sync_folder(folder)?;
        }
        let parent = self.to.parent().unwrap_or(Path::new("."));
        sync_folder(parent)?;
        let replaces = std::fs::symlink_metadata(&self.to).is_ok();
        if replaces {
            std::fs::rename(&self.to, &self.old)?;
        }
        if let Err(fault) = std::fs::rename(&self.new, &self.to) {
            if replaces {
                // What stood there before is worth more than the reason why it could not be replaced.
                std::fs::rename(&self.old, &self.to)?;
            }
            return Err(fault);
        }
        sync_folder(parent)?;
        if replaces {
            // If it stays, the next run takes it away: the new one stands in its place.
            let _ = std::fs::remove_dir_all(&self.old);
        }
        Ok(())
    }
}

impl Drop for Beside {
    /// What is not in its place by now is not whole.
    fn drop(&mut self) {
        if !self.made.is_empty() {
            let _ = std::fs::remove_dir_all(&self.new);
        }
        let _ = std::fs::remove_file(&self.lock);
    }
}

/// `.NAME.sandarac-END` beside a folder.
fn beside(to: &Path, end: &str) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(to.file_name().unwrap_or_default());
    name.push(format!(".sandarac-{end}"));
    to.with_file_name(name)
}

#[cfg(test)]
mod tests {
    use super::{Beside, NotBegun, beside};
    use std::path::Path;

    fn names(folder: &Path) -> Vec<String> {
        let list = std::fs::read_dir(folder).unwrap();
        let mut names: Vec<String> = list
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    fn write(to: &Path, text: &str) {
        let mut new = Beside::begin(to, |_| true).unwrap();
        new.write("a/b.txt", text.as_bytes()).unwrap();
        new.put_in_place().unwrap();
    }

    fn read(to: &Path) -> String {
        std::fs::read_to_string(to.join("a/b.txt")).unwrap()
    }

    #[test]
    fn a_second_takes_the_place_of_the_first_and_nothing_is_left_over() {
        let home = tempfile::tempdir().unwrap();
        let to = home.path().join("x");
        write(&to, "first");
        write(&to, "second");
        assert_eq!(read(&to), "second");
        assert_eq!(names(home.path()), ["x"]);
        assert_eq!(names(&to), ["a"]);
    }

    #[test]
    fn one_that_is_given_up_leaves_the_first_as_it_was() {
        let home = tempfile::tempdir().unwrap();
        let to = home.path().join("x");
        write(&to, "first");
        let mut new = Beside::begin(&to, |_| true).unwrap();
        new.write("a/b.txt", b"half").unwrap();
        assert!(matches!(Beside::begin(&to, |_| true), Err(NotBegun::Busy)));
        drop(new);
        assert_eq!(read(&to), "first");
        assert_eq!(names(home.path()), ["x"]);
    }

    /// At each moment at which a run can be cut short, the next one finds the folder whole.
    #[test]
    fn what_a_crash_leaves_is_settled() {
        let home = tempfile::tempdir().unwrap();
        let to = home.path().join("x");
        let (new, old) = (beside(&to, "new"), beside(&to, "old"));
        // While the new one was written.
        write(&to, "first");
        std::fs::create_dir_all(new.join("a")).unwrap();
        drop(Beside::begin(&to, |_| true).unwrap());
        assert_eq!(
            (read(&to), names(home.path())),
            ("first".into(), vec!["x".into()])
        );
        // Between the two renames.
        std::fs::create_dir_all(new.join("a")).unwrap();
        std::fs::rename(&to, &old).unwrap();
        drop(Beside::begin(&to, |_| true).unwrap());
        assert_eq!(
            (read(&to), names(home.path())),
            ("first".into(), vec!["x".into()])
        );
        // Before the old one was taken away; the lock of a dead run is no lock.
        std::fs::create_dir_all(old.join("a")).unwrap();
        std::fs::write(beside(&to, "lock"), "").unwrap();
        drop(Beside::begin(&to, |_| true).unwrap());
        assert_eq!(
            (read(&to), names(home.path())),
            ("first".into(), vec!["x".into()])
        );
    }

    #[test]
    fn what_no_run_can_have_left_is_not_touched() {
        let home = tempfile::tempdir().unwrap();
        let to = home.path().join("x");
        for end in ["new", "old"] {
            let left = beside(&to, end);
            std::fs::create_dir_all(&left).unwrap();
            std::fs::write(left.join("mine.txt"), "mine").unwrap();
            let refused = Beside::begin(&to, |folder| !folder.join("mine.txt").exists());
            assert!(matches!(refused, Err(NotBegun::InTheWay(path)) if path == left));
            assert!(left.join("mine.txt").exists() && !to.exists(), "{end}");
            std::fs::remove_dir_all(left).unwrap();
        }
    }

    #[test]
    fn nothing_is_written_outside_it() {
        let home = tempfile::tempdir().unwrap();
        let to = home.path().join("x");
        let mut new = Beside::begin(&to, |_| true).unwrap();
        for name in ["../y", "/tmp/sandarac-y", "a/../../y"] {
            assert!(new.write(name, b"y").is_err(), "{name}");
        }
        drop(new);
        assert_eq!(names(home.path()), Vec::<String>::new());
    }
}

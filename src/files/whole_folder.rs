//! Writing a folder: whole or not at all. The new one is made beside the one it replaces, synced, and put in its place by
//! renaming; what a crash leaves is found and settled by the next run.
//!
//! For a folder `binder` there stand beside it, while it is written: `.binder.sandarac-lock`, held by the writer;
//! `.binder.sandarac-new`, which is not whole yet; and for a moment `.binder.sandarac-old`, the one before. A crash before
//! the first rename leaves the old one in its place; between the two, the old one aside, and the next run puts it back;
//! after the second, the new one in its place. In no case is half a folder where the whole one is looked for.

use super::write::{sync, sync_folder};
use std::ffi::OsString;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{BufWriter, Error, ErrorKind, Read, Result, Write};
use std::path::{Component, Path, PathBuf};

/// A folder that is being written. What is not put in its place is taken away.
#[derive(Debug)]
pub struct Beside {
    to: PathBuf,
    new: PathBuf,
    old: PathBuf,
    _lock: Lock,
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

/// Only one run at a time writes a folder.
#[derive(Debug)]
struct Lock {
    path: PathBuf,
    _held: File,
}

impl Lock {
    fn hold(path: PathBuf) -> std::result::Result<Lock, NotBegun> {
        // A pipe would be waited for without end.
        let found = std::fs::symlink_metadata(&path);
        if found.is_ok_and(|found| !found.is_file()) {
            return Err(NotBegun::InTheWay(path));
        }
        let mut how = OpenOptions::new();
        let file = match how.create(true).truncate(false).write(true).open(&path) {
            Ok(file) => file,
            Err(fault) => return Err(NotBegun::Fault(path, fault)),
        };
        match file.try_lock() {
            Ok(()) => Ok(Lock { path, _held: file }),
            Err(TryLockError::WouldBlock) => Err(NotBegun::Busy),
            Err(TryLockError::Error(fault)) => Err(NotBegun::Fault(path, fault)),
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.path);
    }
}

impl Beside {
    /// Settles what an earlier run left, and makes an empty folder beside `to`, whose parent must be there. `ours` says of
    /// a folder whether an earlier run can have left it.
    pub fn begin(to: &Path, ours: impl Fn(&Path) -> bool) -> std::result::Result<Beside, NotBegun> {
        let [new, old, lock] = ["new", "old", "lock"].map(|end| beside(to, end));
        let lock = Lock::hold(lock)?;
        // A new folder that is not whole goes; an old one goes back, or goes where the new one is in its place.
        for left in [&new, &old] {
            let Ok(there) = std::fs::symlink_metadata(left) else {
                continue;
            };
            if !there.is_dir() || !ours(left) {
                return Err(NotBegun::InTheWay(left.clone()));
            }
            let settled = match std::fs::symlink_metadata(to) {
                Err(_) if left == &old => std::fs::rename(left, to),
                Ok(_) | Err(_) => std::fs::remove_dir_all(left),
            };
            settled.map_err(|fault| NotBegun::Fault(left.clone(), fault))?;
        }
        std::fs::create_dir(&new).map_err(|fault| NotBegun::Fault(new.clone(), fault))?;
        let to = to.to_path_buf();
        Ok(Beside {
            to,
            new,
            old,
            _lock: lock,
        })
    }

    /// Copies all that a reader gives into a file, by its name inside, and syncs it. Gives its length.
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
        let plain = |part| matches!(part, Component::Normal(_));
        if !Path::new(inner).components().all(plain) {
            return Err(Error::from(ErrorKind::InvalidInput));
        }
        let path = self.new.join(inner);
        std::fs::create_dir_all(path.parent().unwrap_or(&self.new))?;
        let file = OpenOptions::new().create_new(true).write(true).open(path)?;
        let mut out = BufWriter::new(file);
        fill(&mut out)?;
        out.flush()?;
        sync(out.get_ref())
    }

    /// Puts it in its place: the one before goes aside, the new one in, the one before away.
    pub fn put_in_place(self) -> Result<()> {
        sync_folders(&self.new)?;
        let parent = self.to.parent().unwrap_or(Path::new("."));
        sync_folder(parent)?;
        let replaces = std::fs::symlink_metadata(&self.to).is_ok();
        if replaces {
            std::fs::rename(&self.to, &self.old)?;
        }
        if let Err(fault) = std::fs::rename(&self.new, &self.to) {
            if replaces {
                // What was there before is worth more than the reason why it could not be replaced.
                std::fs::rename(&self.old, &self.to)?;
            }
            return Err(fault);
        }
        sync_folder(parent)?;
        // If it stays, the next run takes it away: the new one is in its place.
        let _ = std::fs::remove_dir_all(&self.old);
        Ok(())
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.new);
    }
}

/// Puts the names in a folder and in those inside it on the disk.
fn sync_folders(folder: &Path) -> Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            sync_folders(&entry.path())?;
        }
    }
    sync_folder(folder)
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
    use std::path::{Path, PathBuf};
    use tempfile::TempDir;

    fn home() -> (TempDir, PathBuf) {
        let home = tempfile::tempdir().unwrap();
        let to = home.path().join("x");
        (home, to)
    }

    fn write(to: &Path, text: &str) {
        let mut new = Beside::begin(to, |_| true).unwrap();
        new.copy("a/b.txt", &mut text.as_bytes()).unwrap();
        new.put_in_place().unwrap();
    }

    /// The folder says this, and nothing else is beside it or in it.
    #[track_caller]
    fn is(to: &Path, text: &str) {
        assert_eq!(std::fs::read_to_string(to.join("a/b.txt")).unwrap(), text);
        for folder in [to, to.parent().unwrap()] {
            assert_eq!(std::fs::read_dir(folder).unwrap().count(), 1);
        }
    }

    #[test]
    fn a_second_takes_the_place_of_the_first_and_nothing_is_left_over() {
        let (_home, to) = home();
        write(&to, "first");
        write(&to, "second");
        is(&to, "second");
    }

    #[test]
    fn one_that_is_given_up_leaves_the_first_as_it_was() {
        let (_home, to) = home();
        write(&to, "first");
        let mut new = Beside::begin(&to, |_| true).unwrap();
        new.copy("a/b.txt", &mut &b"half"[..]).unwrap();
        assert!(matches!(Beside::begin(&to, |_| true), Err(NotBegun::Busy)));
        for name in ["../y", "/tmp/sandarac-y", "a/../../y"] {
            assert!(new.copy(name, &mut &b"y"[..]).is_err(), "{name}");
        }
        drop(new);
        is(&to, "first");
    }

    /// At each moment at which a run can be cut short, the next one finds the folder whole.
    #[test]
    fn what_a_crash_leaves_is_settled() {
        let (_home, to) = home();
        let (new, old) = (beside(&to, "new"), beside(&to, "old"));
        write(&to, "first");
        // While the new one was written; between the two renames; before the old one was taken away. The lock of a dead run
        // is no lock.
        for (has_new, is_aside, has_old) in [
            (true, false, false),
            (true, true, false),
            (false, false, true),
        ] {
            if has_new {
                std::fs::create_dir_all(new.join("a")).unwrap();
            }
            if is_aside {
                std::fs::rename(&to, &old).unwrap();
            }
            if has_old {
                std::fs::create_dir_all(old.join("a")).unwrap();
            }
            std::fs::write(beside(&to, "lock"), "").unwrap();
            drop(Beside::begin(&to, |_| true).unwrap());
            is(&to, "first");
        }
    }

    #[test]
    fn what_no_run_can_have_left_is_not_touched() {
        let (_home, to) = home();
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
}

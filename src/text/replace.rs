//! Files that take the place of others, all or none: a table that is not added to but written anew.
//!
//! The new files are written whole into `.sandarac/` and synced; then the pending file names them, and from that moment on
//! they count. What follows is renaming, which whoever holds the journal next can finish.

use super::journal::{HOME, Journal, Refused, Seen, seen};
use super::write::{sync_folder, whole};
use std::fs::File;
use std::io::{Error, ErrorKind, Result};
use std::path::PathBuf;
use std::time::{Duration, SystemTime};

/// The first line of a pending file that replaces.
const HEAD: &str = "sandarac 2\n";

/// A file that takes the place of the one of its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replacement {
    /// The file, by its bare name.
    pub file: String,
    /// What stood there when the new one was thought out.
    pub seen: Seen,
}

impl Journal {
    /// Where the new file of a name is written before it counts.
    pub fn staged(&self, file: &str) -> PathBuf {
        self.home.join(format!("new-{file}"))
    }

    /// Begins the new file of a name, to be read by whoever may read the table `like`. One that nobody may write is not
    /// replaced either.
    pub fn stage(&self, file: &str, like: &str) -> std::result::Result<File, Refused> {
        let fault = |fault| Refused::Fault(file.to_string(), fault);
        let new = File::create(self.staged(file)).map_err(fault)?;
        if let Ok(old) = std::fs::metadata(self.folder.join(like)) {
            if old.permissions().readonly() && file == like {
                let why = Error::new(ErrorKind::PermissionDenied, "it is read-only");
                return Err(Refused::Fault(file.to_string(), why));
            }
            let rights = old.permissions();
            new.set_permissions(rights).map_err(fault)?;
        }
        Ok(new)
    }

    /// Puts the staged files in the places of the old ones, all or none. They have been written; here they are synced.
    pub fn replace(&self, list: &[Replacement]) -> std::result::Result<(), Refused> {
        let fault = |file: &str| {
            let file = file.to_string();
            move |fault| Refused::Fault(file, fault)
        };
        for each in list {
            let path = self.folder.join(&each.file);
            if path.is_symlink() {
                return Err(Refused::Link(each.file.clone()));
            }
            if seen(&path) != each.seen {
                return Err(Refused::Changed(each.file.clone()));
            }
            let staged = File::open(self.staged(&each.file)).map_err(fault(&each.file))?;
            staged.sync_all().map_err(fault(&each.file))?;
        }
        sync_folder(&self.home).map_err(fault(HOME))?;
        let pending = self.home.join("pending");
        whole(&pending, &as_pending(list)).map_err(fault("pending"))?;
        let Err(why) = self.finish_replacing(list) else {
            return Ok(());
        };
        // Where nothing was renamed yet, it can be taken back; else it counts, and is finished by whoever comes next.
        let untouched = list.iter().all(|each| self.staged(&each.file).is_file());
        if untouched && self.end_pending().is_ok() {
            return Err(Refused::Fault(self.folder.display().to_string(), why));
        }
        Err(Refused::Unfinished(why))
    }

    /// Renames what is not renamed yet, and says what it did. A file that somebody else saved in the meantime is set aside.
    pub(super) fn finish_replacing(&self, list: &[Replacement]) -> Result<Vec<String>> {
        let mut said = Vec::new();
        for each in list {
            let (staged, path) = (self.staged(&each.file), self.folder.join(&each.file));
            if !staged.is_file() {
                continue;
            }
            if path.exists() && seen(&path) != each.seen {
                let aside = self.free_aside(&each.file);
                std::fs::rename(&path, &aside).map_err(|fault| of_file(&each.file, &fault))?;
                said.push(format!(
                    "{} was changed before a new one could take its place; the changed one was set aside as {}",
                    each.file,
                    aside.display()
                ));
            }
            std::fs::rename(&staged, &path).map_err(|fault| of_file(&each.file, &fault))?;
            said.push(format!("put the new {} in its place", each.file));
        }
        sync_folder(&self.folder)?;
        // The rows written last may stand in a file of another name now.
        whole(&self.home.join("written"), b"")?;
        self.end_pending()?;
        Ok(said)
    }

    /// Takes away new files that never came to count; those of a pending file that could not be read are kept beside it.
    pub fn forget_staged(&self) -> Result<()> {
        if self.home.join("pending-unreadable").exists() {
            return Ok(());
        }
        for entry in std::fs::read_dir(&self.home)? {
            let entry = entry?;
            let name = entry.file_name();
            if name
                .to_str()
                .is_some_and(|name| name.starts_with("new-") && name.ends_with(".csv"))
            {
                match std::fs::remove_file(entry.path()) {
                    Err(fault) if fault.kind() != ErrorKind::NotFound => return Err(fault),
                    Ok(()) | Err(_) => {}
                }
            }
        }
        Ok(())
    }

    fn free_aside(&self, file: &str) -> PathBuf {
        let mut aside = self.home.join(format!("aside-{file}"));
        let mut number = 2;
        while aside.exists() {
            aside = self.home.join(format!("aside-{number}-{file}"));
            number += 1;
        }
        aside
    }
}

fn of_file(file: &str, fault: &Error) -> Error {
    Error::new(fault.kind(), format!("{file}: {fault}"))
}

fn as_pending(list: &[Replacement]) -> Vec<u8> {
    let mut text = HEAD.to_string();
    for each in list {
        let changed = each.seen.changed.map_or_else(|| "-".to_string(), nanos);
        text.push_str(&format!("{}\t{}\t{changed}\n", each.file, each.seen.length));
    }
    text.into_bytes()
}

fn nanos(when: SystemTime) -> String {
    let since = when.duration_since(SystemTime::UNIX_EPOCH);
    since.map_or(0, |since| since.as_nanos()).to_string()
}

/// The inverse; `None` for anything else, and for a name that leads out of the folder. The error is a pending file of this
/// kind that cannot be read.
pub(super) fn from_pending(bytes: &[u8]) -> Option<Result<Vec<Replacement>>> {
    let rest = bytes.strip_prefix(HEAD.as_bytes())?;
    let read = || {
        let text = std::str::from_utf8(rest).ok()?;
        text.lines().map(replacement).collect::<Option<Vec<_>>>()
    };
    Some(read().ok_or_else(|| Error::from(ErrorKind::InvalidData)))
}

fn replacement(line: &str) -> Option<Replacement> {
    let mut parts = line.split('\t');
    let file = parts
        .next()
        .filter(|name| super::pending::is_table(name))?
        .to_string();
    let length = parts.next()?.parse().ok()?;
    let changed = match parts.next()? {
        "-" => None,
        nanos => {
            let nanos: u128 = nanos.parse().ok()?;
            let second = 1_000_000_000;
            let whole = Duration::from_secs(u64::try_from(nanos / second).ok()?);
            let rest = Duration::from_nanos(u64::try_from(nanos % second).ok()?);
            Some(SystemTime::UNIX_EPOCH + whole + rest)
        }
    };
    Some(Replacement {
        file,
        seen: Seen { length, changed },
    })
}

#[cfg(test)]
mod tests {
    use super::{Replacement, as_pending, from_pending};
    use crate::text::{Journal, Refused, is_unfinished};
    use std::io::Write;

    fn shop() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("log.csv"), "entry\n1\n2\n").unwrap();
        std::fs::write(folder.path().join("inventory.csv"), "container\nJ-1\n").unwrap();
        folder
    }

    fn list(journal: &Journal) -> Vec<Replacement> {
        let new = [
            ("log-2025.csv", "entry\n1\n"),
            ("inventory.csv", "container,as_of\nJ-1,x\n"),
            ("log.csv", "entry\n2\n"),
        ];
        new.map(|(file, text)| {
            journal
                .stage(file, "log.csv")
                .unwrap()
                .write_all(text.as_bytes())
                .unwrap();
            Replacement {
                file: file.into(),
                seen: journal.seen(file),
            }
        })
        .to_vec()
    }

    fn read(folder: &tempfile::TempDir, name: &str) -> String {
        std::fs::read_to_string(folder.path().join(name)).unwrap_or_default()
    }

    fn is_new(folder: &tempfile::TempDir) {
        assert_eq!(read(folder, "log.csv"), "entry\n2\n");
        assert_eq!(read(folder, "log-2025.csv"), "entry\n1\n");
        assert_eq!(read(folder, "inventory.csv"), "container,as_of\nJ-1,x\n");
        assert!(!is_unfinished(folder.path()));
    }

    #[test]
    fn three_files_change_as_one_wherever_it_is_cut_short() {
        for done in 0..=3 {
            let folder = shop();
            let (journal, _) = Journal::hold(folder.path()).unwrap();
            let list = list(&journal);
            std::fs::write(folder.path().join(".sandarac/pending"), as_pending(&list)).unwrap();
            for each in &list[..done] {
                std::fs::rename(journal.staged(&each.file), folder.path().join(&each.file))
                    .unwrap();
            }
            drop(journal);
            let (_journal, said) = Journal::hold(folder.path()).unwrap();
            assert_eq!(said.len(), 3 - done, "{said:?}");
            is_new(&folder);
        }
    }

    #[test]
    fn what_never_counted_is_taken_away() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        list(&journal);
        drop(journal);
        let (journal, said) = Journal::hold(folder.path()).unwrap();
        assert!(said.is_empty());
        assert!(!journal.staged("log.csv").exists());
        assert_eq!(read(&folder, "log.csv"), "entry\n1\n2\n");
    }

    #[test]
    fn a_file_that_somebody_saved_is_refused_before_and_set_aside_after() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let list = list(&journal);
        std::fs::write(folder.path().join("log.csv"), "entry\n1\n2\n3\n").unwrap();
        assert!(matches!(journal.replace(&list), Err(Refused::Changed(file)) if file == "log.csv"));
        assert_eq!(read(&folder, "inventory.csv"), "container\nJ-1\n");
        // The same after it began to count: nothing is lost.
        std::fs::write(folder.path().join(".sandarac/pending"), as_pending(&list)).unwrap();
        drop(journal);
        let (_journal, said) = Journal::hold(folder.path()).unwrap();
        assert!(said.iter().any(|s| s.contains("set aside as")), "{said:?}");
        is_new(&folder);
        assert_eq!(read(&folder, ".sandarac/aside-log.csv"), "entry\n1\n2\n3\n");
    }

    #[cfg(unix)]
    #[test]
    fn a_new_file_is_read_by_whoever_may_read_the_old_one() {
        use std::os::unix::fs::PermissionsExt;
        let folder = shop();
        let log = folder.path().join("log.csv");
        let rights =
            |mode| std::fs::set_permissions(&log, PermissionsExt::from_mode(mode)).unwrap();
        rights(0o600);
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        list(&journal);
        let mode = journal
            .staged("log-2025.csv")
            .metadata()
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o600);
        rights(0o444);
        assert!(
            matches!(journal.stage("log.csv", "log.csv"), Err(Refused::Fault(file, why)) if file == "log.csv" && why.to_string() == "it is read-only")
        );
    }

    /// A folder in the place of a table cannot be replaced by a file.
    #[test]
    fn what_cannot_begin_is_taken_back_and_what_began_is_said() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let mut list = list(&journal);
        std::fs::create_dir(folder.path().join("log-2025.csv")).unwrap();
        std::fs::write(folder.path().join("log-2025.csv/x"), "x").unwrap();
        list[0].seen = journal.seen("log-2025.csv");
        let folder_there = std::fs::metadata(folder.path().join("log-2025.csv")).unwrap();
        assert!(folder_there.is_dir());
        let first = journal.replace(&list);
        assert!(matches!(first, Err(Refused::Fault(..))), "{first:?}");
        assert!(!is_unfinished(folder.path()));
        assert_eq!(read(&folder, "log.csv"), "entry\n1\n2\n");
        // The same behind a file that is renamed already.
        list.rotate_left(1);
        let later = journal.replace(&list);
        assert!(matches!(later, Err(Refused::Unfinished(_))), "{later:?}");
        assert!(is_unfinished(folder.path()));
    }

    #[test]
    fn a_pending_file_cannot_lead_out_of_the_folder() {
        assert!(from_pending(b"sandarac 1\n").is_none());
        for name in ["../log.csv", "/tmp/log.csv", "shop.toml", "a\\log.csv"] {
            let text = format!("sandarac 2\n{name}\t0\t-\n");
            assert!(from_pending(text.as_bytes()).unwrap().is_err(), "{name}");
        }
        for broken in ["log.csv", "log.csv\tx\t-", "log.csv\t1", "log.csv\t1\tx"] {
            let text = format!("sandarac 2\n{broken}\n");
            assert!(from_pending(text.as_bytes()).unwrap().is_err(), "{broken}");
        }
    }
}

//! Writing a file: whole or not at all, and on the disk before it is called done.

use std::io::{BufWriter, Error, ErrorKind, Result, Write};
use std::path::Path;
use std::time::Duration;

/// What the name of a file begins with until it is whole, and how many letters follow.
const UNDER_WAY: &str = ".sandarac-";
const LETTERS: usize = 6;
/// So many bytes are given to the system at once.
const PIECE: usize = 1 << 16;
/// A file that was not whole after so long never will be: whoever wrote it was killed.
const LEFT_BEHIND: Duration = Duration::from_secs(600);

/// Writes `text` to `path` by way of a new file beside it; both the file and its folder are synced. What earlier writers
/// who were killed left there goes away.
pub fn whole(path: &Path, text: &[u8]) -> Result<()> {
    filled(path, |out| out.write_all(text))
}

/// As [`whole`], with what `fill` writes as it goes.
pub fn filled(path: &Path, fill: impl FnOnce(&mut dyn Write) -> Result<()>) -> Result<()> {
    let folder = match path.parent() {
        // A bare name lies in this folder.
        Some(bare) if bare.as_os_str().is_empty() => Path::new("."),
        Some(folder) => folder,
        None => return Err(Error::from(ErrorKind::InvalidInput)),
    };
    let mut file = new_file(folder).map_err(|fault| of_the_system(&fault))?;
    let mut out = BufWriter::with_capacity(PIECE, file.as_file_mut());
    fill(&mut out)?;
    out.flush()?;
    drop(out);
    share(file.as_file(), path)?;
    sweep(folder, file.as_file());
    sync(file.as_file())?;
    file.persist(path).map_err(|fault| fault.error)?;
    sync_folder(folder)
}

/// What the system said, without the name of the file under way, which means nothing to anyone.
fn of_the_system(fault: &Error) -> Error {
    let told = fault.to_string();
    let system = told.split(" at path ").next().unwrap_or_default();
    Error::new(fault.kind(), system)
}

/// Takes away what writers left behind who were killed. It is a help and no more: nothing is refused because it fails. Ages
/// are counted to the day of a file just `written` there: the computer's clock may differ from that of the disk (a server's),
/// and by it a file that another writer begins now could look old.
fn sweep(folder: &Path, written: &std::fs::File) {
    let now = written.metadata().and_then(|data| data.modified());
    let (Ok(list), Ok(now)) = (std::fs::read_dir(folder), now) else {
        return;
    };
    for entry in list.filter_map(std::result::Result::ok) {
        let name = entry.file_name();
        if !name.to_str().is_some_and(is_under_way) {
            continue;
        }
        // Of the entry itself, not of what a link leads to. A file of tomorrow has no age, and stays.
        let old = entry.metadata().is_ok_and(|data| {
            let when = data.modified().ok();
            let age = when.and_then(|when| now.duration_since(when).ok());
            data.is_file() && age.is_some_and(|age| age >= LEFT_BEHIND)
        });
        if old {
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

fn is_under_way(name: &str) -> bool {
    name.strip_prefix(UNDER_WAY).is_some_and(|letters| {
        letters.len() == LETTERS && letters.bytes().all(|byte| byte.is_ascii_alphanumeric())
    })
}

/// Puts a file on the disk. Some drives on a network cannot be asked to: what is written there is as safe as it can be.
pub(super) fn sync(file: &std::fs::File) -> Result<()> {
    match file.sync_all() {
        Err(fault)
            if matches!(
                fault.kind(),
                ErrorKind::InvalidInput | ErrorKind::Unsupported
            ) =>
        {
            Ok(())
        }
        synced => synced,
    }
}

/// Puts the names of a folder on the disk: a new file is not there for good before its name is.
#[cfg(unix)]
pub(super) fn sync_folder(folder: &Path) -> Result<()> {
    sync(&std::fs::File::open(folder)?)
}

/// Elsewhere a folder cannot be opened, and the system keeps its names itself.
#[cfg(not(unix))]
pub(super) fn sync_folder(_: &Path) -> Result<()> {
    Ok(())
}

/// A file under way, with the rights that the user gives to new files.
fn new_file(folder: &Path) -> Result<tempfile::NamedTempFile> {
    let mut how = tempfile::Builder::new();
    how.prefix(UNDER_WAY).rand_bytes(LETTERS);
    #[cfg(unix)]
    how.permissions({
        use std::os::unix::fs::PermissionsExt;
        std::fs::Permissions::from_mode(0o666)
    });
    how.tempfile_in(folder)
}

/// A file that replaces another has its rights.
#[cfg(unix)]
fn share(file: &std::fs::File, replaces: &Path) -> Result<()> {
    match std::fs::symlink_metadata(replaces) {
        Ok(old) if old.is_file() => file.set_permissions(old.permissions()),
        Ok(_) | Err(_) => Ok(()),
    }
}

#[cfg(not(unix))]
fn share(_: &std::fs::File, _: &Path) -> Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::{LEFT_BEHIND, whole};
    use std::time::{Duration, SystemTime};

    #[test]
    fn a_refusal_does_not_name_the_file_under_way() {
        let folder = tempfile::tempdir().unwrap();
        let fault = whole(&folder.path().join("none/due.ics"), b"").unwrap_err();
        assert_eq!(fault.kind(), std::io::ErrorKind::NotFound);
        assert!(!fault.to_string().contains(".sandarac"), "{fault}");
        assert!(!fault.to_string().contains("due.ics"), "{fault}");
    }

    #[test]
    fn what_a_killed_writer_left_goes_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let names = [
            // The disk counts in ticks.
            (
                ".sandarac-a1B2c3",
                LEFT_BEHIND + Duration::from_secs(1),
                false,
            ),
            (".sandarac-zzzzzz", LEFT_BEHIND / 2, true),
            (".sandarac-my notes", LEFT_BEHIND * 9, true),
            (".sandarac-a1B2c", LEFT_BEHIND * 9, true),
            (".sandarac-a1B2c3d", LEFT_BEHIND * 9, true),
            ("sandarac-a1B2c3", LEFT_BEHIND * 9, true),
        ];
        for (name, age, _) in names {
            let file = std::fs::File::create(folder.path().join(name)).unwrap();
            file.set_modified(SystemTime::now() - age).unwrap();
        }
        // A file that a clock set ahead has dated stays.
        let file = std::fs::File::create(folder.path().join(".sandarac-future")).unwrap();
        file.set_modified(SystemTime::now() + LEFT_BEHIND * 9)
            .unwrap();
        let report = folder.path().join("due.ics");
        whole(&report, b"whole").unwrap();
        assert_eq!(std::fs::read(&report).unwrap(), b"whole");
        for (name, _, stays) in names {
            assert_eq!(folder.path().join(name).exists(), stays, "{name}");
        }
        assert!(folder.path().join(".sandarac-future").exists());
    }
}

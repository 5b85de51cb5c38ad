//! A file on the disk as it was at one moment.

use std::path::Path;
use std::time::SystemTime;

/// A file as it was at one moment; one that is not there has no length and no time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// Its bytes.
    pub length: u64,
    /// When it was changed last.
    pub changed: Option<SystemTime>,
    /// Which file of the disk it is, where the system numbers them: an editor may put a new one in its place.
    pub inode: Option<u64>,
}

impl Stamp {
    /// As it is now.
    pub fn now(path: &Path) -> Stamp {
        let data = std::fs::metadata(path).ok();
        Stamp {
            length: data.as_ref().map_or(0, std::fs::Metadata::len),
            inode: data.as_ref().and_then(inode),
            changed: data.and_then(|data| data.modified().ok()),
        }
    }
}

#[cfg(unix)]
fn inode(data: &std::fs::Metadata) -> Option<u64> {
    use std::os::unix::fs::MetadataExt;
    Some(data.ino())
}

#[cfg(not(unix))]
fn inode(_: &std::fs::Metadata) -> Option<u64> {
    None
}

#[cfg(test)]
mod tests {
    use crate::text::Files;

    #[test]
    fn what_changes_goes_or_comes_is_noticed() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        let write = |text: &str| std::fs::write(&path, text).unwrap();
        let opened = || {
            let mut files = Files::default();
            files.open("log.csv", &path).unwrap();
            assert_eq!(files.changed(), None);
            files
        };
        write("entry\n1\n");
        let files = opened();
        write("entry\n1\n2\n");
        assert_eq!(files.changed(), Some(path.as_path()), "grown");
        let files = opened();
        std::fs::remove_file(&path).unwrap();
        assert_eq!(files.changed(), Some(path.as_path()), "gone");
        let mut files = Files::default();
        files.note(&path);
        assert_eq!(files.changed(), None);
        write("entry\n");
        assert_eq!(files.changed(), Some(path.as_path()), "come");
    }
}

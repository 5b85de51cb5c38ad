//! Do the files still stand on the disk as they were when they were read? What another program changed in between would
//! be half of one shop and half of another.

use super::file::Files;
use std::path::Path;
use std::time::SystemTime;

/// A file as it was at one moment; one that is not there has no length and no time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    /// Its bytes.
    pub length: u64,
    /// When it was changed last.
    pub changed: Option<SystemTime>,
}

impl Stamp {
    /// As it is now.
    pub fn now(path: &Path) -> Stamp {
        let data = std::fs::metadata(path).ok();
        Stamp {
            length: data.as_ref().map_or(0, std::fs::Metadata::len),
            changed: data.and_then(|data| data.modified().ok()),
        }
    }
}

impl Files {
    /// Before a file is read, for a change while it is read is a change as well; and of one that may be missing and is.
    pub fn note(&mut self, path: &Path) {
        self.stamps.push((path.to_path_buf(), Stamp::now(path)));
    }

    /// The first file that is no longer as it was when it was read, or came since.
    pub fn changed(&self) -> Option<&Path> {
        let changed = self
            .stamps
            .iter()
            .find(|(path, was)| Stamp::now(path) != *was);
        changed.map(|(path, _)| path.as_path())
    }
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

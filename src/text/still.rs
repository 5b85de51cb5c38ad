//! Do the files still stand on the disk as they were when they were read? What another program changed in between would
//! be half of one shop and half of another.

use super::file::Files;
use super::journal::{Seen, seen};
use std::path::{Path, PathBuf};

/// The files of the disk that were opened, or looked for and not there, as they were then.
#[derive(Default)]
pub(super) struct Still(Vec<(PathBuf, Seen)>);

impl Still {
    /// Before a file is read: a change while it is read is a change as well.
    pub(super) fn note(&mut self, path: &Path) {
        self.0.push((path.to_path_buf(), seen(path)));
    }
}

impl Files {
    /// A file that may be missing is missing.
    pub fn note_missing(&mut self, path: &Path) {
        self.still.note(path);
    }

    /// The first file that is no longer as it was when it was read, or came since.
    pub fn changed(&self) -> Option<&Path> {
        let changed = self.still.0.iter().find(|(path, was)| seen(path) != *was);
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
        files.note_missing(&path);
        assert_eq!(files.changed(), None);
        write("entry\n");
        assert_eq!(files.changed(), Some(path.as_path()), "come");
    }
}

//! The files of a shop, not yet understood.

use super::folder::{no_closed_period, no_other_copies, read};
use crate::files::Change;
use crate::text::{FileId, Files, Problems};
use std::path::{Path, PathBuf};

/// The files of a shop, not yet understood.
pub(super) struct Texts {
    pub folder: Option<PathBuf>,
    pub files: Files,
    pub problems: Problems,
    pub named: Vec<(&'static str, FileId)>,
}

impl Texts {
    /// The files of a folder, as they would be after some changes.
    pub fn of_folder(folder: &Path, changes: &[Change]) -> Texts {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let mut named = Vec::new();
        for name in super::files_of_a_shop() {
            let change = changes.iter().find(|change| change.file == name);
            let file = read(folder, name, change, &mut files, &mut problems);
            named.extend(file.map(|file| (name, file)));
        }
        let inventory = find(&named, "inventory.csv");
        no_other_copies(folder, &mut files, &mut problems);
        no_closed_period(folder, inventory, &mut files, &mut problems);
        Texts {
            folder: Some(folder.to_path_buf()),
            files,
            problems,
            named,
        }
    }

    /// Texts that are in memory; those that are no file of a shop are left out.
    pub fn held<'t, T: AsRef<[u8]> + ?Sized + 't>(
        texts: impl Iterator<Item = (&'t str, &'t T)>,
    ) -> Texts {
        let mut files = Files::default();
        let mut named = Vec::new();
        for (name, text) in texts {
            let known = super::files_of_a_shop().find(|known| *known == name);
            named.extend(known.map(|known| (known, files.hold(known, text.as_ref().to_vec()))));
        }
        Texts {
            folder: None,
            files,
            problems: Problems::new(),
            named,
        }
    }
}

/// A file by its name.
pub(super) fn find(named: &[(&'static str, FileId)], name: &str) -> Option<FileId> {
    let found = named.iter().find(|(there, _)| *there == name);
    found.map(|(_, file)| *file)
}

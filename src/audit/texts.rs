//! The files of a shop before they are understood: read from a folder, or held in memory.

use super::folder::{journal_is_a_file, no_closed_period, no_other_copies, read};
use crate::files::Change;
use crate::text::{FileId, Files, Problems};
use std::path::{Path, PathBuf};

/// The files of a shop, not yet understood.
pub(super) struct Texts {
    pub folder: Option<PathBuf>,
    pub files: Files,
    pub problems: Problems,
    /// Other copies of its tables.
    pub other_copies: Problems,
    pub named: Vec<(&'static str, FileId)>,
    /// Lost rows and other copies are no reason to stop.
    pub bears_lost: bool,
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
        journal_is_a_file(folder, &mut files, &mut problems);
        let mut other_copies = Problems::new();
        no_other_copies(folder, &mut files, (&mut problems, &mut other_copies));
        no_closed_period(folder, inventory, &mut files, &mut problems);
        Texts {
            folder: Some(folder.to_path_buf()),
            problems,
            other_copies,
            ..Texts::of_files(files, named)
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
        Texts::of_files(files, named)
    }

    /// Files that are read, of no folder.
    pub fn of_files(files: Files, named: Vec<(&'static str, FileId)>) -> Texts {
        Texts {
            folder: None,
            files,
            problems: Problems::new(),
            other_copies: Problems::new(),
            named,
            bears_lost: false,
        }
    }
}

/// A file by its name.
pub(super) fn find(named: &[(&'static str, FileId)], name: &str) -> Option<FileId> {
    let found = named.iter().find(|(there, _)| *there == name);
    found.map(|(_, file)| *file)
}

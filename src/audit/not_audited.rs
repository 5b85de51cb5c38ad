//! Why a shop could not be audited, as data.

use crate::text::{Files, Problems, ShownProblems, Words};
use std::path::PathBuf;

/// Why there is no audit.
#[derive(Debug)]
pub enum NotAudited {
    /// Something is wrong in the files.
    Problems(ShownProblems),
    /// The folder may not be looked into.
    NoEntry {
        folder: PathBuf,
        /// What the system says.
        why: String,
    },
    /// A file was changed by another program while it was read: what was read would be of two shops.
    Changed(PathBuf),
    /// An entry was cut short while it was written, and is not finished yet.
    Unfinished {
        /// Why it cannot be finished; `None` if that was not tried.
        why: Option<Words>,
    },
    /// A pack was asked for that the shop does not name.
    NoSuchPack {
        name: String,
        /// Those that the shop names.
        known: Vec<String>,
    },
}

impl NotAudited {
    /// The problems of these files.
    pub(super) fn problems(problems: &Problems, files: &Files) -> NotAudited {
        NotAudited::Problems(ShownProblems::of_files(problems, files))
    }

    /// An error if there are problems. If a file was changed while it was read, that is the error.
    pub(super) fn unless_none(problems: &Problems, files: &Files) -> Result<(), NotAudited> {
        if problems.none() {
            return Ok(());
        }
        match files.changed() {
            Some(path) => Err(NotAudited::Changed(path.to_path_buf())),
            None => Err(NotAudited::problems(problems, files)),
        }
    }
}

//! What may be read as a file of a folder: a plain file, inside it, of a bearable size. A pipe would wait for ever, a
//! device never ends, and a link may lead anywhere.

use crate::text::{FileFault, FileId, Files};
use std::io::{Error, ErrorKind};
use std::path::{Path, PathBuf};

/// Why a file is not read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Barred {
    /// There is none.
    Missing,
    /// There is one, but this is wrong with it.
    For(FileFault),
}

impl Barred {
    /// What the system says.
    pub fn by_system(fault: Error) -> Barred {
        let why = fault.to_string();
        Barred::For(FileFault::Unreadable { why })
    }
}

/// A file of a folder, opened if it may be read and has at most so many bytes.
pub fn open_in(
    files: &mut Files,
    name: impl Into<String>,
    folder: &Path,
    inner: &str,
    most: u64,
) -> Result<FileId, Barred> {
    let path = admit(folder, inner, most)?;
    files.open(name, &path).map_err(Barred::by_system)
}

/// Looks at a file before it is opened, and gives its path.
pub fn admit(folder: &Path, inner: &str, most: u64) -> Result<PathBuf, Barred> {
    let path = folder.join(inner);
    let found = match std::fs::metadata(&path) {
        Ok(found) => found,
        Err(fault) if fault.kind() != ErrorKind::NotFound => return Err(Barred::by_system(fault)),
        // A link to nothing is not a missing file, because it was put there on purpose.
        Err(_) if std::fs::symlink_metadata(&path).is_ok() => {
            let why = "it is a link to nothing".to_string();
            return Err(Barred::For(FileFault::Unreadable { why }));
        }
        Err(_) => return Err(Barred::Missing),
    };
    if !found.is_file() {
        let is = if found.is_dir() {
            "a folder"
        } else {
            "a pipe or a device"
        };
        return Err(Barred::For(FileFault::NotAFile { is }));
    }
    let (real, root) = (std::fs::canonicalize(&path), std::fs::canonicalize(folder));
    let (real, root) = (
        real.map_err(Barred::by_system)?,
        root.map_err(Barred::by_system)?,
    );
    if !real.starts_with(&root) {
        let to = std::fs::read_link(&path).unwrap_or(real);
        return Err(Barred::For(FileFault::LeadsOut {
            to: to.display().to_string(),
        }));
    }
    if found.len() > most {
        let bytes = found.len();
        return Err(Barred::For(FileFault::TooLarge { bytes, most }));
    }
    Ok(path)
}

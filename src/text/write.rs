//! Writing a file: whole or not at all, and on the disk before it is called done.

use std::io::{Error, ErrorKind, Result, Write};
use std::path::Path;

/// Writes `text` to `path` by way of a new file beside it; both the file and its folder are synced.
pub fn whole(path: &Path, text: &[u8]) -> Result<()> {
    let folder = path
        .parent()
        .ok_or_else(|| Error::from(ErrorKind::InvalidInput))?;
    // A bare name lies in this folder.
    let folder = if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    };
    let mut file = tempfile::Builder::new()
        .prefix(".sandarac-")
        .tempfile_in(folder)?;
    file.write_all(text)?;
    share(file.as_file())?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|fault| fault.error)?;
    sync_folder(folder)
}

/// Puts the names of a folder on the disk: a new file is not there for good before its name is.
#[cfg(unix)]
pub(super) fn sync_folder(folder: &Path) -> Result<()> {
    std::fs::File::open(folder)?.sync_all()
}

/// Elsewhere a folder cannot be opened, and the system keeps its names itself.
#[cfg(not(unix))]
pub(super) fn sync_folder(_: &Path) -> Result<()> {
    Ok(())
}

/// A temporary file is private; a report is as readable as any other file of the shop.
#[cfg(unix)]
fn share(file: &std::fs::File) -> Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn share(_: &std::fs::File) -> Result<()> {
    Ok(())
}

//! The reports folder of a shop, and the files that an audit writes into it.

use super::Failure;
use crate::parallel::on_each;
use crate::report::{FORMATS, View, write};
use std::fmt::Display;
use std::path::{Path, PathBuf};

/// What an audit can do without its reports folder.
pub(super) const OR: &str = "use `--no-reports`";

/// What can be done where the JSON of an audit cannot be written.
pub(super) const JSON_OR: &str =
    "Check that you may write there and that the disk has room, or print it with `--json -`.";

/// A file or folder that cannot be written, and what else can be done.
pub(super) fn said(path: &Path, fault: impl Display, or: &str) -> Failure {
    let fix = format!("Check that you may write there and that the disk has room, or {or}.");
    Failure::unwritten(path, fault, fix)
}

/// The reports folder of a shop, made if it is not there; a link that leads elsewhere is refused. `or` says what can be done
/// without it.
pub(super) fn reports_folder(shop: &Path, or: &str) -> Result<PathBuf, Failure> {
    let folder = shop.join("reports");
    std::fs::create_dir_all(&folder).map_err(|fault| said(&folder, &fault, or))?;
    let inside =
        std::fs::canonicalize(&folder).and_then(|real| Ok((real, std::fs::canonicalize(shop)?)));
    match inside {
        Ok((real, shop)) if real.starts_with(&shop) => Ok(folder),
        Ok(_) => Err(Failure::refused(
            format!("{} leads out of the shop folder.", folder.display()),
            "Replace it with a folder of its own.",
            "No reports were written.",
        )),
        Err(fault) => Err(said(&folder, &fault, or)),
    }
}

/// Every format of the audit into its own file, each whole or not at all, on so many threads at once. More threads than cores are
/// worth while: most of them wait for the disk.
pub(super) fn write_reports(folder: &Path, view: &View<'_>, threads: usize) -> Result<(), Failure> {
    let written = on_each(&FORMATS, threads, |format| {
        let path = folder.join(format.file(view.on));
        write::filled(&path, |out| format.write(view, out)).map_err(|fault| said(&path, &fault, OR))
    });
    written.into_iter().collect()
}

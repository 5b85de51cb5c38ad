//! `sandarac new`: a commented shop folder to start from, which audits as it stands.

use super::args::NewArgs;
use super::open::WRITTEN;
use super::{Ended, Failure, style};
use crate::pack::starter;
use crate::report::write;
use std::path::Path;

/// Writes the starter shop.
pub fn run(args: &NewArgs) -> Result<Ended, Failure> {
    write_shop(&args.folder, &starter())?;
    #[cfg(feature = "workbook")]
    if args.workbook {
        let file = args.folder.join("workbook.xlsx");
        super::workbook::make(&args.folder, &file).map_err(Failure::after_writing)?;
        style::print(&format!(
            "Wrote a shop to start from to {0}, and its tables as {1}.\nNext: fill it in with a spreadsheet, save and close \
             it, then sandarac workbook {0} --take {1}\n",
            args.folder.display(),
            file.display()
        ))
        .map_err(Failure::after_writing)?;
        return Ok(Ended::Well);
    }
    style::print(&format!(
        "Wrote a shop to start from to {0}.\nNext: change its tables in a spreadsheet, then run sandarac audit {0}\n",
        args.folder.display()
    ))
    .map_err(Failure::after_writing)?;
    Ok(Ended::Well)
}

/// Writes a shop into a folder that holds none yet.
pub(super) fn write_shop(folder: &Path, files: &[(&str, &str)]) -> Result<(), Failure> {
    write_files(folder, files, "shop.toml")
}

/// Writes files into a folder, `last` at the very end: until it is there, the folder is not what it is to become. None is
/// written if one of them is there already.
pub(super) fn write_files(
    folder: &Path,
    files: &[(&str, &str)],
    last: &str,
) -> Result<(), Failure> {
    let said = |path: &Path, fault: &std::io::Error| {
        Failure::unwritten(
            path,
            fault,
            "Name a folder where you may write, on a disk that has room.",
        )
    };
    // Until the last file is there, files of the same text were written by a command that was cut short.
    let is_whole = folder.join(last).exists();
    for (name, text) in files {
        let path = folder.join(name);
        let is_ours =
            || !is_whole && std::fs::read(&path).is_ok_and(|there| there == text.as_bytes());
        if path.exists() && !is_ours() {
            return Err(Failure::refused(
                format!("{} exists already.", path.display()),
                "Name a new folder.",
                WRITTEN,
            ));
        }
    }
    let (at_the_end, first): (Vec<_>, Vec<_>) = files.iter().partition(|(name, _)| *name == last);
    for (name, text) in first.into_iter().chain(at_the_end) {
        let path = folder.join(name);
        let parent = path.parent().unwrap_or(folder);
        std::fs::create_dir_all(parent).map_err(|fault| said(parent, &fault))?;
        write::whole(&path, text.as_bytes()).map_err(|fault| said(&path, &fault))?;
    }
    Ok(())
}

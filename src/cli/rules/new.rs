//! `sandarac rules new`: a small rule pack to start from, which passes its own check.

use crate::cli::new::write_files;
use crate::cli::{Ended, Failure, style};
use crate::pack::pack_starter;
use std::path::Path;

/// The file that makes a folder a pack.
const LAST: &str = "pack.toml";

pub(super) fn run(folder: &Path) -> Result<Ended, Failure> {
    write_files(folder, &pack_starter(), LAST)?;
    let shown = folder.display();
    style::print(&format!(
        "A rule pack to start from is in {shown}. Everything in it is made up.\n\
         Change its files, then run: sandarac rules check {shown}\n\
         To use it: sandarac log record shop packs 'us-workplace, ../{}' --shop FOLDER\n",
        folder.file_name().map_or_else(
            || shown.to_string(),
            |name| name.to_string_lossy().into_owned()
        )
    ))
    .map_err(Failure::after_writing)?;
    Ok(Ended::Well)
}

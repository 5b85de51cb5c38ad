//! `sandarac new`: a commented shop folder to start from, which audits as it stands.

use super::args::NewArgs;
use super::{Ended, Failure, style};
use crate::pack::STARTER;
use crate::report::write;
use std::path::Path;

/// Writes the starter shop.
pub fn run(args: &NewArgs) -> Result<Ended, Failure> {
    write_shop(&args.folder, STARTER)?;
    style::print(&format!(
        "wrote a shop to start from to {0}\nnext: change its tables in a spreadsheet, then sandarac audit {0}\n",
        args.folder.display()
    ))?;
    Ok(Ended::Well)
}

/// Writes files into a folder that holds no shop yet; none of them is written if one is there already.
pub(super) fn write_shop(folder: &Path, files: &[(&str, &str)]) -> Result<(), Failure> {
    let said = |path: &Path, fault: &std::io::Error| {
        Failure::Said(format!(
            "error: {} cannot be written: {fault}\n = help: name a folder where you may write, on a disk that has room",
            path.display()
        ))
    };
    // Until shop.toml is there, what stands in the folder to the letter was written by a command that was cut short.
    let is_shop = folder.join("shop.toml").exists();
    for (name, text) in files {
        let path = folder.join(name);
        let is_ours =
            || !is_shop && std::fs::read(&path).is_ok_and(|there| there == text.as_bytes());
        if path.exists() && !is_ours() {
            return Err(Failure::Said(format!(
                "error: {} is there already; nothing was written\n = help: name a new folder",
                path.display()
            )));
        }
    }
    std::fs::create_dir_all(folder).map_err(|fault| said(folder, &fault))?;
    // shop.toml last: until it is there, the folder is no shop.
    let ordered = files
        .iter()
        .filter(|(n, _)| *n != "shop.toml")
        .chain(files.iter().filter(|(n, _)| *n == "shop.toml"));
    for (name, text) in ordered {
        let path = folder.join(name);
        write::whole(&path, text.as_bytes()).map_err(|fault| said(&path, &fault))?;
    }
    Ok(())
}

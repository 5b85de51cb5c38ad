//! A file that an output option names. It takes the place of an earlier output of its own kind, and of nothing else; a device
//! or a pipe is written to and stays what it is.

use super::Failure;
use super::open::WRITTEN;
use crate::audit::files_of_a_shop;
use crate::report::{LABELS_MARK, ROUND_MARK, SHOPS_MARK, write};
use std::fs::{File, Metadata, OpenOptions};
use std::io::{self, BufWriter, Read, Write};
use std::path::{Component, Path};

/// As much of a file as shows of which kind it is.
const HEAD: u64 = 2048;

/// What an output option writes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum OutputKind {
    /// `audit --json`
    Audit,
    /// `calendar --out`
    Calendar,
    /// `labels --out`
    Labels,
    /// `round --out`
    Round,
    /// `round --csv`; what is filled in is refused by its command.
    RoundTable,
    /// `air --plot`
    Plot,
    /// `audit --page`
    Shops,
}

impl OutputKind {
    fn words(self) -> &'static str {
        match self {
            OutputKind::Audit => "the JSON of an earlier audit",
            OutputKind::Calendar => "an earlier calendar",
            OutputKind::Labels => "an earlier sheet of labels",
            OutputKind::Round => "the page of an earlier round",
            OutputKind::RoundTable => "the table of an earlier round",
            OutputKind::Plot => "an earlier plot",
            OutputKind::Shops => "an earlier page of several shops",
        }
    }

    /// Was a file with this head written by the same option?
    fn wrote(self, head: &str) -> bool {
        let is_page = |mark: &str| head.starts_with("<!DOCTYPE html>") && head.contains(mark);
        match self {
            OutputKind::Audit => {
                head.starts_with("{\n  \"format\": ") && head.contains("\n  \"on\": ")
            }
            OutputKind::Calendar => {
                head.starts_with("BEGIN:VCALENDAR") && head.contains("PRODID:-//sandarac//")
            }
            OutputKind::Labels => is_page(LABELS_MARK),
            OutputKind::Round => is_page(ROUND_MARK),
            OutputKind::Shops => is_page(SHOPS_MARK),
            OutputKind::RoundTable => head.starts_with("row,room,place,kind,name,about,"),
            OutputKind::Plot => {
                head.starts_with("<svg ") && head.contains("aria-labelledby=\"air-title air-desc\"")
            }
        }
    }
}

/// Writes a file, whole or not at all, or into a device or pipe. `or` says what can be done where it cannot be written.
pub(super) fn put(
    path: &Path,
    kind: OutputKind,
    or: &str,
    fill: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), Failure> {
    let fault = |fault: io::Error| Failure::unwritten(path, fault, or);
    belongs_to_no_shop(path)?;
    match std::fs::metadata(path) {
        Ok(found) if found.is_dir() => Err(refused(path, "is a folder")),
        Ok(found) if !found.is_file() => {
            let mut out = BufWriter::new(stream(path).map_err(fault)?);
            fill(&mut out).and_then(|()| out.flush()).map_err(fault)
        }
        Ok(_) if path.is_symlink() => Err(refused(path, "is a link")),
        Ok(found) => {
            if !is_earlier(path, &found, kind).map_err(fault)? {
                return Err(refused(
                    path,
                    &format!("exists and is not {}", kind.words()),
                ));
            }
            write::filled(path, fill).map_err(fault)
        }
        Err(_) if path.is_symlink() => Err(refused(path, "is a link to nothing")),
        Err(_) => write::filled(path, fill).map_err(fault),
    }
}

/// A device or a pipe, opened as it is.
fn stream(path: &Path) -> io::Result<File> {
    OpenOptions::new().write(true).open(path)
}

/// A new file may be empty: nothing in it is lost.
fn is_earlier(path: &Path, found: &Metadata, kind: OutputKind) -> io::Result<bool> {
    if found.len() == 0 {
        return Ok(true);
    }
    let mut head = Vec::new();
    File::open(path)?.take(HEAD).read_to_end(&mut head)?;
    Ok(kind.wrote(&String::from_utf8_lossy(&head)))
}

/// Refuses what is a table of a shop, or would be one, and the folder in which the journal is kept.
fn belongs_to_no_shop(path: &Path) -> Result<(), Failure> {
    // A bare name lies in this folder.
    let here = Path::new(".").join(path);
    let parent = here.parent().unwrap_or(Path::new("."));
    let real = std::fs::canonicalize(parent).unwrap_or_else(|_| parent.to_path_buf());
    let is_home = |part: Component<'_>| part.as_os_str() == ".sandarac";
    if real.components().chain(path.components()).any(is_home) {
        return Err(refused(path, "is where Sandarac keeps its journal"));
    }
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().to_lowercase());
    let is_table = name.is_some_and(|name| files_of_a_shop().any(|table| table == name));
    if is_table && real.join("shop.toml").exists() {
        return Err(refused(path, "is the place of a table of the shop"));
    }
    Ok(())
}

fn refused(path: &Path, is: &str) -> Failure {
    Failure::refused(
        format!("{} {is}. It was not written over.", path.display()),
        "Name a file that does not exist yet.",
        WRITTEN,
    )
}

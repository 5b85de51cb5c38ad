//! The files of a shop folder: which must be there, how large they may be, and a slip in a name told.

use super::NotAudited;
use crate::files::{Barred, Change, JOURNAL, TableEnd, admit, expect_rows, has_rows};
use crate::record::INVENTORY;
use crate::text::{FileFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Span};
use std::path::Path;

/// The tables of a shop folder.
pub(super) const TABLES: [&str; 9] = [
    "rooms.csv",
    "inventory.csv",
    "places.csv",
    "fixtures.csv",
    "products.csv",
    "log.csv",
    "checks.csv",
    "accepted.csv",
    "actions.csv",
];

/// The names of all files that a shop folder can have.
pub fn files_of_a_shop() -> impl Iterator<Item = &'static str> {
    std::iter::once("shop.toml").chain(TABLES)
}

/// The files that no shop can do without.
const NEEDED: [&str; 3] = ["shop.toml", "rooms.csv", "inventory.csv"];
/// A table that is held in memory has at most so many bytes.
const MOST_TABLE_BYTES: u64 = 1 << 26;
/// The log at most so many: tens of millions of entries, and a bound to the memory that corrections may need.
pub const MOST_LOG_BYTES: u64 = 1 << 30;

/// Reads a file of the shop. One that a shop may do without may be missing, but not stand there under a slip of its name.
pub(super) fn read(
    folder: &Path,
    name: &str,
    change: Option<&Change>,
    files: &mut Files,
    problems: &mut Problems,
) -> Option<FileId> {
    let most = match name {
        "log.csv" => MOST_LOG_BYTES,
        "shop.toml" => MOST_BYTES_KEPT,
        _ => MOST_TABLE_BYTES,
    };
    let code = match open_as(folder, name, most, change, files) {
        Ok(file) => {
            expect_rows(folder, name, file, files);
            return Some(file);
        }
        Err(Barred::For(code)) => code,
        Err(Barred::Missing) => match misnamed(folder, name) {
            Some(there) => FileFault::Misnamed {
                name: name.to_string(),
                there,
            },
            None if has_rows(folder, name) => FileFault::Gone {
                name: name.to_string(),
            },
            None if change.is_some() => {
                return change.map(|change| files.hold(name, change.bytes.clone()));
            }
            None if !NEEDED.contains(&name) => {
                files.note(&folder.join(name));
                return None;
            }
            None => FileFault::Missing {
                name: "The file".to_string(),
                hint: "A shop folder needs at least shop.toml, rooms.csv and inventory.csv. `sandarac new FOLDER` \
                       writes a shop to start from."
                    .into(),
            },
        },
    };
    let shown = folder.join(name).display().to_string();
    let file = files.hold(shown, Vec::new());
    problems.add(Problem::new(code, Span::whole(file)));
    None
}

/// A file as it would be after a change.
fn open_as(
    folder: &Path,
    name: &str,
    most: u64,
    change: Option<&Change>,
    files: &mut Files,
) -> Result<FileId, Barred> {
    let path = admit(folder, name, most)?;
    match change {
        Some(change) if change.whole => Ok(files.hold(name, change.bytes.clone())),
        Some(change) => files
            .open_table(name, &path, &change.bytes)
            .map_err(Barred::by_system),
        None if name == "shop.toml" => files.open(name, &path).map_err(Barred::by_system),
        None => files
            .open_table(name, &path, &[])
            .map_err(Barred::by_system),
    }
}

/// What stands in place of the journal must be one: taken for no journal, a pipe or a folder would hide which rows are lost.
pub(super) fn journal_is_a_file(folder: &Path, files: &mut Files, problems: &mut Problems) {
    // In something that is no folder there is no journal, and nothing was ever written.
    let home = Path::new(JOURNAL).parent().map(|home| folder.join(home));
    if !home.is_some_and(|home| home.is_dir()) {
        return;
    }
    if let Err(Barred::For(fault)) = admit(folder, JOURNAL, u64::MAX) {
        let shown = folder.join(JOURNAL).display().to_string();
        let file = files.hold(shown, Vec::new());
        problems.add(Problem::new(fault, Span::whole(file)));
    }
}

/// Ends where nothing in the folder may be looked at: one message, and not one for each file.
pub(super) fn may_enter(folder: &Path) -> Result<(), NotAudited> {
    match std::fs::symlink_metadata(folder.join("shop.toml")) {
        Err(fault) if fault.kind() == std::io::ErrorKind::PermissionDenied => {
            Err(NotAudited::NoEntry {
                folder: folder.to_path_buf(),
                why: fault.to_string(),
            })
        }
        Ok(_) | Err(_) => Ok(()),
    }
}

/// Refuses a folder in which an earlier version closed a period: read without what was set aside, a wet rag would be missing.
/// Its one problem tells all, so any other is dropped.
pub(super) fn no_closed_period(
    folder: &Path,
    inventory: Option<FileId>,
    files: &mut Files,
    problems: &mut Problems,
) {
    let (there, place) = match (of_a_period(folder), inventory) {
        (Some(name), _) => {
            let shown = folder.join(&name).display().to_string();
            (name, Span::whole(files.hold(shown, Vec::new())))
        }
        (None, Some(inventory)) if has_as_of(folder) => {
            ("the column `as_of`".to_string(), Span::whole(inventory))
        }
        (None, _) => return,
    };
    *problems = Problems::new();
    problems.add(Problem::new(FileFault::PeriodClosed { there }, place));
}

fn has_as_of(folder: &Path) -> bool {
    let is_one = |column: &String| column.eq_ignore_ascii_case("as_of");
    TableEnd::read(folder, &INVENTORY).is_ok_and(|end| end.columns.iter().any(is_one))
}

/// The first file, by name, that only a closed period leaves: `forward.csv`, `log-2026.csv`, `log-2026-06-30.csv`.
fn of_a_period(folder: &Path) -> Option<String> {
    let is_one = |name: &String| {
        let lower = name.to_ascii_lowercase();
        let log = lower
            .strip_prefix("log-")
            .and_then(|rest| rest.strip_suffix(".csv"));
        let digit_or_dash = |byte: u8| byte.is_ascii_digit() || byte == b'-';
        lower == "forward.csv"
            || log.is_some_and(|end| end.len() >= 4 && end.bytes().all(digit_or_dash))
    };
    let list = std::fs::read_dir(folder).ok()?;
    list.filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(is_one)
        .min()
}

/// Other copies of the tables, which may have rows that these lack: the twin in other letters, what a cloud drive puts aside
/// where two people saved, and what it leaves in place of a file that is only in the cloud: that last one is a problem of its own,
/// for the table itself may be an old one then.
pub(super) fn no_other_copies(
    folder: &Path,
    files: &mut Files,
    (placeholders, copies): (&mut Problems, &mut Problems),
) {
    let Ok(list) = std::fs::read_dir(folder) else {
        return;
    };
    let names = list.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    let mut names: Vec<String> = names.collect();
    names.sort();
    for there in &names {
        let mut tables = TABLES.iter();
        let Some(name) = tables.find(|name| is_copy(there, name)) else {
            continue;
        };
        // Without the table itself, another problem names its slip.
        let is_placeholder = there.starts_with('.') || !there.to_lowercase().ends_with(".csv");
        if !is_placeholder && !names.iter().any(|it| it == name) {
            continue;
        }
        let shown = folder.join(there).display().to_string();
        let file = files.hold(shown, Vec::new());
        let fault = FileFault::OtherCopy {
            name: (*name).to_string(),
            is_placeholder,
        };
        let problems = if is_placeholder {
            &mut *placeholders
        } else {
            &mut *copies
        };
        problems.add(Problem::new(fault, Span::whole(file)));
    }
}

/// Is this the name of another copy of a table?
fn is_copy(there: &str, table: &str) -> bool {
    const PLACEHOLDERS: [&str; 5] = ["icloud", "cloud", "cloudf", "offline", "placeholder"];
    let (lower, stem) = (there.to_lowercase(), table.trim_end_matches(".csv"));
    if there == table {
        return false;
    }
    let visible = lower.strip_prefix('.').unwrap_or(&lower);
    if let Some(ending) = visible
        .strip_prefix(table)
        .and_then(|it| it.strip_prefix('.'))
    {
        return PLACEHOLDERS.contains(&ending);
    }
    let Some(name) = lower.strip_suffix(".csv") else {
        return false;
    };
    let name = name.strip_prefix("copy of ").unwrap_or(name);
    let Some(rest) = name.strip_prefix(stem) else {
        return false;
    };
    // ` - copy (2)` is a copy as ` (2)` is.
    let rest = rest.trim_start_matches([' ', '-', '_']);
    let is_apart = rest.len() < name.len() - stem.len() || rest.starts_with(['(', '.']);
    let number = rest.strip_prefix("copy").unwrap_or(rest);
    let number = number.trim_matches([' ', '(', ')']);
    let is_number = number.bytes().all(|byte| byte.is_ascii_digit()) && number.len() < 3;
    // Some drives add the name of the computer.
    let is_computer = ["desktop-", "laptop-"]
        .iter()
        .any(|it| rest.starts_with(it));
    rest.is_empty() || is_apart && (is_number || is_computer || rest.contains("conflict"))
}

/// A file of the folder that is this one in all but name: `Log.csv`, `log.csv.txt`, `log (1).csv`, `log.xlsx`.
fn misnamed(folder: &Path, name: &str) -> Option<String> {
    let wanted = stem(name);
    let list = std::fs::read_dir(folder).ok()?;
    let mut names: Vec<String> = list
        .filter_map(|entry| Some(entry.ok()?.file_name().to_string_lossy().into_owned()))
        .filter(|there| !there.starts_with(['.', '~']) && there.contains('.'))
        .filter(|there| there != name && stem(there) == wanted)
        .collect();
    names.sort();
    names.into_iter().next()
}

/// A file's name without its endings, the number of a copy, and the plural.
fn stem(name: &str) -> String {
    const ENDINGS: [&str; 8] = [
        ".csv", ".txt", ".tsv", ".xlsx", ".xls", ".ods", ".numbers", ".toml",
    ];
    let mut stem = name.to_lowercase();
    while let Some(shorter) = ENDINGS.iter().find_map(|ending| stem.strip_suffix(ending)) {
        stem = shorter.to_string();
    }
    let copy = |c: char| c.is_ascii_digit() || matches!(c, ' ' | '(' | ')');
    let stem = stem.trim_matches(copy);
    stem.strip_suffix('s').unwrap_or(stem).to_string()
}

#[cfg(test)]
mod tests {
    use super::is_copy;

    #[test]
    fn other_copies_are_known_by_their_names() {
        for there in [
            "Log.csv",
            "LOG.CSV",
            "log (1).csv",
            "log 2.csv",
            "log - Copy.csv",
            "log - Copy (2).csv",
            "log copy 2.csv",
            "log copy.csv",
            "Copy of log.csv",
            "log-2.csv",
            "log-DESKTOP-7QK2.csv",
            "log.Conflict.csv",
            "log (conflicted copy 2026-10-31).csv",
            "log.sync-conflict-20261031-1800-ABC.csv",
            "log_conflict-20261031.csv",
            ".log.csv.icloud",
            "log.csv.cloud",
        ] {
            assert!(is_copy(there, "log.csv"), "{there}");
        }
        for there in [
            "log.csv",
            "log.csv.bak",
            ".~lock.log.csv#",
            "~$log.csv",
            "log.xlsx",
            "logbook.csv",
            "log-2026.csv",
            "log before the move.csv",
            "catalog.csv",
            "actions.csv",
        ] {
            assert!(!is_copy(there, "log.csv"), "{there}");
        }
    }
}

//! The logs of closed periods, for a record that looks back further than log.csv does.

use super::files::MOST_LOG_BYTES;
use super::open::Opened;
use crate::quantity::Day;
use crate::record::{ClosedBooks, closed_books};
use crate::text::FileId;
use std::path::Path;

/// The logs of the periods that end on a day or later.
#[derive(Debug, Default)]
pub struct SetAside {
    /// Their names and files, the oldest first.
    pub logs: Vec<(String, FileId)>,
    /// Of the newest that cannot be read: its last day, and its name. What lies before is not looked for.
    pub missing: Option<(Day, String)>,
    /// The last days and names of the logs before those, which are there but are not opened.
    pub earlier: Vec<(Day, String)>,
}

/// Is it the name under which `roll` sets a log aside?
pub fn is_set_aside(name: &str) -> bool {
    let end = name
        .strip_prefix("log-")
        .and_then(|rest| rest.strip_suffix(".csv"));
    end.is_some_and(|end| {
        matches!(end.len(), 4 | 10) && end.bytes().all(|b| b.is_ascii_digit() || b == b'-')
    })
}

/// Opens those logs, from the last closed period back.
pub fn set_aside(opened: &mut Opened, folder: &Path, from: Day) -> SetAside {
    let mut found = SetAside::default();
    let mut books = closed_books(&opened.files, opened.tables.forward);
    while let Some(closed) = books.take() {
        let name = closed.log;
        let old = closed.closed < from;
        if old && is_set_aside(&name) && folder.join(&name).is_file() {
            found.earlier.push((closed.closed, name.clone()));
            books = before(opened, folder, &name);
            continue;
        }
        let file = is_set_aside(&name).then(|| {
            opened
                .files
                .open_in(name.clone(), folder, &name, MOST_LOG_BYTES, &[])
        });
        let Some(Ok(file)) = file else {
            found.missing = Some((closed.closed, name));
            break;
        };
        books = before(opened, folder, &name);
        found.logs.insert(0, (name, file));
    }
    found
}

/// The period before the one whose log this is: what that began with stands beside its log.
fn before(opened: &mut Opened, folder: &Path, log: &str) -> Option<ClosedBooks> {
    let forward = log.replacen("log-", "forward-", 1);
    let file = opened
        .files
        .open_in(forward.clone(), folder, &forward, MOST_LOG_BYTES, &[])
        .ok()?;
    closed_books(&opened.files, Some(file))
}

#[cfg(test)]
mod tests {
    use super::is_set_aside;

    #[test]
    fn a_name_that_leads_elsewhere_is_none() {
        for (name, is) in [
            ("log-2026.csv", true),
            ("log-2026-06-30.csv", true),
            ("log.csv", false),
            ("log-../x.csv", false),
            ("log-2026.csv.txt", false),
            ("/tmp/log-2026.csv", false),
        ] {
            assert_eq!(is_set_aside(name), is, "{name}");
        }
    }
}

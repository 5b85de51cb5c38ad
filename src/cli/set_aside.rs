//! The logs of closed periods, for a record that looks back further than log.csv does.

use super::files::MOST_LOG_BYTES;
use super::open::Opened;
use crate::quantity::Day;
use crate::record::closed_books;
use crate::text::FileId;
use std::path::Path;

/// The logs of the periods that end on a day or later.
#[derive(Debug, Default)]
pub struct SetAside {
    /// Their names and files, the oldest first.
    pub logs: Vec<(String, FileId)>,
    /// Of the newest that cannot be read: its last day, and its name. What lies before is not looked for.
    pub missing: Option<(Day, String)>,
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
    let mut books = closed_books(&opened.files, opened.book.forward);
    while let Some(closed) = books.take().filter(|books| books.closed >= from) {
        let name = closed.log;
        let file = is_set_aside(&name).then(|| {
            opened
                .files
                .open_in(name.clone(), folder, &name, MOST_LOG_BYTES, &[])
        });
        let Some(Ok(file)) = file else {
            found.missing = Some((closed.closed, name));
            break;
        };
        // What that period itself began with stands beside its log.
        let before = name.replacen("log-", "forward-", 1);
        let before = opened
            .files
            .open_in(before.clone(), folder, &before, MOST_LOG_BYTES, &[]);
        found.logs.insert(0, (name, file));
        books = closed_books(&opened.files, before.ok());
    }
    found
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

//! Looks whether rows that were written are still in their table: another program may have saved an older one over it.

use super::change::{Note, Refused};
use super::journal::{Journal, LOG, written};
use super::table_end::{lines, reader};
use std::fs::File;
use std::io::{ErrorKind, Result};
use std::path::Path;

/// So many of the last rows written are looked for again.
const ROWS_LOOKED_FOR: usize = 40;

impl Journal {
    /// Looks whether the log still has the rows written last. Without a log at all, nothing more is written: it would begin a
    /// second one, and be lost when the first is put back.
    pub(super) fn look_for_lost(&self, text: &[u8]) -> std::result::Result<Option<Note>, Refused> {
        let rows = written(text, LOG);
        let lost = match missing(&self.folder.join(LOG), &rows, ROWS_LOOKED_FOR) {
            Ok(lost) if lost.is_empty() => return Ok(None),
            Ok(lost) => lost,
            Err(fault) if fault.kind() == ErrorKind::NotFound => {
                return Err(Refused::Gone(LOG.into()));
            }
            Err(fault) => return Err(Refused::Unread(LOG.into(), fault)),
        };
        self.set_aside(LOG, &lines(&lost, "\n"))
            .map_err(|fault| Refused::Fault(self.home.display().to_string(), fault))?;
        let names = lost.iter().filter_map(|row| row.first().cloned());
        Ok(Some(Note::Lost(names.collect())))
    }
}

/// Lines as a message shows them.
pub(super) fn shown(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes)
        .trim()
        .replace(['\r', '\n'], " / ")
}

/// Those of the last `most` rows of `bytes` that a table lacks. With no rows at all, the table need not be there.
pub(super) fn missing(table: &Path, bytes: &[u8], most: usize) -> Result<Vec<Vec<String>>> {
    let mut wanted = rows(bytes);
    wanted.retain(|row| {
        row.first()
            .is_some_and(|name| !name.is_empty() && name != "entry")
    });
    wanted.drain(..wanted.len().saturating_sub(most));
    if wanted.is_empty() {
        return Ok(wanted);
    }
    let mut reader = reader(File::open(table)?);
    let mut found = csv::StringRecord::new();
    while !wanted.is_empty() && reader.read_record(&mut found).map_err(fault)? {
        wanted.retain(|row| !is_alike(row, &found));
    }
    Ok(wanted)
}

fn rows(bytes: &[u8]) -> Vec<Vec<String>> {
    let record = |record: csv::StringRecord| record.iter().map(str::to_string).collect();
    reader(bytes).into_records().flatten().map(record).collect()
}

fn fault(fault: csv::Error) -> std::io::Error {
    match fault.into_kind() {
        csv::ErrorKind::Io(fault) => fault,
        kind => std::io::Error::other(format!("{kind:?}")),
    }
}

/// Is this the row that was written, perhaps corrected by hand? Its name alone says little: what saved over it may have given
/// the same name to something else. Half of its other cells must be as they were.
fn is_alike(written: &[String], found: &csv::StringRecord) -> bool {
    let mut pairs = written
        .iter()
        .map(|cell| cell.trim())
        .zip(found.iter().map(str::trim));
    let filled = written
        .iter()
        .skip(1)
        .filter(|cell| !cell.trim().is_empty());
    pairs.next().is_some_and(|(name, other)| name == other)
        && pairs.filter(|(a, b)| !a.is_empty() && a == b).count() * 2 >= filled.count()
}

#[cfg(test)]
mod tests {
    use crate::files::{Change, Journal, Note, Refused};
    use crate::text::Stamp;

    const LOG: &str = "entry,when,what,container,amount,place,by\n1,a,,,,,\n";

    /// A shop into whose log this row was written.
    fn shop(row: &str) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("log.csv");
        std::fs::write(&path, LOG).unwrap();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let change = Change {
            file: "log.csv".into(),
            seen: Stamp::now(&path),
            whole: false,
            bytes: row.into(),
        };
        journal.write(&[change]).unwrap();
        folder
    }

    fn hold(folder: &tempfile::TempDir) -> Vec<Note> {
        Journal::hold(folder.path()).unwrap().1
    }

    fn save(folder: &tempfile::TempDir, text: &str) {
        std::fs::write(folder.path().join("log.csv"), text).unwrap();
    }

    #[test]
    fn rows_saved_over_are_noticed_once() {
        let folder = shop("2,b,,,,,\n3,\"c\nd\",,,,,\n");
        assert!(hold(&folder).is_empty());
        save(&folder, LOG);
        assert_eq!(hold(&folder), [Note::Lost(vec!["2".into(), "3".into()])]);
        let kept = std::fs::read_to_string(folder.path().join(".sandarac/unplaced.csv")).unwrap();
        assert_eq!(kept, "# log.csv\n2,b,,,,,\n3,\"c\nd\",,,,,\n");
        assert!(hold(&folder).is_empty());
        save(&folder, &LOG.replace('a', "b"));
        assert!(hold(&folder).is_empty());
    }

    #[test]
    fn another_row_of_the_same_name_is_not_taken_for_it() {
        for (found, is_it) in [
            ("2,2026-09-05T09:00,use,A-1,1 pt,,owner", true),
            ("2,2026-09-05 09:00,use,A-1,2 pt,,owner,,", true),
            ("2,2026-09-05T09:00,\"use\",A-1,1 pt,,other", true),
            ("2,2026-09-02T10:00,use,J-1,4 fl oz,,owner", false),
            ("2,2026-09-02T10:00,open,J-1,,,", false),
        ] {
            let folder = shop("2,2026-09-05T09:00,use,A-1,1 pt,,owner\n");
            save(&folder, &format!("{LOG}{found}\n"));
            assert_eq!(hold(&folder).is_empty(), is_it, "{found}");
        }
    }

    #[test]
    fn no_second_log_is_begun() {
        let folder = shop("2,b,,,,,\n");
        let path = folder.path().join("log.csv");
        std::fs::remove_file(&path).unwrap();
        let refused = Journal::hold(folder.path()).unwrap_err();
        assert!(matches!(&refused, Refused::Gone(file) if file == "log.csv"));
        assert!(refused.to_string().contains("put it back"), "{refused}");
        save(&folder, &format!("{LOG}2,b,,,,,\n"));
        assert!(hold(&folder).is_empty());
    }
}

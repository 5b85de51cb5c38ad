//! What a writer does for the one before: finishes what was cut short, and sets aside what is in no table: rows whose table
//! changed meanwhile, a last line that was cut off, and rows over which another program saved an older table.

use super::change::{Change, Note, Refused, shorten};
use super::journal::{HOME, Journal, LOG};
use super::table_end::TableEnd;
use super::table_text::{lines, rows_of};
use super::write::sync_folder;
use crate::text::{Encoding, Head, Shape};
use std::fs::OpenOptions;
use std::io::{ErrorKind, Result, Write};
use std::path::Path;

/// So many of the last rows written are looked for again.
const ROWS_LOOKED_FOR: usize = 40;
/// So many letters of lines are shown in a message.
const LETTERS_SHOWN: usize = 200;

impl Journal {
    /// The end of a table after whose last line rows can go: one that was cut off is set aside first, and said.
    pub fn end_of(
        &self,
        shape: &'static Shape,
    ) -> std::result::Result<(TableEnd, Option<Note>), Refused> {
        let end = TableEnd::read(&self.folder, shape)?;
        let Some(from) = end.torn else {
            return Ok((end, None));
        };
        let (file, torn) = (shape.file.to_string(), end.last_line());
        self.set_aside(&file, torn)
            .and_then(|()| shorten(&self.folder.join(&file), from))
            .map_err(|fault| Refused::Fault(file.clone(), fault))?;
        let note = Note::Torn(file, shown(torn));
        Ok((TableEnd::read(&self.folder, shape)?, Some(note)))
    }

    /// Finishes a change that was cut short. Its rows may be there although the table was changed since.
    pub(super) fn finish(&self, change: &Change) -> Result<Note> {
        let file = change.file.clone();
        let lacking = match change.make(&self.folder)? {
            true => Vec::new(),
            false => {
                let wanted = rows_of(&change.bytes, change.separator).collect();
                missing(&self.folder.join(&file), wanted)?
            }
        };
        if lacking.is_empty() {
            return Ok(Note::Finished(file, shown(&change.bytes)));
        }
        let lacking = lines(&lacking, "\n", b',');
        self.set_aside(&file, &lacking)?;
        Ok(Note::Unplaced(file, shown(&lacking)))
    }

    /// Looks whether the log still has the last of these lines. Without a log at all, nothing more is written: it would begin a
    /// second one, and be lost when the first is put back.
    pub(super) fn look_for_lost(&self, log: &[u8]) -> std::result::Result<Option<Note>, Refused> {
        let mut rows: Vec<_> = rows_of(log, b',').collect();
        rows.drain(..rows.len().saturating_sub(ROWS_LOOKED_FOR));
        let lost = match missing(&self.folder.join(LOG), rows) {
            Ok(lost) if lost.is_empty() => return Ok(None),
            Ok(lost) => lost,
            Err(fault) if fault.kind() == ErrorKind::NotFound => {
                return Err(Refused::Gone(LOG.into()));
            }
            Err(fault) => return Err(Refused::Unread(LOG.into(), fault)),
        };
        let aside = self.set_aside(LOG, &lines(&lost, "\n", b','));
        aside.map_err(|fault| self.fault(fault))?;
        let names = lost.into_iter().filter_map(|row| row.into_iter().next());
        Ok(Some(Note::Lost(names.collect())))
    }

    /// Keeps lines that are in no table.
    fn set_aside(&self, file: &str, bytes: &[u8]) -> Result<()> {
        let home = self.folder.join(HOME);
        let mut how = OpenOptions::new();
        let mut kept = how
            .create(true)
            .append(true)
            .open(home.join("unplaced.csv"))?;
        let end = if bytes.ends_with(b"\n") { "" } else { "\n" };
        kept.write_all(&[format!("# {file}\n").as_bytes(), bytes, end.as_bytes()].concat())?;
        kept.sync_all()?;
        sync_folder(&home)
    }
}

/// Lines as a message shows them: the last letters of many, for those of a table that was written whole are its old rows.
fn shown(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let text = text.trim().replace(['\r', '\n'], " / ");
    match text.char_indices().rev().nth(LETTERS_SHOWN) {
        Some((at, _)) => format!("… {}", text.get(at..).unwrap_or_default()),
        None => text,
    }
}

/// Those rows that a table lacks. With no rows at all, the table need not be there.
fn missing(table: &Path, mut wanted: Vec<Vec<String>>) -> Result<Vec<Vec<String>>> {
    let is_named = |row: &Vec<String>| {
        row.first()
            .is_some_and(|it| !it.is_empty() && it != "entry")
    };
    wanted.retain(is_named);
    if wanted.is_empty() {
        return Ok(wanted);
    }
    let bytes = std::fs::read(table)?;
    let encoding = Encoding::of(&bytes);
    let text = encoding.decode(bytes).unwrap_or_default();
    for found in rows_of(&text, Head::of(&text).separator) {
        wanted.retain(|row| !is_alike(row, &found));
    }
    Ok(wanted)
}

/// Is this the row that was written, perhaps corrected by hand? Its name alone says little: what saved over it may have given
/// the same name to something else. Half of its other cells must be as they were.
fn is_alike(written: &[String], found: &[String]) -> bool {
    let mut pairs = written
        .iter()
        .map(|cell| cell.trim())
        .zip(found.iter().map(|cell| cell.trim()));
    let filled = written
        .iter()
        .skip(1)
        .filter(|cell| !cell.trim().is_empty());
    pairs.next().is_some_and(|(name, other)| name == other)
        && pairs.filter(|(a, b)| !a.is_empty() && a == b).count() * 2 >= filled.count()
}

#[cfg(test)]
mod tests {
    use crate::files::{Change, Journal, Note, Reading, Refused};
    use crate::text::{Encoding, Stamp};
    use std::path::Path;
    use tempfile::TempDir;

    const LOG: &str = "entry,when,what,container\n1,a,,\n";
    const RECORD: &str = "log.csv\t32\n+2,b,,\nchecks.csv\t0\n+when\n+3\ngo\n";

    fn shop() -> TempDir {
        let folder = tempfile::tempdir().unwrap();
        save(&folder, "log.csv", LOG);
        folder
    }

    fn read(folder: &TempDir, name: &str) -> String {
        std::fs::read_to_string(folder.path().join(name)).unwrap_or_default()
    }

    fn save(folder: &TempDir, name: &str, text: &str) {
        std::fs::create_dir_all(folder.path().join(".sandarac")).unwrap();
        std::fs::write(folder.path().join(name), text).unwrap();
    }

    fn add(folder: &Path, file: &str, bytes: &str) -> Change {
        Change {
            file: file.into(),
            seen: Stamp::now(&folder.join(file)),
            whole: false,
            encoding: Encoding::Utf8,
            separator: b',',
            bytes: bytes.into(),
        }
    }

    fn rows(folder: &TempDir) -> Vec<Change> {
        let add = |file, bytes| add(folder.path(), file, bytes);
        vec![add("log.csv", "2,b,,\n"), add("checks.csv", "when\n3\n")]
    }

    fn write(folder: &TempDir, changes: &[Change]) -> Result<(), Refused> {
        Journal::hold(folder.path()).unwrap().0.write(changes)
    }

    fn hold(folder: &TempDir) -> Vec<Note> {
        Journal::hold(folder.path()).unwrap().1
    }

    #[test]
    fn two_files_change_as_one_wherever_it_is_cut_short() {
        let folder = shop();
        // Cut short after so many bytes of either file.
        for (log, checks) in [(0, 0), (1, 0), (5, 0), (6, 0), (6, 2), (6, 7)] {
            save(&folder, "log.csv", &format!("{LOG}{}", &"2,b,,\n"[..log]));
            save(&folder, "checks.csv", &"when\n3\n"[..checks]);
            save(&folder, ".sandarac/journal", RECORD);
            assert!(Reading::hold(folder.path()).unwrap().is_unfinished());
            let (reading, notes) = Reading::settled(folder.path()).unwrap();
            assert!(!reading.unwrap().is_unfinished());
            let finished = |note: &Note| matches!(note, Note::Finished(..));
            assert!(notes.len() == 2 && notes.iter().all(finished), "{notes:?}");
            assert_eq!(read(&folder, "log.csv"), format!("{LOG}2,b,,\n"));
            assert_eq!(read(&folder, "checks.csv"), "when\n3\n");
            assert!(hold(&folder).is_empty());
        }
    }

    /// The journal itself is cut off at any byte.
    #[test]
    fn half_a_record_counts_for_nothing() {
        let folder = shop();
        for end in 0..RECORD.len() {
            save(&folder, ".sandarac/journal", &RECORD[..end]);
            assert!(hold(&folder).is_empty(), "{end}");
            assert_eq!(read(&folder, ".sandarac/journal"), "", "{end}");
            assert_eq!(read(&folder, "log.csv"), LOG);
        }
        // The rows are in the table, and only the word for that was cut off.
        write(&folder, &rows(&folder)).unwrap();
        let whole = read(&folder, ".sandarac/journal");
        for end in whole.rfind("done").unwrap()..whole.len() {
            save(&folder, ".sandarac/journal", &whole[..end]);
            assert_eq!(hold(&folder).len(), 2, "{end}");
            assert_eq!(read(&folder, ".sandarac/journal"), whole);
        }
    }

    #[test]
    fn what_changed_in_between_is_not_written_over() {
        let folder = shop();
        let changes = rows(&folder);
        let changed = "entry,when,what,container\n9,z,,\n9,z,,\n";
        save(&folder, "log.csv", changed);
        assert!(
            matches!(write(&folder, &changes), Err(Refused::Changed(file)) if file == "log.csv")
        );
        assert_eq!(read(&folder, "checks.csv"), "");
        save(&folder, ".sandarac/journal", RECORD);
        assert_eq!(
            hold(&folder)[0],
            Note::Unplaced("log.csv".into(), "2,b,,".into())
        );
        assert_eq!(read(&folder, "log.csv"), changed);
        assert_eq!(
            read(&folder, ".sandarac/unplaced.csv"),
            "# log.csv\n2,b,,\n"
        );
        assert_eq!(read(&folder, "checks.csv"), "when\n3\n");
        assert!(hold(&folder).is_empty());
        // The rows were there before the table was changed.
        let both = format!("{LOG}2,b,,\n9,z,,\n");
        save(&folder, "log.csv", &both);
        save(&folder, ".sandarac/journal", RECORD);
        assert!(matches!(&hold(&folder)[0], Note::Finished(file, _) if file == "log.csv"));
        assert_eq!(read(&folder, "log.csv"), both);
    }

    #[test]
    fn a_table_that_is_written_whole_is_the_old_or_the_new() {
        let folder = shop();
        let new = format!(
            "entry,when,what,container,id\n1,{},,,\n2,b,,,k3\n",
            "a".repeat(300)
        );
        let lines: String = new.lines().map(|line| format!("+{line}\n")).collect();
        for old in [LOG, &new] {
            save(&folder, "log.csv", old);
            save(
                &folder,
                ".sandarac/journal",
                &format!("log.csv\t32\twhole\n{lines}go\n"),
            );
            match &hold(&folder)[..] {
                [Note::Finished(_, shown)] => {
                    assert!(
                        shown.starts_with("… aaa") && shown.ends_with(" / 2,b,,,k3"),
                        "{shown}"
                    );
                    assert_eq!(shown.chars().count(), 203);
                }
                other => panic!("{other:?}"),
            }
            assert_eq!(read(&folder, "log.csv"), new);
        }
    }

    #[test]
    fn a_refusal_in_the_middle_is_taken_back() {
        let folder = shop();
        std::fs::create_dir(folder.path().join("rooms.csv")).unwrap();
        for (whole, bytes) in [(false, "2,b,,\n"), (true, "entry,when,by\n1,a,\n2,b,\n")] {
            let mut changes = rows(&folder);
            (changes[0].whole, changes[0].bytes) = (whole, bytes.into());
            changes.push(add(folder.path(), "rooms.csv", "x\n"));
            let refused = write(&folder, &changes).unwrap_err();
            assert!(matches!(refused, Refused::Fault(file, _) if file == "rooms.csv"));
            assert_eq!(read(&folder, "log.csv"), LOG);
            assert!(!folder.path().join("checks.csv").exists());
            assert_eq!(read(&folder, ".sandarac/journal"), "");
        }
    }

    #[test]
    fn rows_saved_over_are_noticed_once() {
        let folder = shop();
        let add = add(folder.path(), "log.csv", "2,b,,\n3,\"c\nd\",,\n");
        write(&folder, &[add]).unwrap();
        assert!(hold(&folder).is_empty());
        save(&folder, "log.csv", LOG);
        assert_eq!(hold(&folder), [Note::Lost(vec!["2".into(), "3".into()])]);
        let aside = "# log.csv\n2,b,,\n3,\"c\nd\",,\n";
        assert_eq!(read(&folder, ".sandarac/unplaced.csv"), aside);
        assert!(hold(&folder).is_empty());
        save(&folder, "log.csv", &LOG.replace('a', "b"));
        assert!(hold(&folder).is_empty());
    }

    #[test]
    fn another_row_of_the_same_name_is_not_taken_for_it() {
        for (found, is_it) in [
            ("2,2026-09-05T09:00,use,A-1", true),
            ("2,2026-09-05 09:00,\"use\",A-1,,", true),
            ("2,2026-09-05 09:00,open,A-1", false),
            ("2,2026-09-02T10:00,use,J-1", false),
        ] {
            let folder = shop();
            let add = add(folder.path(), "log.csv", "2,2026-09-05T09:00,use,A-1\n");
            write(&folder, &[add]).unwrap();
            save(&folder, "log.csv", &format!("{LOG}{found}\n"));
            assert_eq!(hold(&folder).is_empty(), is_it, "{found}");
        }
    }

    #[test]
    fn no_second_log_is_begun() {
        let folder = shop();
        write(&folder, &rows(&folder)).unwrap();
        std::fs::remove_file(folder.path().join("log.csv")).unwrap();
        let refused = Journal::hold(folder.path()).unwrap_err();
        assert!(matches!(&refused, Refused::Gone(file) if file == "log.csv"));
        save(&folder, "log.csv", &format!("{LOG}2,b,,\n"));
        assert!(hold(&folder).is_empty());
    }
}

//! What a writer does for the one before: finishes what was cut short, and sets aside what is in no table: rows whose table
//! changed meanwhile, and a last line that was cut off.

use super::change::{Added, Change, Note, Refused, shorten};
use super::journal::Journal;
use super::kept_rows::{HOME, KeptRow};
use super::lost_rows::{each_table_row, table_columns};
use super::table_end::TableEnd;
use super::table_text::{lines, rows};
use super::write::{sync, sync_folder};
use crate::text::Shape;
use std::fs::OpenOptions;
use std::io::{Error, Result, Write};
use std::path::Path;
use std::sync::Arc;

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

    /// Finishes a change that was cut short; gives the rows that could not be put in their table. Its rows may be there
    /// although the table was changed since.
    pub(super) fn finish(&self, change: &Change) -> Result<(Note, Added)> {
        let file = change.file.clone();
        let lacking = match change.make(&self.folder)? {
            true => Added::default(),
            false => missing(&self.folder.join(&file), change)?,
        };
        if lacking.rows.is_empty() {
            return Ok((Note::Finished(file, shown(&change.bytes)), lacking));
        }
        let bytes = lines(&lacking.rows, "\n", b',');
        self.set_aside(&file, &bytes)?;
        Ok((Note::Unplaced(file, shown(&bytes)), lacking))
    }

    /// Keeps lines that are in no table.
    fn set_aside(&self, file: &str, bytes: &[u8]) -> Result<()> {
        let home = self.folder.join(HOME);
        let path = home.join("unplaced.csv");
        let found = std::fs::symlink_metadata(&path);
        if found.is_ok_and(|found| !found.is_file()) {
            return Err(Error::other(format!("{} is not a file", path.display())));
        }
        let mut how = OpenOptions::new();
        let mut kept = how.create(true).append(true).open(path)?;
        let end = if bytes.ends_with(b"\n") { "" } else { "\n" };
        kept.write_all(&[format!("# {file}\n").as_bytes(), bytes, end.as_bytes()].concat())?;
        sync(&kept)?;
        sync_folder(&home)
    }
}

/// Lines as a message shows them: the last letters of many, for those of a table that was written whole are its old rows.
fn shown(bytes: &[u8]) -> String {
    let text = String::from_utf8_lossy(bytes);
    let nothing = text.matches('\0').count();
    let text = text.replace('\0', "");
    let text = text.trim().replace(['\r', '\n'], " / ");
    let text = match text.char_indices().rev().nth(LETTERS_SHOWN) {
        Some((at, _)) => format!("… {}", text.get(at..).unwrap_or_default()),
        None => text,
    };
    match nothing {
        0 => text,
        nothing => format!("{text} ({nothing} NUL bytes)").trim().to_string(),
    }
}

/// Those new rows of a change that its table lacks.
fn missing(path: &Path, change: &Change) -> Result<Added> {
    let mut wanted = change.added.clone();
    if wanted.rows.is_empty() {
        // An earlier version did not write down which rows are new, and with which columns.
        wanted.columns = table_columns(path)?;
        wanted.rows = rows(&change.bytes, change.separator);
        let head = wanted.columns.concat();
        wanted
            .rows
            .retain(|row| !row.concat().eq_ignore_ascii_case(&head));
    }
    let columns = Arc::new(wanted.columns.clone());
    let mut list: Vec<KeptRow> = wanted
        .rows
        .drain(..)
        .map(|cells| KeptRow {
            columns: Arc::clone(&columns),
            cells,
        })
        .collect();
    each_table_row(path, |_, found| {
        if let Some(at) = list
            .iter()
            .position(|row| row.is_alike(&change.file, &found))
        {
            list.remove(at);
        }
    })?;
    wanted.rows = list.into_iter().map(|row| row.cells).collect();
    Ok(wanted)
}

#[cfg(test)]
mod tests {
    use crate::files::change::Added;
    use crate::files::{Change, Journal, LostRows, Note, Reading, Refused};
    use crate::text::{Encoding, Locale, Shape, Stamp};
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
            added: Added::default(),
            dropped: Added::default(),
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
    fn a_row_corrected_by_hand_meanwhile_is_found() {
        let columns = ":log.csv,entry,when,what,container\n=2,2026-09-05T09:00,use,A-1\n";
        for (found, is_it) in [
            ("2,2026-09-05T09:00,use,A-1", true),
            ("2,2026-09-05 09:00,\"use\",A-1,,", true),
            ("2,2026-09-05 09:00,open,A-1", true),
            ("2,2026-09-02T10:00,use,J-1", false),
            ("3,2026-09-05T09:00,use,A-1", false),
        ] {
            let folder = shop();
            let record = format!("log.csv\t32\n+2,2026-09-05T09:00,use,A-1\n{columns}go\n");
            save(&folder, "log.csv", &format!("{LOG}{found}\n9,z,,\n"));
            save(&folder, ".sandarac/journal", &record);
            let notes = hold(&folder);
            let is_finished = matches!(&notes[..], [Note::Finished(..)]);
            assert_eq!(is_finished, is_it, "{found}: {notes:?}");
            // What could not be put in its place was never acknowledged.
            let lost = LostRows::find(folder.path(), "log.csv").unwrap();
            assert!(lost.gone.is_empty(), "{found}: {lost:?}");
        }
    }

    /// A note with a line break in the last row of a table that ends without one.
    #[test]
    fn a_line_break_in_the_last_row_tears_nothing() {
        static SHAPE: Shape = Shape {
            file: "log.csv",
            must: &["entry", "when"],
            may: &["what", "container"],
        };
        for (last, is_torn) in [
            ("2,b,\"a\nb\",c", false),
            ("2,b,\"a\r\nb,\",\"c\n\"", false),
            ("2,b,\"a\nb", true),
            ("2,b,\"a\nb\"", true),
        ] {
            let folder = shop();
            let text = format!("{LOG}{last}");
            save(&folder, "log.csv", &text);
            let (journal, _) = Journal::hold(folder.path()).unwrap();
            let (end, note) = journal.end_of(&SHAPE).unwrap();
            assert_eq!(note.is_some(), is_torn, "{last}: {note:?}");
            if is_torn {
                assert_eq!(read(&folder, "log.csv"), LOG);
                assert!(read(&folder, ".sandarac/unplaced.csv").contains(last));
            } else {
                assert_eq!(read(&folder, "log.csv"), text);
                let row = [("entry", "3".to_string()), ("what", "x\ny".to_string())];
                journal
                    .write(&[end.with(&[row.to_vec()], &Locale::default())])
                    .unwrap();
                assert_eq!(read(&folder, "log.csv"), format!("{text}\n3,,\"x\ny\",\n"));
                assert!(LostRows::find(folder.path(), "log.csv").unwrap().none());
            }
        }
    }

    #[test]
    fn nul_bytes_are_counted_and_not_shown() {
        static SHAPE: Shape = Shape {
            file: "log.csv",
            must: &["entry", "when", "what", "container"],
            may: &[],
        };
        let folder = shop();
        save(&folder, "log.csv", &format!("{LOG}{}", "\0".repeat(60_000)));
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let (_, note) = journal.end_of(&SHAPE).unwrap();
        let note = note.unwrap().to_string();
        assert!(
            note.contains("(60000 NUL bytes)") && note.len() < 200,
            "{note}"
        );
        assert_eq!(read(&folder, "log.csv"), LOG);
    }

    #[cfg(unix)]
    #[test]
    fn nothing_is_set_aside_through_a_link() {
        let folder = shop();
        let other = folder.path().join("other.txt");
        std::fs::write(&other, "mine").unwrap();
        save(
            &folder,
            "log.csv",
            "entry,when,what,container\n9,z,,\n9,z,,\n",
        );
        save(&folder, ".sandarac/journal", RECORD);
        std::os::unix::fs::symlink(&other, folder.path().join(".sandarac/unplaced.csv")).unwrap();
        let refused = Journal::hold(folder.path()).unwrap_err();
        assert!(matches!(refused, Refused::Fault(..)));
        assert_eq!(std::fs::read_to_string(other).unwrap(), "mine");
    }
}

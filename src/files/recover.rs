//! What a writer does for the one before: finishes what was cut short, and sets aside what fits nowhere.

use super::change::{Change, Note, Refused, shorten};
use super::journal::{HOME, Journal, from_record};
use super::lost::{missing, shown};
use super::table_end::{TableEnd, lines};
use super::write::sync_folder;
use crate::text::Shape;
use std::fs::OpenOptions;
use std::io::{Result, Write};

impl Journal {
    /// The end of a table after whose last line rows can go: one that was cut off is set aside first, and said.
    pub fn end_of(
        &self,
        shape: &'static Shape,
    ) -> std::result::Result<(TableEnd, Option<Note>), Refused> {
        let end = TableEnd::read(&self.folder, shape)?;
        let Some((from, torn)) = &end.torn else {
            return Ok((end, None));
        };
        let aside = self.set_aside(shape.file, torn);
        aside
            .and_then(|()| shorten(&self.folder.join(shape.file), *from))
            .map_err(|fault| Refused::Fault(shape.file.to_string(), fault))?;
        let note = Note::Torn(shape.file.to_string(), shown(torn));
        Ok((TableEnd::read(&self.folder, shape)?, Some(note)))
    }

    /// Makes the changes of the record that begins at byte `open` of the journal, as far as it was cut short.
    pub(super) fn finish(&self, text: &[u8], open: usize) -> Result<Vec<Note>> {
        let (done, open) = text.split_at_checked(open).unwrap_or((text, &[]));
        if let Some(changes) = from_record(open) {
            return changes.iter().map(|it| self.finish_one(it)).collect();
        }
        if !open.is_empty() {
            self.cut(done)?;
        }
        // A record without its last line never got as far as the tables.
        if !open.ends_with(b"\ngo\n") {
            return Ok(Vec::new());
        }
        self.set_aside("journal", open)?;
        Ok(vec![Note::Unreadable])
    }

    fn finish_one(&self, change: &Change) -> Result<Note> {
        let file = change.file.clone();
        if change.finish(&self.folder)? {
            return Ok(Note::Finished(file, shown(&change.bytes)));
        }
        let lacking = lines(
            &missing(&self.folder.join(&file), &change.bytes, usize::MAX)?,
            "\n",
        );
        if lacking.is_empty() {
            return Ok(Note::Finished(file, shown(&change.bytes)));
        }
        self.set_aside(&file, &lacking)?;
        Ok(Note::Unplaced(file, shown(&lacking)))
    }

    /// Keeps lines that are in no table.
    pub(super) fn set_aside(&self, file: &str, bytes: &[u8]) -> Result<()> {
        let mut kept = OpenOptions::new()
            .create(true)
            .append(true)
            .open(self.home.join("unplaced.csv"))?;
        kept.write_all(format!("# {file}\n").as_bytes())?;
        kept.write_all(bytes)?;
        if bytes.last() != Some(&b'\n') {
            kept.write_all(b"\n")?;
        }
        kept.sync_all()?;
        sync_folder(&self.folder.join(HOME))
    }
}

#[cfg(test)]
mod tests {
    use crate::files::{Change, Journal, Note, Reading, Refused};
    use crate::text::Stamp;
    use std::path::Path;

    fn shop() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("log.csv"), "entry,when\n1,a\n").unwrap();
        folder
    }

    fn read(folder: &tempfile::TempDir, name: &str) -> String {
        std::fs::read_to_string(folder.path().join(name)).unwrap_or_default()
    }

    fn add(folder: &Path, file: &str, bytes: &str) -> Change {
        Change {
            file: file.into(),
            seen: Stamp::now(&folder.join(file)),
            whole: false,
            bytes: bytes.into(),
        }
    }

    fn rows(folder: &Path) -> Vec<Change> {
        vec![
            add(folder, "log.csv", "2,b\n"),
            add(folder, "checks.csv", "when\n3\n"),
        ]
    }

    fn hold(folder: &tempfile::TempDir) -> Vec<Note> {
        Journal::hold(folder.path()).unwrap().1
    }

    /// The journal of a writer that was killed after so many bytes of it.
    fn cut_short(folder: &tempfile::TempDir, end: usize) {
        let record = b"log.csv\t15\n+2,b\nchecks.csv\t0\n+when\n+3\ngo\n";
        std::fs::create_dir_all(folder.path().join(".sandarac")).unwrap();
        let path = folder.path().join(".sandarac/journal");
        std::fs::write(path, &record[..end.min(record.len())]).unwrap();
    }

    #[test]
    fn two_files_change_as_one_wherever_it_is_cut_short() {
        let folder = shop();
        // Cut short after so many bytes of either file.
        for (log, checks) in [(0, 0), (1, 0), (3, 0), (4, 0), (4, 2), (4, 7)] {
            let text = format!("entry,when\n1,a\n{}", &"2,b\n"[..log]);
            std::fs::write(folder.path().join("log.csv"), text).unwrap();
            let _ = std::fs::remove_file(folder.path().join("checks.csv"));
            if checks > 0 {
                std::fs::write(folder.path().join("checks.csv"), &"when\n3\n"[..checks]).unwrap();
            }
            cut_short(&folder, usize::MAX);
            assert!(Reading::hold(folder.path()).unwrap().is_unfinished());
            let (reading, notes) = Reading::settled(folder.path()).unwrap();
            assert!(!reading.unwrap().is_unfinished());
            let finished = |note: &Note| matches!(note, Note::Finished(..));
            assert!(notes.len() == 2 && notes.iter().all(finished), "{notes:?}");
            assert_eq!(read(&folder, "log.csv"), "entry,when\n1,a\n2,b\n");
            assert_eq!(read(&folder, "checks.csv"), "when\n3\n");
            assert!(hold(&folder).is_empty());
        }
    }

    /// The journal itself is cut off at any byte: then nothing was begun.
    #[test]
    fn half_a_record_counts_for_nothing() {
        let folder = shop();
        for end in 0..43 {
            cut_short(&folder, end);
            assert!(hold(&folder).is_empty(), "{end}");
            assert_eq!(read(&folder, ".sandarac/journal"), "", "{end}");
            assert_eq!(read(&folder, "log.csv"), "entry,when\n1,a\n");
        }
        // The rows are in the table, and only the word for that was cut off.
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        journal.write(&rows(folder.path())).unwrap();
        drop(journal);
        let whole = read(&folder, ".sandarac/journal");
        let done = whole.rfind("done").unwrap();
        for end in done..whole.len() {
            std::fs::write(folder.path().join(".sandarac/journal"), &whole[..end]).unwrap();
            assert_eq!(hold(&folder).len(), 2, "{end}");
            assert_eq!(read(&folder, ".sandarac/journal"), whole);
        }
    }

    #[test]
    fn what_changed_in_between_is_not_written_over() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let changes = rows(folder.path());
        std::fs::write(folder.path().join("log.csv"), "entry,when\n9,z\n9,z\n").unwrap();
        assert!(
            matches!(journal.write(&changes), Err(Refused::Changed(file)) if file == "log.csv")
        );
        drop(journal);
        assert_eq!(read(&folder, "checks.csv"), "");
        cut_short(&folder, usize::MAX);
        let unplaced = Note::Unplaced("log.csv".into(), "2,b".into());
        assert_eq!(hold(&folder)[0], unplaced);
        assert_eq!(read(&folder, "log.csv"), "entry,when\n9,z\n9,z\n");
        assert_eq!(read(&folder, ".sandarac/unplaced.csv"), "# log.csv\n2,b\n");
        assert_eq!(read(&folder, "checks.csv"), "when\n3\n");
    }

    /// The rows were in the table when it was cut short, and a row was added by hand since.
    #[test]
    fn rows_that_are_there_are_not_set_aside() {
        let folder = shop();
        std::fs::write(folder.path().join("log.csv"), "entry,when\n1,a\n2,b\n9,z\n").unwrap();
        cut_short(&folder, usize::MAX);
        assert!(matches!(&hold(&folder)[0], Note::Finished(file, _) if file == "log.csv"));
        assert_eq!(read(&folder, "log.csv"), "entry,when\n1,a\n2,b\n9,z\n");
        assert_eq!(read(&folder, ".sandarac/unplaced.csv"), "");
    }

    #[test]
    fn a_refusal_in_the_middle_is_taken_back() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let all = Change {
            whole: true,
            ..add(folder.path(), "log.csv", "entry,when,by\n1,a,\n2,b,\n")
        };
        for first in [add(folder.path(), "log.csv", "2,b\n"), all] {
            let mut changes = rows(folder.path());
            changes[0] = first;
            std::fs::create_dir_all(folder.path().join("rooms.csv")).unwrap();
            changes.push(add(folder.path(), "rooms.csv", "x\n"));
            let refused = journal.write(&changes).unwrap_err();
            assert!(matches!(refused, Refused::Fault(file, _) if file == "rooms.csv"));
            assert_eq!(read(&folder, "log.csv"), "entry,when\n1,a\n");
            assert!(!folder.path().join("checks.csv").exists());
            assert_eq!(read(&folder, ".sandarac/journal"), "");
        }
    }
}

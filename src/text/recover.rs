//! What the next writer does for the last one: finishes what was cut short, sets aside what fits nowhere, and looks
//! whether rows that were written are still there.

use super::journal::{Addition, HOME, Journal, Refused, seen};
use super::pending::{from_pending, shown};
use super::write::{in_one, sync_folder, whole};
use std::fs::{File, OpenOptions};
use std::io::{BufRead, BufReader, Error, ErrorKind, Read, Result, Seek, SeekFrom, Write};

/// So many of the last rows written are looked for again.
const ROWS_KEPT: usize = 40;

impl Journal {
    /// Sets a cut-off last line aside, and says so. `from` is the byte at which it begins.
    pub fn set_torn_aside(&self, file: &str, from: u64) -> std::result::Result<String, Refused> {
        let fault = |fault| Refused::Fault(file.to_string(), fault);
        let path = self.folder.join(file);
        if path.is_symlink() {
            return Err(Refused::Link(file.to_string()));
        }
        let mut torn = Vec::new();
        let mut open = OpenOptions::new()
            .read(true)
            .write(true)
            .open(&path)
            .map_err(fault)?;
        open.seek(SeekFrom::Start(from)).map_err(fault)?;
        open.read_to_end(&mut torn).map_err(fault)?;
        self.keep_unplaced(file, &torn).map_err(fault)?;
        open.set_len(from)
            .and_then(|()| open.sync_all())
            .map_err(fault)?;
        Ok(format!(
            "the last line of {file} was cut off in the middle: `{}`; it was set aside in {HOME}/unplaced.csv",
            shown(&torn)
        ))
    }

    /// Finishes what a crash cut short.
    pub(super) fn finish_pending(&self) -> Result<Vec<String>> {
        let pending = self.home.join("pending");
        if pending.exists() && !pending.is_file() {
            return Err(Error::other("it is not a file"));
        }
        let bytes = match std::fs::read(&pending) {
            Ok(bytes) => bytes,
            Err(fault) if fault.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            Err(fault) => return Err(fault),
        };
        let (mut said, mut placed) = (Vec::new(), Vec::new());
        let Some(additions) = from_pending(&bytes) else {
            std::fs::rename(&pending, self.home.join("pending-unreadable"))?;
            said.push(format!(
                "what was cut short in {HOME}/pending cannot be read; it was set aside beside it"
            ));
            return Ok(said);
        };
        for addition in additions {
            let tail = self.tail(&addition)?;
            let length = seen(&self.folder.join(&addition.file)).length;
            let lines = shown(&addition.bytes);
            let mut is_placed = length >= addition.seen.length && addition.bytes.starts_with(&tail);
            if is_placed && tail.len() < addition.bytes.len() {
                self.set_length(&addition)?;
                is_placed = self.append(&addition)?;
            }
            if is_placed {
                said.push(format!(
                    "finished in {} what was cut short the last time: `{lines}`",
                    addition.file
                ));
                placed.push(addition);
            } else {
                self.keep_unplaced(&addition.file, &addition.bytes)?;
                said.push(format!(
                    "{} was changed before what was cut short could be finished: `{lines}` is in no table; it was set aside \
                     in {HOME}/unplaced.csv",
                    addition.file
                ));
            }
        }
        self.remember(&placed);
        self.end_pending()?;
        Ok(said)
    }

    fn set_length(&self, addition: &Addition) -> Result<()> {
        match OpenOptions::new()
            .write(true)
            .open(self.folder.join(&addition.file))
        {
            Ok(file) => file.set_len(addition.seen.length),
            Err(fault) if fault.kind() == ErrorKind::NotFound => Ok(()),
            Err(fault) => Err(fault),
        }
    }

    fn keep_unplaced(&self, file: &str, bytes: &[u8]) -> Result<()> {
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
        sync_folder(&self.home)
    }

    /// Notes the rows written. It is a help and no more: nothing is refused because it fails.
    pub(super) fn remember(&self, additions: &[Addition]) {
        let path = self.home.join("written");
        let old = std::fs::read_to_string(&path).unwrap_or_default();
        let mut lines: Vec<String> = old.lines().map(str::to_string).collect();
        for addition in additions {
            let text = String::from_utf8_lossy(&addition.bytes).into_owned();
            let rows = text.lines().filter(|line| !line.trim().is_empty());
            lines.extend(rows.map(|row| format!("{}\t{row}", addition.file)));
        }
        let from = lines.len().saturating_sub(ROWS_KEPT);
        let kept = lines.get(from..).unwrap_or_default().join("\n");
        // In one: half a row would be looked for under half its name, and missed.
        let _ = in_one(&path, format!("{kept}\n").as_bytes());
    }

    /// Looks whether the log still has the rows written last. Without a log at all, nothing more is written: it would begin a
    /// second one, and be lost when the first is put back.
    pub(super) fn look_for_written(&self) -> std::result::Result<Vec<String>, Refused> {
        let fault = |fault| Refused::Fault(self.home.display().to_string(), fault);
        let path = self.home.join("written");
        let Ok(written) = std::fs::read_to_string(&path) else {
            return Ok(Vec::new());
        };
        let mut wanted: Vec<(&str, &str)> = written
            .lines()
            .filter_map(|line| line.strip_prefix("log.csv\t"))
            .filter_map(|row| Some((row.split(',').next()?, row)))
            .filter(|(name, _)| !name.is_empty() && *name != "entry")
            .collect();
        if wanted.is_empty() {
            return Ok(Vec::new());
        }
        match File::open(self.folder.join("log.csv")) {
            Ok(log) => strike_out(log, &mut wanted).map_err(fault)?,
            Err(fault) if fault.kind() == ErrorKind::NotFound => {
                return Err(Refused::Gone("log.csv".into()));
            }
            Err(fault) => return Err(Refused::Unread("log.csv".into(), fault)),
        }
        if wanted.is_empty() {
            return Ok(Vec::new());
        }
        let rows: Vec<&str> = wanted.iter().map(|(_, row)| *row).collect();
        self.keep_unplaced("log.csv", format!("{}\n", rows.join("\n")).as_bytes())
            .map_err(fault)?;
        whole(&path, b"").map_err(fault)?;
        let names: Vec<&str> = wanted.iter().map(|(name, _)| *name).collect();
        Ok(vec![format!(
            "log.csv no longer has what was logged as {}: another program has saved over it since; the lines were set aside \
             in {HOME}/unplaced.csv. Log them again if they are true",
            names.join(", ")
        )])
    }
}

/// Strikes out the rows that stand in a log.
fn strike_out(log: File, wanted: &mut Vec<(&str, &str)>) -> Result<()> {
    let (mut log, mut line) = (BufReader::new(log), Vec::new());
    while !wanted.is_empty() && log.read_until(b'\n', &mut line)? > 0 {
        wanted.retain(|(name, row)| {
            let rest = line.strip_prefix(name.as_bytes());
            let is_named = rest.and_then(<[u8]>::first) == Some(&b',');
            !(is_named && is_alike(row, &String::from_utf8_lossy(&line)))
        });
        line.clear();
    }
    Ok(())
}

/// Is this the row that was written, perhaps mended by hand? Its name alone says little: what saved over it may have given
/// the same name to something else. Half of its other cells must be as they were.
fn is_alike(written: &str, found: &str) -> bool {
    let cells = |row: &str| -> Vec<String> {
        let cells = row.trim_end().split(',').skip(1);
        cells
            .map(|cell| cell.trim_matches(['"', ' ']).to_string())
            .collect()
    };
    let (written, found) = (cells(written), cells(found));
    let told = written.iter().filter(|cell| !cell.is_empty()).count();
    let same = written
        .iter()
        .zip(&found)
        .filter(|(a, b)| !a.is_empty() && a == b);
    same.count() * 2 >= told
}

#[cfg(test)]
mod tests {
    use crate::text::pending::as_pending;
    use crate::text::{Addition, Journal, Refused, is_unfinished};

    fn shop() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("log.csv"), "entry,when\n1,a\n").unwrap();
        folder
    }

    fn read(folder: &tempfile::TempDir, name: &str) -> String {
        std::fs::read_to_string(folder.path().join(name)).unwrap_or_default()
    }

    fn rows(journal: &Journal) -> Vec<Addition> {
        let addition = |file: &str, bytes: &str| Addition {
            file: file.into(),
            seen: journal.seen(file),
            bytes: bytes.into(),
        };
        vec![
            addition("log.csv", "2,b\n"),
            addition("checks.csv", "when\n3\n"),
        ]
    }

    #[test]
    fn two_files_change_as_one_wherever_it_is_cut_short() {
        let folder = shop();
        let (journal, said) = Journal::hold(folder.path()).unwrap();
        assert!(said.is_empty());
        let additions = rows(&journal);
        let pending = as_pending(&additions);
        drop(journal);
        // Cut short after so many bytes of either file.
        for (log, checks) in [(0, 0), (1, 0), (3, 0), (4, 0), (4, 2), (4, 7)] {
            std::fs::write(
                folder.path().join("log.csv"),
                format!("entry,when\n1,a\n{}", &"2,b\n"[..log]),
            )
            .unwrap();
            let _ = std::fs::remove_file(folder.path().join("checks.csv"));
            if checks > 0 {
                std::fs::write(folder.path().join("checks.csv"), &"when\n3\n"[..checks]).unwrap();
            }
            std::fs::write(folder.path().join(".sandarac/pending"), &pending).unwrap();
            let (journal, said) = Journal::hold(folder.path()).unwrap();
            assert_eq!(said.len(), 2, "{said:?}");
            assert_eq!(read(&folder, "log.csv"), "entry,when\n1,a\n2,b\n");
            assert_eq!(read(&folder, "checks.csv"), "when\n3\n");
            assert!(!is_unfinished(folder.path()));
            drop(journal);
        }
    }

    #[test]
    fn what_changed_in_between_is_not_written_over() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let additions = rows(&journal);
        std::fs::write(folder.path().join("log.csv"), "entry,when\n9,z\n9,z\n").unwrap();
        assert!(
            matches!(journal.add(&additions), Err(Refused::Changed(file)) if file == "log.csv")
        );
        assert_eq!(read(&folder, "checks.csv"), "");
        std::fs::write(
            folder.path().join(".sandarac/pending"),
            as_pending(&additions),
        )
        .unwrap();
        drop(journal);
        let (_journal, said) = Journal::hold(folder.path()).unwrap();
        assert!(said[0].contains("is in no table"), "{said:?}");
        assert_eq!(read(&folder, "log.csv"), "entry,when\n9,z\n9,z\n");
        assert_eq!(read(&folder, ".sandarac/unplaced.csv"), "# log.csv\n2,b\n");
    }

    #[test]
    fn rows_saved_over_are_noticed_once() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        journal.add(&rows(&journal)).unwrap();
        drop(journal);
        std::fs::write(folder.path().join("log.csv"), "entry,when\n1,a\n").unwrap();
        let (journal, said) = Journal::hold(folder.path()).unwrap();
        assert!(
            said[0].contains("no longer has what was logged as 2:"),
            "{said:?}"
        );
        drop(journal);
        let (_journal, said) = Journal::hold(folder.path()).unwrap();
        assert!(said.is_empty(), "{said:?}");
    }

    #[test]
    fn another_row_of_the_same_name_is_not_taken_for_it() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let row = |file: &str, bytes: &str| Addition {
            file: file.into(),
            seen: journal.seen(file),
            bytes: bytes.into(),
        };
        journal
            .add(&[row("log.csv", "2,2026-09-05T09:00,use,A-1,1 pt,,owner\n")])
            .unwrap();
        drop(journal);
        for (found, is_it) in [
            ("2,2026-09-05T09:00,use,A-1,1 pt,,owner", true),
            ("2,2026-09-05 09:00,use,A-1,2 pt,,owner", true),
            ("2,2026-09-05T09:00,\"use\",A-1,1 pt,,somebody", true),
            ("2,2026-09-02T10:00,use,J-1,4 fl oz,,owner", false),
            ("2,2026-09-02T10:00,open,J-1,,,", false),
        ] {
            let text = format!("entry,when\n1,a\n{found}\n");
            std::fs::write(folder.path().join("log.csv"), text).unwrap();
            let written = read(&folder, ".sandarac/written");
            let (_, said) = Journal::hold(folder.path()).unwrap();
            assert_eq!(said.is_empty(), is_it, "{found}");
            std::fs::write(folder.path().join(".sandarac/written"), written).unwrap();
        }
    }

    #[test]
    fn no_second_log_is_begun() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        journal.add(&rows(&journal)).unwrap();
        drop(journal);
        std::fs::remove_file(folder.path().join("log.csv")).unwrap();
        let refused = Journal::hold(folder.path()).unwrap_err();
        assert!(matches!(&refused, Refused::Gone(file) if file == "log.csv"));
        assert!(refused.to_string().contains("put it back"), "{refused}");
        std::fs::write(folder.path().join("log.csv"), "entry,when\n1,a\n2,b\n").unwrap();
        assert!(Journal::hold(folder.path()).is_ok());
    }

    #[test]
    fn a_refusal_in_the_middle_is_taken_back() {
        let folder = shop();
        let (journal, _) = Journal::hold(folder.path()).unwrap();
        let mut additions = rows(&journal);
        std::fs::create_dir(folder.path().join("rooms.csv")).unwrap();
        additions.push(Addition {
            file: "rooms.csv".into(),
            seen: journal.seen("rooms.csv"),
            bytes: b"x\n".to_vec(),
        });
        assert!(
            matches!(journal.add(&additions), Err(Refused::Fault(file, _)) if file == "rooms.csv")
        );
        assert_eq!(read(&folder, "log.csv"), "entry,when\n1,a\n");
        assert!(!folder.path().join("checks.csv").exists());
        assert!(!is_unfinished(folder.path()));
    }
}

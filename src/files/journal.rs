//! The journal of a shop folder, `.sandarac/journal`: every row that was written, before it goes into its table.
//!
//! A change is added to the journal and synced, then made in the tables and synced, then marked as done. The next to hold the
//! journal finishes what was cut short in between, so that no row is ever half there and several tables change as one.
//! The file is also the lock of the folder: one writer or several readers. A record is
//!
//! ```text
//! log.csv   8123         a table and its length before; `whole` behind it where all of it is new
//! +207,2026-10-31T18:00,use,A-1,1 pt,,,,,
//! go                     all of the record is there
//! done  8165 …           it is in the tables, and this is the log's stamp since
//! ```

use super::change::{Change, Note, Refused, shorten};
use super::patience::lock;
use super::write::sync_folder;
use crate::text::Stamp;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Error, Read, Result, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

/// The folder inside a shop folder in which the journal lives.
pub(super) const HOME: &str = ".sandarac";
/// The table whose rows are looked for again.
pub(super) const LOG: &str = "log.csv";
/// The last line of the journal is shorter.
const LAST_LINE: u64 = 1 << 12;

/// The right to change the tables of one folder.
#[derive(Debug)]
pub struct Journal {
    pub(super) folder: PathBuf,
    path: PathBuf,
    file: File,
}

/// Keeps writers out while a shop is read, so that a reader never sees one table changed and another not yet.
#[derive(Debug)]
pub struct Reading(File);

/// What a journal says.
#[derive(Default)]
struct Records {
    /// What was written into the log since rows of it were last set aside.
    log: Vec<u8>,
    /// The last record, where it is not done.
    open: Vec<Change>,
    /// Is all of that record there?
    go: bool,
    /// So many bytes of the journal count.
    keep: usize,
}

impl Reading {
    /// Waits for writers; after ten seconds a reader goes on without. A folder into which nothing was ever written needs
    /// none, and a pipe in its place is none of ours and would wait forever.
    pub fn hold(folder: &Path) -> Option<Reading> {
        let path = folder.join(HOME).join("journal");
        let file = path.is_file().then(|| File::open(path).ok())??;
        // Without a lock a reader still sees whether a change is under way.
        let _unlocked = lock(|| file.try_lock_shared());
        Some(Reading(file))
    }

    /// As `hold`, but finishes what was cut short, and says so.
    pub fn settled(folder: &Path) -> std::result::Result<(Option<Reading>, Vec<Note>), Refused> {
        let mut notes = Vec::new();
        loop {
            match Reading::hold(folder) {
                Some(reading) if reading.is_unfinished() => {
                    drop(reading);
                    notes.extend(Journal::hold(folder)?.1);
                }
                reading => return Ok((reading, notes)),
            }
        }
    }

    /// Was a change cut short, so that the tables may be half changed?
    pub fn is_unfinished(&self) -> bool {
        last_line(&self.0).is_ok_and(|line| !line.is_empty() && !line.starts_with(b"done\t"))
    }
}

impl Journal {
    /// Waits for the right to write, finishes what was cut short, and looks whether the rows written before are there.
    pub fn hold(folder: &Path) -> std::result::Result<(Journal, Vec<Note>), Refused> {
        let home = folder.join(HOME);
        let path = home.join("journal");
        let fault = |fault| Refused::Fault(home.display().to_string(), fault);
        if let Some(link) = [&home, &path].into_iter().find(|it| it.is_symlink()) {
            return Err(Refused::Link(link.display().to_string()));
        }
        std::fs::create_dir_all(&home).map_err(fault)?;
        let is_new = !path.exists();
        if !is_new && !path.is_file() {
            return Err(fault(Error::other("its journal is not a file")));
        }
        let mut how = OpenOptions::new();
        how.create(true).truncate(false).read(true).write(true);
        let file = how.open(&path).map_err(fault)?;
        lock(|| file.try_lock()).map_err(|why| match why {
            TryLockError::WouldBlock => Refused::Busy,
            TryLockError::Error(why) => fault(why),
        })?;
        if is_new {
            let synced = sync_folder(&home).and_then(|()| sync_folder(folder));
            synced.map_err(fault)?;
        }
        let folder = folder.to_path_buf();
        let journal = Journal { folder, path, file };
        let notes = journal.settle()?;
        Ok((journal, notes))
    }

    fn settle(&self) -> std::result::Result<Vec<Note>, Refused> {
        let fault = |fault| self.fault(fault);
        let last = last_line(&self.file).map_err(fault)?;
        if last.is_empty() || last == self.done() {
            return Ok(Vec::new());
        }
        let text = std::fs::read(&self.path).map_err(fault)?;
        let records = Records::of(&text);
        if records.keep < text.len() {
            shorten(&self.path, size(records.keep)).map_err(fault)?;
        }
        let open = records.open.iter().filter(|_| records.go);
        let notes: Result<Vec<Note>> = open.map(|it| self.finish(it)).collect();
        let mut notes = notes.map_err(fault)?;
        notes.extend(self.look_for_lost(&records.log)?);
        // What was set aside is not looked for again.
        let aside = |note: &Note| matches!(note, Note::Lost(_) | Note::Unplaced(..));
        if notes.iter().any(aside) {
            self.add(b"lost\n").map_err(fault)?;
        }
        if !notes.is_empty() {
            self.add(&self.done()).map_err(fault)?;
        }
        Ok(notes)
    }

    /// Makes all changes or none. Once this gives `Ok`, they are on the disk.
    pub fn write(&self, changes: &[Change]) -> std::result::Result<(), Refused> {
        let mut before = Vec::new();
        for change in changes {
            let (file, path) = (change.file.clone(), self.folder.join(&change.file));
            if path.is_symlink() {
                return Err(Refused::Link(file));
            }
            if Stamp::now(&path) != change.seen {
                return Err(Refused::Changed(file));
            }
            let read = change.whole.then(|| std::fs::read(path)).transpose();
            before.push(read.map_err(|fault| Refused::Unread(file, fault))?);
        }
        let length = self.file.metadata().map_err(|it| self.fault(it))?.len();
        let written = match self.add(&as_record(changes)) {
            Ok(()) => self.make(changes, &before),
            // What is there of the record lacks its end, and counts for nothing.
            Err(fault) => Err((self.fault(fault), true)),
        };
        if let Err((refused, is_undone)) = written {
            // What cannot be undone stays in the journal, and is finished by the next writer.
            let _left = is_undone.then(|| shorten(&self.path, length));
            return Err(refused);
        }
        // The rows are in the tables, whether or not this can be noted: the next writer finds them there.
        let _noted = self.add(&self.done());
        Ok(())
    }

    /// Makes all changes, or undoes those that were made. With a refusal comes whether all are undone.
    fn make(
        &self,
        changes: &[Change],
        before: &[Option<Vec<u8>>],
    ) -> std::result::Result<(), (Refused, bool)> {
        for (at, change) in changes.iter().enumerate() {
            let refused = match change.make(&self.folder) {
                Ok(true) => continue,
                Ok(false) => Refused::Changed(change.file.clone()),
                Err(fault) => Refused::Fault(change.file.clone(), fault),
            };
            let mut made = changes.iter().zip(before).take(at + 1);
            let undone = made.try_for_each(|(it, old)| it.undo(&self.folder, old.as_deref()));
            return Err((refused, undone.is_ok()));
        }
        Ok(())
    }

    /// Adds to the journal, and syncs it.
    fn add(&self, bytes: &[u8]) -> Result<()> {
        let mut file = &self.file;
        file.seek(SeekFrom::End(0))?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// The line that ends a record: as long as the log bears this stamp, it has all rows that were written.
    fn done(&self) -> Vec<u8> {
        let stamp = Stamp::now(&self.folder.join(LOG));
        let changed = stamp
            .changed
            .and_then(|it| it.duration_since(UNIX_EPOCH).ok());
        let changed = changed.unwrap_or_default().as_nanos();
        format!("done\t{}\t{changed}\n", stamp.length).into()
    }

    pub(super) fn fault(&self, fault: Error) -> Refused {
        Refused::Fault(self.path.display().to_string(), fault)
    }
}

impl Records {
    /// A last line that was cut off says nothing, and neither does a record that lacks its end: nothing was changed yet.
    fn of(text: &[u8]) -> Records {
        let (mut records, mut at) = (Records::default(), 0);
        let lines = text.split_inclusive(|byte| *byte == b'\n');
        for line in lines.filter(|line| line.ends_with(b"\n")) {
            at += line.len();
            match line {
                [b'+', row @ ..] => records
                    .open
                    .iter_mut()
                    .next_back()
                    .into_iter()
                    .for_each(|it| it.bytes.extend(row)),
                b"go\n" => (records.go, records.keep) = (true, at),
                b"lost\n" => records.log.clear(),
                _ if line.starts_with(b"done\t") => {
                    let log = records.open.drain(..).filter(|change| change.file == LOG);
                    records.log.extend(log.flat_map(|change| change.bytes));
                    (records.go, records.keep) = (false, at);
                }
                _ => records.open.extend(change(line)),
            }
        }
        records
    }
}

/// The last line of the journal; none of an empty one.
fn last_line(mut file: &File) -> Result<Vec<u8>> {
    let (length, mut bytes) = (file.metadata()?.len(), Vec::new());
    file.seek(SeekFrom::Start(length.saturating_sub(LAST_LINE)))?;
    file.take(LAST_LINE).read_to_end(&mut bytes)?;
    let line = bytes.split_inclusive(|byte| *byte == b'\n').next_back();
    Ok(line.unwrap_or_default().to_vec())
}

fn size(bytes: usize) -> u64 {
    u64::try_from(bytes).unwrap_or(u64::MAX)
}

fn as_record(changes: &[Change]) -> Vec<u8> {
    let mut text = Vec::new();
    for change in changes {
        let whole = if change.whole { "\twhole" } else { "" };
        text.extend(format!("{}\t{}{whole}\n", change.file, change.seen.length).bytes());
        for line in change.bytes.split_inclusive(|byte| *byte == b'\n') {
            text.push(b'+');
            text.extend(line);
        }
    }
    text.extend(b"go\n");
    text
}

/// The first line of a change in a record; `None` for anything else, and for a name that leads out of the folder.
fn change(line: &[u8]) -> Option<Change> {
    let line = std::str::from_utf8(line).ok()?.trim_end();
    let mut parts = line.split('\t');
    let is_table = |name: &&str| name.ends_with(".csv") && !name.contains(['/', '\\', ':']);
    Some(Change {
        file: parts.next().filter(is_table)?.to_string(),
        seen: Stamp {
            length: parts.next()?.parse().ok()?,
            changed: None,
            inode: None,
        },
        whole: parts.next() == Some("whole"),
        bytes: Vec::new(),
    })
}

#[cfg(test)]
mod tests {
    use super::{Records, as_record};

    #[test]
    fn a_record_comes_back_whole_or_not_at_all() {
        let text = "log.csv\t20\n+2,b\r\n+3,\"go\n+done\t\"\nchecks.csv\t7\twhole\n+when\n+\ngo\n";
        let records = Records::of(text.as_bytes());
        assert_eq!(records.open[0].bytes, b"2,b\r\n3,\"go\ndone\t\"\n");
        assert!(records.open[1].whole && !records.open[0].whole);
        assert_eq!(as_record(&records.open), text.as_bytes());
        assert!(records.go && records.log.is_empty());
        for end in 0..text.len() {
            let half = Records::of(&text.as_bytes()[..end]);
            assert!(!half.go && half.keep == 0, "{end}");
        }
        let done = format!("{text}done\t1\t2\n");
        let two = format!("{done}log.csv\t9\n+4,go\ngo\ndone");
        let records = Records::of(two.as_bytes());
        assert_eq!(records.log, b"2,b\r\n3,\"go\ndone\t\"\n");
        assert_eq!((records.go, records.keep), (true, two.len() - 4));
        let lost = format!("{done}lost\ndone\t3\t4\nlog.csv\t9\n+4");
        let records = Records::of(lost.as_bytes());
        assert_eq!((records.go, records.keep), (false, lost.len() - 12));
        assert!(records.log.is_empty());
    }

    #[test]
    fn a_record_cannot_lead_out_of_the_folder() {
        for name in [
            "../log.csv",
            "/tmp/log.csv",
            "shop.toml",
            "a\\log.csv",
            "log.csv\tx",
        ] {
            let text = format!("{name}\t0\n+x\ngo\n");
            assert!(Records::of(text.as_bytes()).open.is_empty(), "{name}");
        }
    }
}

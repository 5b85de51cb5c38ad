//! The journal of a shop folder, `.sandarac/journal`: every row that was written, before it goes into its table.
//!
//! A change is added to the journal and synced, then made in the tables and synced, then marked as done. Whoever holds the
//! journal next finishes what was cut short in between, so that no row is ever half there and several tables change as one.
//! The file is also the lock of the folder: one writer or several readers. A record is
//!
//! ```text
//! log.csv   8123          the table and its length before; `whole` behind it where all of it is new
//! +207,2026-10-31T18:00,use,A-1,1 pt,,,,,
//! go                      all of the record is there
//! done  log.csv  8165 …   it is in the tables, and this is the log's stamp since
//! ```

use super::change::{Change, Note, Refused, shorten};
use super::patience::{NotLocked, lock};
use super::write::sync_folder;
use crate::text::Stamp;
use std::fs::{File, OpenOptions};
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
    pub(super) home: PathBuf,
    path: PathBuf,
    file: File,
}

/// Keeps writers out while a shop is read, so that a reader never sees one table changed and another not yet.
#[derive(Debug)]
pub struct Reading(File);

impl Reading {
    /// Waits for writers; after ten seconds a reader goes on without. A folder into which nothing was ever written needs
    /// none, and a pipe in its place is none of ours and would wait forever.
    pub fn hold(folder: &Path) -> Option<Reading> {
        let path = folder.join(HOME).join("journal");
        let file = path.is_file().then(|| File::open(path).ok())??;
        // A reader that gets no lock still sees whether a change is under way.
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
            NotLocked::Busy => Refused::Busy,
            NotLocked::Fault(why) => fault(why),
        })?;
        if is_new {
            sync_folder(&home)
                .and_then(|()| sync_folder(folder))
                .map_err(fault)?;
        }
        let journal = Journal {
            folder: folder.to_path_buf(),
            home,
            path,
            file,
        };
        let notes = journal.settle()?;
        Ok((journal, notes))
    }

    fn settle(&self) -> std::result::Result<Vec<Note>, Refused> {
        let fault = |fault| Refused::Fault(self.home.display().to_string(), fault);
        let last = last_line(&self.file).map_err(fault)?;
        if last.is_empty() || last == self.done() {
            return Ok(Vec::new());
        }
        let mut text = std::fs::read(&self.path).map_err(fault)?;
        let lines = text
            .iter()
            .rposition(|byte| *byte == b'\n')
            .map_or(0, |at| at + 1);
        if lines < text.len() {
            // A line of the journal that was cut off says nothing yet.
            text.truncate(lines);
            self.cut(&text).map_err(fault)?;
        }
        let open = settled(&text);
        let mut notes = self.finish(&text, open).map_err(fault)?;
        let lost = self.look_for_lost(&text)?;
        if let Some(lost) = lost {
            self.add(b"lost\n").map_err(fault)?;
            notes.push(lost);
        }
        if !notes.is_empty() {
            self.add(&self.done()).map_err(fault)?;
        }
        Ok(notes)
    }

    /// Makes all changes or none. Once this gives `Ok`, they are on the disk.
    pub fn write(&self, changes: &[Change]) -> std::result::Result<(), Refused> {
        for change in changes {
            let path = self.folder.join(&change.file);
            if path.is_symlink() {
                return Err(Refused::Link(change.file.clone()));
            }
            if Stamp::now(&path) != change.seen {
                return Err(Refused::Changed(change.file.clone()));
            }
        }
        let fault = |fault| Refused::Fault(self.path.display().to_string(), fault);
        let length = self.file.metadata().map_err(fault)?.len();
        let before: std::result::Result<Vec<_>, Refused> =
            changes.iter().map(|it| self.before(it)).collect();
        let before = before?;
        if let Err(why) = self.add(&as_record(changes)) {
            // What is left of it lacks its end, and counts for nothing.
            let _cut = shorten(&self.path, length);
            return Err(fault(why));
        }
        for (at, change) in changes.iter().enumerate() {
            let Err(refused) = change.make(&self.folder) else {
                continue;
            };
            // Nothing of this one is in a file that was found changed.
            let begun = at + usize::from(!matches!(refused, Refused::Changed(_)));
            let mut made = changes.iter().zip(&before).take(begun);
            let undone = made.try_for_each(|(it, old)| it.undo(&self.folder, old.as_deref()));
            // What cannot be undone stays in the journal, and is finished by whoever comes next.
            let _gone = undone.and_then(|()| shorten(&self.path, length));
            return Err(refused);
        }
        // The rows are in the tables, whether or not this can be noted: the next writer finds them there.
        let _noted = self.add(&self.done());
        Ok(())
    }

    /// The table before all of it changes.
    fn before(&self, change: &Change) -> std::result::Result<Option<Vec<u8>>, Refused> {
        let read = change
            .whole
            .then(|| std::fs::read(self.folder.join(&change.file)));
        read.transpose()
            .map_err(|fault| Refused::Unread(change.file.clone(), fault))
    }

    /// Adds to the journal, and syncs it.
    pub(super) fn add(&self, bytes: &[u8]) -> Result<()> {
        let mut file = &self.file;
        file.seek(SeekFrom::End(0))?;
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Keeps this beginning of the journal, and no more.
    pub(super) fn cut(&self, beginning: &[u8]) -> Result<()> {
        let length = u64::try_from(beginning.len()).unwrap_or(u64::MAX);
        shorten(&self.path, length)
    }

    /// The line that ends a record: as long as the log bears this stamp, it has all rows that were written.
    fn done(&self) -> Vec<u8> {
        let stamp = Stamp::now(&self.folder.join(LOG));
        let since = |when: std::time::SystemTime| when.duration_since(UNIX_EPOCH).ok();
        let changed = stamp.changed.and_then(since).unwrap_or_default().as_nanos();
        format!("done\t{LOG}\t{}\t{changed}\n", stamp.length).into()
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

/// The byte behind the last record that is done.
fn settled(text: &[u8]) -> usize {
    let (mut end, mut at) = (0, 0);
    for line in text.split_inclusive(|byte| *byte == b'\n') {
        at += line.len();
        if line.starts_with(b"done\t") && line.ends_with(b"\n") {
            end = at;
        }
    }
    end
}

fn as_record(changes: &[Change]) -> Vec<u8> {
    let mut text = Vec::new();
    for change in changes {
        let (name, before) = (&change.file, change.seen.length);
        let whole = if change.whole { "\twhole" } else { "" };
        text.extend(format!("{name}\t{before}{whole}\n").bytes());
        for line in change.bytes.split_inclusive(|byte| *byte == b'\n') {
            text.push(b'+');
            text.extend(line);
        }
    }
    text.extend(b"go\n");
    text
}

/// The changes of a record that is all there; `None` for anything else, and for a name that leads out of the folder.
pub(super) fn from_record(record: &[u8]) -> Option<Vec<Change>> {
    let record = record
        .strip_suffix(b"go\n")
        .filter(|it| it.ends_with(b"\n"))?;
    let mut changes: Vec<Change> = Vec::new();
    for line in record.split_inclusive(|byte| *byte == b'\n') {
        match line.strip_prefix(b"+") {
            Some(row) => changes.last_mut()?.bytes.extend(row),
            None => changes.push(change(line)?),
        }
    }
    Some(changes)
}

fn change(line: &[u8]) -> Option<Change> {
    let line = std::str::from_utf8(line).ok()?.strip_suffix('\n')?;
    let mut parts = line.split('\t');
    let file = parts.next().filter(|name| is_table(name))?.to_string();
    let length = parts.next()?.parse().ok()?;
    let whole = match parts.next() {
        None => false,
        Some("whole") => true,
        Some(_) => return None,
    };
    Some(Change {
        file,
        seen: Stamp {
            length,
            changed: None,
        },
        whole,
        bytes: Vec::new(),
    })
}

fn is_table(name: &str) -> bool {
    name.ends_with(".csv") && !name.contains(['/', '\\', ':'])
}

/// The bytes that were written into one table since rows of it were last found to be lost.
pub(super) fn written(text: &[u8], table: &str) -> Vec<u8> {
    let (mut bytes, mut is_it) = (Vec::new(), false);
    for line in text.split_inclusive(|byte| *byte == b'\n') {
        match line.strip_prefix(b"+") {
            Some(row) if is_it => bytes.extend(row),
            Some(_) => {}
            None if line == b"lost\n" => bytes.clear(),
            None => is_it = change(line).is_some_and(|change| change.file == table),
        }
    }
    bytes
}

#[cfg(test)]
mod tests {
    use super::{as_record, from_record, written};

    #[test]
    fn a_record_comes_back_whole_or_not_at_all() {
        let text = "log.csv\t20\n+2,b\r\n+3,\"go\n+done\t\"\nchecks.csv\t7\twhole\n+when\n+\ngo\n";
        let changes = from_record(text.as_bytes()).unwrap();
        assert_eq!(changes[0].bytes, b"2,b\r\n3,\"go\ndone\t\"\n");
        assert!(changes[1].whole && !changes[0].whole);
        assert_eq!(as_record(&changes), text.as_bytes());
        assert_eq!(super::settled(text.as_bytes()), 0);
        for end in 0..text.len() {
            assert!(from_record(&text.as_bytes()[..end]).is_none(), "{end}");
        }
        let done = format!("{text}done\tlog.csv\t1\t2\n{text}lost\nlog.csv\t9\n+4,go\n");
        assert_eq!(written(done.as_bytes(), "log.csv"), b"4,go\n");
        assert_eq!(super::settled(done.as_bytes()), text.len() + 17);
    }

    #[test]
    fn a_record_cannot_lead_out_of_the_folder() {
        for name in ["../log.csv", "/tmp/log.csv", "shop.toml", "a\\log.csv"] {
            let text = format!("{name}\t0\n+x\ngo\n");
            assert!(from_record(text.as_bytes()).is_none(), "{name}");
        }
        for broken in [
            "",
            "go",
            "log.csv\t0\n+mango\n",
            "+x\ngo\n",
            "log.csv\tx\n+x\ngo\n",
        ] {
            assert!(from_record(broken.as_bytes()).is_none(), "{broken}");
        }
    }
}

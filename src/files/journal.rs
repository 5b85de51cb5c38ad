//! The journal of a shop folder, `.sandarac/journal`: every row that was written, before it goes into its table.
//!
//! A change is added to the journal and synced, then made in the tables and synced, then marked as done. The next to hold the
//! journal finishes what was cut short in between, so that no row is ever half there and several tables change as one.
//! The file is also the lock of the folder: one writer or several readers. A record is
//!
//! ```text
//! log.csv   8123         a table and its length before; behind it `whole` where all of it is new, and the encoding and
//!                        separator where they are not UTF-8 and a comma (the lines below are UTF-8 all the same)
//! +207,2026-10-31T18:00,use,A-1,1 pt,,,,,
//! :log.csv,entry,when,what,container,amount,into,place,minutes,by,note
//! =207,2026-10-31T18:00,use,A-1,1 pt,,,,,
//! go                     all of the record is there
//! done  8165 …           it is in the tables, and this is the log's stamp since
//! ```
//!
//! The rows behind `=` are those that the table must have from then on; rows behind `-` it need not have any more, for one of
//! the reasons that `accept` lines give. Readers compare tables with them by way of an index, see `row_index.rs`.

use super::change::{Change, Note, Refused, shorten};
use super::kept_rows::{DROPPED, HOME, JOURNAL, WATCHED, as_lines};
use super::lost_rows::{LostRows, count_rows};
use super::patience::lock;
use super::records::{Records, as_record};
use super::row_index::{RowIndex, are_current, journal_length};
use super::write::{sync, sync_folder};
use crate::text::Stamp;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Error, Read, Result, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

/// The table whose stamp is noted.
const LOG: &str = "log.csv";
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

impl Reading {
    /// Waits for writers; after ten seconds a reader goes on without. A folder into which nothing was ever written needs
    /// none, and a pipe in its place is none of ours and would wait forever.
    pub fn hold(folder: &Path) -> Option<Reading> {
        let path = folder.join(JOURNAL);
        let file = path.is_file().then(|| File::open(path).ok())??;
        // Without a lock a reader still sees whether a change is under way.
        let _unlocked = lock(|| file.try_lock_shared());
        Some(Reading(file))
    }

    /// As `hold`, but finishes what was cut short, and says so.
    pub fn settled(folder: &Path) -> std::result::Result<(Option<Reading>, Vec<Note>), Refused> {
        let mut notes = Vec::new();
        let mut tried = false;
        loop {
            match Reading::hold(folder) {
                Some(reading) if reading.is_unfinished() => {
                    drop(reading);
                    notes.extend(Journal::hold(folder)?.1);
                }
                // Who may not write reads without an index, only slower.
                Some(reading) if !tried && !are_current(folder) => {
                    drop(reading);
                    tried = true;
                    notes.extend(
                        Journal::hold(folder)
                            .map(|(_, notes)| notes)
                            .unwrap_or_default(),
                    );
                }
                reading => return Ok((reading, notes)),
            }
        }
    }

    /// Was a change cut short, so that the tables may be half changed?
    pub fn is_unfinished(&self) -> bool {
        last_line(&self.0).is_ok_and(|line| !line.is_empty() && !is_done(&line))
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
            TryLockError::Error(why) => Refused::Unlocked(why),
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
        if last.is_empty() {
            return Ok(Vec::new());
        }
        let mut notes = Vec::new();
        if !is_done(&last) {
            let text = std::fs::read(&self.path).map_err(fault)?;
            let records = Records::read(&text);
            if records.keep < text.len() {
                shorten(&self.path, size(records.keep)).map_err(fault)?;
            }
            for change in records.open.iter().filter(|_| records.go) {
                let (note, lacking) = self.finish(change).map_err(fault)?;
                self.add(&as_lines(&change.file, DROPPED, &lacking))
                    .map_err(fault)?;
                notes.push(note);
            }
            if !notes.is_empty() {
                self.add(&self.done()).map_err(fault)?;
            }
        }
        if !are_current(&self.folder) {
            // Readers look closely where there is no index.
            let _indexed = self.index(false);
        }
        Ok(notes)
    }

    /// Makes the indexes of the journal again. `as_it_is` says that the tables have all the rows that they should have.
    pub(super) fn index(&self, as_it_is: bool) -> Result<()> {
        for table in WATCHED {
            let lost = LostRows::find(&self.folder, table)?;
            let is_less = !as_it_is && !lost.none();
            let earlier = RowIndex::read(&self.folder, table).filter(|_| is_less);
            let changed = lost.changed.iter().map(|row| &row.was);
            let lacking = lost.gone.iter().chain(changed).map(|row| row.spelling());
            let mut digests = lost.there;
            digests.extend(lacking);
            let index = RowIndex {
                journal: journal_length(&self.folder),
                count: 0,
                least: earlier.map_or(lost.rows, |earlier| earlier.least),
            };
            index.write(&self.folder, table, &digests)?;
        }
        Ok(())
    }

    /// Adds the rows of some changes, which are in their tables, to the indexes of a journal that had this length.
    fn index_more(&self, changes: &[Change], length: u64) -> Result<()> {
        for table in WATCHED {
            let Some(mut index) = RowIndex::of_journal(&self.folder, table, length) else {
                return self.index(false);
            };
            index.journal = journal_length(&self.folder);
            let mut digests = Vec::new();
            for change in changes.iter().filter(|change| change.file == table) {
                let more = change.added.digests().count();
                digests.extend(change.added.digests());
                let rows = count_rows(&self.folder.join(table))?;
                // A table that lacked rows before still lacks them.
                let least = index.least.saturating_add(u64::try_from(more).unwrap_or(0));
                index.least = least.max(rows);
            }
            index.add(&self.folder, table, &digests)?;
        }
        Ok(())
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
        let drops = changes.iter().filter(|it| !it.dropped.rows.is_empty());
        for change in drops {
            RowIndex::forget(&self.folder, &change.file).map_err(|it| self.fault(it))?;
        }
        let length = self.file.metadata().map_err(|it| self.fault(it))?.len();
        let written = match self.add(&as_record(changes)) {
            Ok(()) => self.make(changes, &before),
            // What is there of the record lacks its end, and counts for nothing.
            Err(fault) => Err((self.fault(fault), true)),
        };
        if let Err((refused, is_undone)) = written {
            if is_undone && shorten(&self.path, length).is_ok() {
                return Err(refused);
            }
            // What cannot be undone stays in the journal, and is finished by the next writer.
            return Err(match refused {
                Refused::Fault(file, fault) => Refused::Left(file, fault),
                Refused::Changed(file) => Refused::Left(file, Error::other("it changed meanwhile")),
                other => other,
            });
        }
        // The rows are in the tables, whether or not this can be noted: the next writer finds them there.
        let _noted = self
            .add(&self.done())
            .and_then(|()| self.index_more(changes, length));
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
    pub(super) fn add(&self, bytes: &[u8]) -> Result<()> {
        if bytes.is_empty() {
            return Ok(());
        }
        let mut file = &self.file;
        file.seek(SeekFrom::End(0))?;
        file.write_all(bytes)?;
        sync(file)
    }

    /// The line that ends a record: as long as the log bears this stamp, it has all rows that were written.
    pub(super) fn done(&self) -> Vec<u8> {
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

/// The last line of the journal; none of an empty one.
fn last_line(mut file: &File) -> Result<Vec<u8>> {
    let (length, mut bytes) = (file.metadata()?.len(), Vec::new());
    file.seek(SeekFrom::Start(length.saturating_sub(LAST_LINE)))?;
    file.take(LAST_LINE).read_to_end(&mut bytes)?;
    let line = bytes.split_inclusive(|byte| *byte == b'\n').next_back();
    Ok(line.unwrap_or_default().to_vec())
}

/// Is this the whole line that ends a record?
fn is_done(line: &[u8]) -> bool {
    line.starts_with(b"done\t") && line.ends_with(b"\n")
}

fn size(bytes: usize) -> u64 {
    u64::try_from(bytes).unwrap_or(u64::MAX)
}

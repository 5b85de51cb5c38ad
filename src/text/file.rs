//! Files by name, from disk or built in, alike ever after.
//!
//! A small file is held in memory. A large one stays on disk and is read again, at one spot, when a message needs it.

use super::cells::open_quote;
use super::count::RowsRead;
use super::dialect::{Encoding, Head};
use super::expected::ExpectedRows;
use super::locale::Locale;
use super::span::{Extent, FileId};
use super::stamp::Stamp;
use std::borrow::Cow;
use std::io::{ErrorKind, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A file up to this size is held in memory.
pub const MOST_BYTES_KEPT: u64 = 1 << 20;
/// A table in UTF-16 has at most so many bytes, since it is held in memory.
const MOST_BYTES_DECODED: u64 = 1 << 26;
/// At most so many files are opened; the numbers above are left for what is built in.
const MOST_OPENED: usize = 60_000;
/// As much of a row as a message looks at.
pub(super) const ROW_WINDOW: usize = 1 << 16;

/// All files read so far.
#[derive(Default)]
pub struct Files {
    list: Vec<HeldFile>,
    pub(super) rows: RowsRead,
    pub(super) stamps: Vec<(PathBuf, Stamp)>,
    pub(super) expected: Vec<(FileId, ExpectedRows)>,
}

struct HeldFile {
    name: String,
    source: Source,
    /// Looked up when the file is first read as a table.
    head: OnceLock<Head>,
    locale: Locale,
}

enum Source {
    Held(Cow<'static, [u8]>),
    /// On disk, and what is to be read as if it stood at its end.
    Disk {
        path: PathBuf,
        marks: OnceLock<Vec<Mark>>,
        more: Vec<u8>,
    },
}

/// The line breaks that lie before one byte of a file.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    pub byte: u64,
    pub breaks: u64,
}

impl Files {
    /// Before a file is read, for a change while it is read is a change as well; and of one that may be missing and is.
    pub fn note(&mut self, path: &Path) {
        self.stamps.push((path.to_path_buf(), Stamp::now(path)));
    }

    /// The first file that is no longer as it was when it was read, or came since.
    pub fn changed(&self) -> Option<&Path> {
        let changed = self
            .stamps
            .iter()
            .find(|(path, was)| Stamp::now(path) != *was);
        changed.map(|(path, _)| path.as_path())
    }

    /// How many rows of the log were read so far.
    pub fn rows_read(&self) -> RowsRead {
        self.rows.clone()
    }

    /// A text that is in memory: built in, or made by a test.
    pub fn hold(&mut self, name: impl Into<String>, text: impl Into<Cow<'static, [u8]>>) -> FileId {
        self.add(name.into(), Source::Held(text.into()))
    }

    /// A file on disk; a small one is read at once.
    pub fn open(&mut self, name: impl Into<String>, path: &Path) -> std::io::Result<FileId> {
        self.open_with(name, path, &[])
    }

    /// A file on disk, read as if some more bytes stood at its end: how it would be if they were added.
    pub fn open_with(
        &mut self,
        name: impl Into<String>,
        path: &Path,
        more: &[u8],
    ) -> std::io::Result<FileId> {
        if self.list.len() >= MOST_OPENED {
            return Err(std::io::Error::other("more files than can be read at once"));
        }
        self.note(path);
        let size = match std::fs::metadata(path) {
            Ok(data) => data.len(),
            Err(fault) if fault.kind() == ErrorKind::NotFound && !more.is_empty() => {
                return Ok(self.hold(name, more.to_vec()));
            }
            Err(fault) => return Err(fault),
        };
        let source = if size <= MOST_BYTES_KEPT {
            let mut text = std::fs::read(path)?;
            text.extend(more);
            Source::Held(text.into())
        } else {
            Source::Disk {
                path: path.to_path_buf(),
                marks: OnceLock::new(),
                more: more.to_vec(),
            }
        };
        Ok(self.add(name.into(), source))
    }

    /// A table on disk. One in UTF-16 is held in memory as UTF-8; one whose UTF-16 is damaged is left as it is.
    pub fn open_table(
        &mut self,
        name: impl Into<String>,
        path: &Path,
        more: &[u8],
    ) -> std::io::Result<FileId> {
        let (mut start, mut file) = (Vec::new(), None);
        if let Ok(opened) = std::fs::File::open(path) {
            opened.take(2).read_to_end(&mut start)?;
            file = std::fs::metadata(path).ok();
        }
        let encoding = Encoding::detect(&start);
        if encoding == Encoding::Utf8 {
            return self.open_with(name, path, more);
        }
        if file.is_some_and(|data| data.len() > MOST_BYTES_DECODED) {
            return Err(std::io::Error::other(
                "it is UTF-16 text of more than 64 MiB; save it as CSV UTF-8",
            ));
        }
        self.note(path);
        let bytes = std::fs::read(path)?;
        let text = encoding.decode(bytes.clone()).unwrap_or(bytes);
        Ok(self.hold(name, [&text, more].concat()))
    }

    /// How the spreadsheets of the shop write dates and decimals in this table.
    pub fn set_locale(&mut self, id: FileId, locale: Locale) {
        if let Some(entry) = self.list.get_mut(usize::from(id.0)) {
            entry.locale = locale;
        }
    }

    pub(super) fn locale(&self, id: FileId) -> Locale {
        let entry = self.list.get(usize::from(id.0));
        entry.map_or_else(Locale::default, |entry| entry.locale)
    }

    /// Where a table names its columns, and what separates its cells.
    pub(super) fn head(&self, id: FileId) -> Head {
        let head = || Head::detect(&self.window(id, 0, ROW_WINDOW));
        let entry = self.list.get(usize::from(id.0));
        entry.map_or_else(head, |entry| *entry.head.get_or_init(head))
    }

    fn add(&mut self, name: String, source: Source) -> FileId {
        let id = u16::try_from(self.list.len()).unwrap_or(u16::MAX);
        if id == u16::MAX {
            return FileId(id - 1);
        }
        self.list.push(HeldFile {
            name,
            source,
            head: OnceLock::new(),
            locale: Locale::default(),
        });
        FileId(id)
    }

    /// The name a reader sees.
    pub fn name(&self, id: FileId) -> &str {
        self.list
            .get(usize::from(id.0))
            .map_or("?", |entry| entry.name.as_str())
    }

    /// The whole text, where it is held in memory.
    pub fn held(&self, id: FileId) -> Option<&[u8]> {
        match self.list.get(usize::from(id.0)).map(|entry| &entry.source) {
            Some(Source::Held(text)) => Some(text),
            Some(Source::Disk { .. }) | None => None,
        }
    }

    /// Opens it for reading from the start.
    pub fn reader(&self, id: FileId) -> std::io::Result<Box<dyn Read + Send + '_>> {
        match self.list.get(usize::from(id.0)).map(|entry| &entry.source) {
            Some(Source::Held(text)) => Ok(Box::new(text.as_ref())),
            Some(Source::Disk { path, more, .. }) => {
                Ok(Box::new(std::fs::File::open(path)?.chain(more.as_slice())))
            }
            None => Err(std::io::Error::from(std::io::ErrorKind::NotFound)),
        }
    }

    /// A large file by itself, opened; none where more is read as if it stood at its end.
    pub(super) fn on_disk(&self, id: FileId) -> Option<std::fs::File> {
        match self.list.get(usize::from(id.0)).map(|entry| &entry.source) {
            Some(Source::Disk { path, more, .. }) if more.is_empty() => {
                std::fs::File::open(path).ok()
            }
            Some(Source::Held(_) | Source::Disk { .. }) | None => None,
        }
    }

    /// What is known of the lines of a large file.
    pub(super) fn marks(&self, id: FileId) -> &[Mark] {
        match self.list.get(usize::from(id.0)).map(|entry| &entry.source) {
            Some(Source::Disk { marks, .. }) => marks.get().map_or(&[], Vec::as_slice),
            Some(Source::Held(_)) | None => &[],
        }
    }

    /// Keeps what a first reading learned; a file that stands still teaches nothing new the next time.
    pub(super) fn set_marks(&self, id: FileId, new: Vec<Mark>) {
        let entry = self.list.get(usize::from(id.0));
        if let Some(Source::Disk { marks, .. }) = entry.map(|entry| &entry.source) {
            let _ = marks.set(new);
        }
    }

    /// Up to `most` bytes from a byte on.
    pub(super) fn window(&self, id: FileId, from: u64, most: usize) -> Vec<u8> {
        match self.list.get(usize::from(id.0)).map(|entry| &entry.source) {
            Some(Source::Held(text)) => {
                let from = usize::try_from(from).unwrap_or(usize::MAX).min(text.len());
                text[from..(from + most).min(text.len())].to_vec()
            }
            Some(Source::Disk { path, more, .. }) => {
                read_window(path, more, from, most).unwrap_or_default()
            }
            None => Vec::new(),
        }
    }

    /// The cell of the last row, which begins at `row`, whose quotation mark is never closed.
    pub(super) fn quote_left_open(&self, id: FileId, row: u64) -> Option<Extent> {
        let separator = self.head(id).separator;
        let nth = open_quote(&self.window(id, row, ROW_WINDOW), separator)?;
        Some(Extent::Cell(row, nth))
    }
}

fn read_window(path: &Path, more: &[u8], from: u64, most: usize) -> std::io::Result<Vec<u8>> {
    let mut file = std::fs::File::open(path)?;
    let size = file.metadata()?.len();
    file.seek(SeekFrom::Start(from.min(size)))?;
    let beyond = usize::try_from(from.saturating_sub(size)).unwrap_or(usize::MAX);
    let mut bytes = Vec::new();
    file.chain(more.get(beyond..).unwrap_or_default())
        .take(u64::try_from(most).unwrap_or(u64::MAX))
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

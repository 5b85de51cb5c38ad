//! Where a span is, as a reader sees it: its file, its line, its first byte.

use super::cells::cell_range;
use super::file::{Files, ROW_WINDOW};
use super::span::{Extent, FileId, Span};
use super::walk::LineWalk;

impl Files {
    /// The line of each place, in the order asked. A large file is walked once, from mark to mark.
    pub fn lines(&self, places: &[Span]) -> Vec<Option<u64>> {
        let mut order: Vec<usize> = (0..places.len()).collect();
        order.sort_by_key(|at| places.get(*at).copied());
        let mut lines = vec![None; places.len()];
        let mut walk: Option<(FileId, LineWalk<'_>)> = None;
        for at in order {
            let Some(place) = places.get(at) else {
                continue;
            };
            if walk.as_ref().is_none_or(|(file, _)| *file != place.file) {
                walk = Some((place.file, LineWalk::new(self, place.file)));
            }
            let (Some((_, walk)), Some(line)) = (walk.as_mut(), lines.get_mut(at)) else {
                continue;
            };
            *line = match place.extent {
                Extent::Whole => None,
                Extent::At(byte) | Extent::Range(byte, _) => Some(walk.breaks_before(byte) + 1),
                Extent::Row(row) | Extent::Cell(row, _) => Some(walk.row_breaks(row) + 1),
            };
        }
        lines
    }

    /// `log.csv:14`, or the file alone where it as a whole is meant.
    pub fn row_name(&self, at: Span) -> String {
        self.row_with(at.file, self.lines(&[at]).into_iter().flatten().next())
    }

    /// As [`Files::row_name`], for a line that is known already.
    pub fn row_with(&self, file: FileId, line: Option<u64>) -> String {
        let name = self.name(file);
        line.map_or_else(|| name.to_string(), |line| format!("{name}:{line}"))
    }

    /// The first byte of what a span covers; `None` for the file as a whole.
    pub fn first_byte(&self, at: Span) -> Option<u64> {
        (at.extent != Extent::Whole).then(|| self.bytes_of(at.extent, at.file).0)
    }

    /// A cell of the row that begins at a byte, without its quotation marks.
    pub(super) fn cell(&self, id: FileId, row: u64, nth: u16) -> Option<String> {
        let raw = self.window(id, row, ROW_WINDOW);
        let (start, end) = cell_range(&raw, Some(nth), self.head(id).separator);
        let text = String::from_utf8_lossy(raw.get(start..end)?);
        let text = text.trim();
        Some(match text.strip_prefix('"') {
            // Its mark may never be closed.
            Some(inner) => inner
                .strip_suffix('"')
                .unwrap_or(inner)
                .replace("\"\"", "\""),
            None => text.to_string(),
        })
    }

    fn bytes_of(&self, extent: Extent, id: FileId) -> (u64, u64) {
        let within = |row: u64, nth: Option<u16>| {
            let raw = self.window(id, row, ROW_WINDOW);
            let (start, end) = match cell_range(&raw, nth, self.head(id).separator) {
                // Comments as far as this looks: the first of them stands for the row.
                (start, _) if start == raw.len() && start == ROW_WINDOW => (0, 0),
                found => found,
            };
            let byte = |at: usize| row + u64::try_from(at).unwrap_or(0);
            (byte(start), byte(end))
        };
        match extent {
            Extent::Whole => (0, 0),
            Extent::At(byte) => (byte, byte + 1),
            Extent::Range(start, length) => (start, start.saturating_add(u64::from(length))),
            Extent::Row(row) => {
                let (start, _) = within(row, None);
                (start, start + 1)
            }
            Extent::Cell(row, nth) => within(row, Some(nth)),
        }
    }
}

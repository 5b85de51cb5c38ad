//! The daybook: entries of the log read once more as they were written, each with the correction that mends it, for a
//! reader who wants the record and not what became of it.
//!
//! The log is read once, and a second time where anything in it is corrected, as it is for the replay. Memory is bounded
//! by what is kept: the latest entries of each sort, and a count of the others.

use super::correct::Corrections;
use super::log_rows::read_in_turn;
use crate::quantity::{Amount, Moment};
use crate::record::{
    ContainerId, Entry, Fields, Location, PlainCells, ShopTables, What, read_entry,
};
use crate::text::{Files, Problems, Row, Span};
use std::collections::BTreeMap;

/// The columns that no step has.
const BY: usize = 8;
const NOTE: usize = 9;
/// As many people as are counted.
const MOST_PEOPLE: usize = 200;

/// One entry as it was written.
#[derive(Clone, Debug)]
pub struct DaybookLine {
    pub id: String,
    pub when: Moment,
    pub what: What,
    /// To which container.
    pub container: Option<ContainerId>,
    pub amount: Option<Amount>,
    /// The other container: what was poured into, what soiled a rag.
    pub target: Option<ContainerId>,
    pub location: Option<Location>,
    pub by: String,
    pub note: String,
    /// The correction that mends it.
    pub mended: Option<LineCorrection>,
    /// Where the row is.
    pub at: Span,
}

/// What a correction makes of an entry.
#[derive(Clone, Copy, Debug)]
pub struct LineCorrection {
    /// It takes the entry back.
    pub void: bool,
    /// The container in place of the one written.
    pub container: Option<ContainerId>,
    /// The amount in place of the one written.
    pub amount: Option<Amount>,
    /// The place in place of the one written.
    pub location: Option<Location>,
    /// Where the correction is.
    pub at: Span,
}

impl DaybookLine {
    /// Does it concern this container: as written, as corrected, or as the other one?
    pub fn touches(&self, is: impl Fn(ContainerId) -> bool) -> bool {
        let mended = self.mended.and_then(|mended| mended.container);
        [self.container, self.target, mended]
            .into_iter()
            .flatten()
            .any(is)
    }
}

/// Entries of one sort, in the order of the replay; the latest of them, and how many came before.
#[derive(Debug, Default)]
pub struct DaybookEntries {
    lines: BTreeMap<(Moment, u8, Span), DaybookLine>,
    /// How many earlier ones are left out.
    pub left_out: usize,
}

impl DaybookEntries {
    /// The entries, the earliest first.
    pub fn lines(&self) -> impl Iterator<Item = &DaybookLine> {
        self.lines.values()
    }

    /// How many are kept.
    pub fn count(&self) -> usize {
        self.lines.len()
    }

    fn keep(&mut self, line: DaybookLine, most: usize) {
        self.lines
            .insert((line.when, line.what.rank(), line.at), line);
        if self.lines.len() > most {
            self.lines.pop_first();
            self.left_out += 1;
        }
    }
}

/// What the log says of itself, and the entries that were asked for.
#[derive(Debug, Default)]
pub struct Daybook {
    /// For each sort asked for, its entries.
    pub sorts: Vec<DaybookEntries>,
    /// For each kind of entry: how many there are, the first and the last.
    pub spans: BTreeMap<What, (u64, Moment, Moment)>,
    /// Who wrote, with how many entries each; the first two hundred names.
    pub people: BTreeMap<String, u64>,
    /// Entries without a name.
    pub unnamed: u64,
}

/// What is asked of the log.
pub struct DaybookQuery<'w> {
    /// No entry before this moment is kept; the spans go back to the first.
    pub from: Moment,
    /// No entry from this moment on is looked at.
    pub close: Moment,
    /// Entries kept of each sort.
    pub most: usize,
    /// One question for each sort: does an entry belong to it? It is asked before the words are there.
    pub sorts: &'w [&'w dyn Fn(&DaybookLine) -> bool],
}

/// Reads the daybook; `None` where the shop has no log. The log is one that was replayed without a problem.
pub fn daybook(
    files: &Files,
    tables: &ShopTables,
    query: &DaybookQuery<'_>,
    problems: &mut Problems,
) -> Option<Daybook> {
    let log = tables.log?;
    let mut known = Corrections::default();
    loop {
        let mut reading = DaybookReading::new(tables, query, &known);
        let mut found = Problems::new();
        let finished = read_in_turn((files, tables), log, &mut found, &mut |row, plain| {
            reading.take(row, plain)
        });
        if finished.is_none() || !known.none() || reading.heard.none() {
            problems.take(found);
            problems.take(reading.misread);
            return finished.map(|_| reading.daybook);
        }
        known = reading.heard;
    }
}

/// One reading of the log.
struct DaybookReading<'r> {
    tables: &'r ShopTables,
    query: &'r DaybookQuery<'r>,
    /// The corrections that the reading before found.
    known: &'r Corrections,
    heard: Corrections,
    daybook: Daybook,
    misread: Problems,
}

impl<'r> DaybookReading<'r> {
    fn new(tables: &'r ShopTables, query: &'r DaybookQuery<'r>, known: &'r Corrections) -> Self {
        DaybookReading {
            tables,
            query,
            known,
            heard: Corrections::default(),
            daybook: Daybook {
                sorts: query
                    .sorts
                    .iter()
                    .map(|_| DaybookEntries::default())
                    .collect(),
                ..Daybook::default()
            },
            misread: Problems::new(),
        }
    }

    /// Takes a row, and wants another one.
    fn take(&mut self, row: Row<'_>, plain: &PlainCells) -> bool {
        let mut fields = Fields {
            row,
            problems: &mut self.misread,
        };
        let entry = read_entry(&mut fields, self.tables, plain);
        let Some(entry) = entry.filter(|entry| entry.when < self.query.close) else {
            return true;
        };
        let (by, note) = (row.text(BY), row.text(NOTE));
        self.daybook.count(&entry, by);
        if entry.what == What::Correct {
            self.heard.hear(&entry);
        } else if entry.when >= self.query.from {
            let line = line(&entry, self.known);
            self.daybook.sort(line, (entry.id, by, note), self.query);
        }
        true
    }
}

/// The line without its words: most lines belong to no sort, and theirs need not be copied.
fn line(entry: &Entry<'_>, known: &Corrections) -> DaybookLine {
    let correction = known.shown_for(entry.id, entry.when);
    DaybookLine {
        id: String::new(),
        when: entry.when,
        what: entry.what,
        container: entry.container,
        amount: entry.amount,
        target: entry.target,
        location: entry.location(),
        by: String::new(),
        note: String::new(),
        mended: correction.map(|correction| LineCorrection {
            void: correction.is_void(),
            container: correction.container,
            amount: correction.amount,
            location: correction.location(),
            at: correction.at,
        }),
        at: entry.at,
    }
}

impl Daybook {
    fn count(&mut self, entry: &Entry<'_>, by: &str) {
        let span = self
            .spans
            .entry(entry.what)
            .or_insert((0, entry.when, entry.when));
        *span = (span.0 + 1, span.1.min(entry.when), span.2.max(entry.when));
        if by.is_empty() {
            self.unnamed += 1;
        } else if let Some(count) = self.people.get_mut(by) {
            *count += 1;
        } else if self.people.len() < MOST_PEOPLE {
            self.people.insert(by.to_string(), 1);
        }
    }

    fn sort(
        &mut self,
        line: DaybookLine,
        (id, by, note): (&str, &str, &str),
        query: &DaybookQuery<'_>,
    ) {
        for (kept, belongs) in self.sorts.iter_mut().zip(query.sorts) {
            if belongs(&line) {
                let line = DaybookLine {
                    id: id.to_string(),
                    by: by.to_string(),
                    note: note.to_string(),
                    ..line.clone()
                };
                kept.keep(line, query.most);
            }
        }
    }

    /// How many entries of these kinds there are, the first and the last.
    pub fn period(&self, kinds: &[What]) -> Option<(u64, Moment, Moment)> {
        let spans = kinds.iter().filter_map(|what| self.spans.get(what));
        spans
            .copied()
            .reduce(|a, b| (a.0 + b.0, a.1.min(b.1), a.2.max(b.2)))
    }
}

//! Replays the log over the inventory: rows go in, the stock at a moment comes out.
//!
//! One pass suffices while the log runs forward and corrects nothing. A log with corrections is read a second time, with all
//! of them known. The entries of a log that runs backward are gathered and put in order first; only that needs memory for
//! each entry.

use super::apply::apply;
use super::correct::Corrections;
use super::entry_names::EntryNames;
use super::fault::StockFault;
use super::log_rows::{ReadRows, read_ahead};
use super::step::Step;
use super::stock_state::Stock;
use crate::quantity::{Day, Moment};
use crate::record::{ContainerId, Fields, PlainCells, ShopTables, What, read_entry};
use crate::text::{Files, Problem, Problems, Row};

/// The column that says who did it.
const BY: usize = 8;
/// As many people as are named. Each use of the last weeks looks its name up in their list.
const MOST_PEOPLE: usize = 200;

/// The stock at the close of a day. Problems of the log are noted, and then the stock means nothing.
pub fn replay(files: &Files, tables: &ShopTables, on: Day, problems: &mut Problems) -> Stock {
    replay_until(files, tables, Moment::close_of(on), problems)
}

/// The stock as it is before a moment.
pub fn replay_until(
    files: &Files,
    tables: &ShopTables,
    close: Moment,
    problems: &mut Problems,
) -> Stock {
    replay_with(files, tables, close, read_ahead, problems)
}

/// As [`replay_until`], by one way to read the log or the other.
pub(super) fn replay_with(
    files: &Files,
    tables: &ShopTables,
    close: Moment,
    read: ReadRows,
    problems: &mut Problems,
) -> Stock {
    let Some(log) = tables.log else {
        return Stock::first(tables, close);
    };
    let (mut corrections, mut ordered) = (None, true);
    loop {
        let mut pass = Pass::new(tables, close, corrections, ordered);
        let mut unreadable = Problems::new();
        let finished = read((files, tables), log, &mut unreadable, &mut |row, plain| {
            pass.take(row, plain)
        });
        if let Some(finished) = finished {
            finished.keep(files);
        }
        pass.apply_minute();
        if pass.runs_backward {
            (corrections, ordered) = (pass.known, false);
            continue;
        }
        if pass.known.is_none() && !pass.heard.none() {
            corrections = Some(pass.heard);
            continue;
        }
        problems.take(unreadable);
        problems.take(pass.misread);
        problems.take(pass.misdone);
        if let Some(known) = pass.known {
            known.unused(problems);
        }
        return pass.stock;
    }
}

/// One pass over the log.
struct Pass<'r> {
    tables: &'r ShopTables,
    /// The corrections that the pass before found; the first pass knows none.
    known: Option<Corrections>,
    heard: Corrections,
    /// Whether the log runs forward, as far as is known.
    ordered: bool,
    /// It does not, and what was applied up to here means nothing.
    runs_backward: bool,
    last: Option<Moment>,
    names: EntryNames,
    /// Entries of the minute under way; of a log that runs backward, all of them.
    minute: Vec<Step>,
    stock: Stock,
    /// What is wrong with rows.
    misread: Problems,
    /// What is wrong with what they did.
    misdone: Problems,
}

impl<'r> Pass<'r> {
    fn new(
        tables: &'r ShopTables,
        close: Moment,
        known: Option<Corrections>,
        ordered: bool,
    ) -> Pass<'r> {
        Pass {
            tables,
            known,
            heard: Corrections::default(),
            ordered,
            runs_backward: false,
            last: None,
            names: EntryNames::default(),
            minute: Vec::new(),
            stock: Stock::first(tables, close),
            misread: Problems::new(),
            misdone: Problems::new(),
        }
    }

    /// Takes a row; false if no other is wanted.
    fn take(&mut self, row: Row<'_>, plain: &PlainCells) -> bool {
        let Some(step) = self.understand(row, plain) else {
            return true;
        };
        let backward = self.last.is_some_and(|last| step.when < last);
        if self.ordered && backward {
            self.runs_backward = true;
            return false;
        }
        if self.ordered && self.last != Some(step.when) {
            self.apply_minute();
        }
        self.last = Some(step.when);
        self.minute.push(step);
        true
    }

    /// The row as a step that is to be applied, if it is one.
    fn understand(&mut self, row: Row<'_>, plain: &PlainCells) -> Option<Step> {
        let mut fields = Fields {
            row,
            problems: &mut self.misread,
        };
        let entry = read_entry(&mut fields, self.tables, plain)?;
        if !self.names.take(entry.id) {
            let entry_name = entry.id.to_string();
            let fault = StockFault::DuplicateEntry { entry: entry_name };
            fields.problems.add(Problem::new(fault, entry.at));
        }
        let mut step = Step::new(&entry, &mut fields, self.tables)?;
        if step.when >= self.stock.close {
            let (before, last) = self.stock.ahead.unwrap_or((0, step.when));
            self.stock.ahead = Some((before + 1, last.max(step.when)));
            return None;
        }
        if step.what == What::Use && step.when >= self.stock.uses_since {
            step.by = person(row.text(BY), &mut self.stock.people);
        }
        let soils = matches!(step.what, What::Soil | What::Use);
        let cloth = |container: ContainerId| self.stock[container].is_cloth;
        if soils && step.container.is_some_and(cloth) {
            step.soiling = Some(self.stock.soilings.position(entry.id));
        }
        step.from = entry
            .from
            .map(|from| from.map(|name| self.stock.soilings.position(name)));
        match (step.what, &mut self.known) {
            (What::Correct, Some(_)) => None,
            (What::Correct, None) => {
                self.heard.hear(&entry);
                None
            }
            (_, Some(known)) => {
                let soilings = &mut self.stock.soilings;
                known.correct(entry.id, step, soilings, &mut self.misread)
            }
            (_, None) => Some(step),
        }
    }

    /// Applies the entries that were gathered, in the order that mod.rs describes.
    fn apply_minute(&mut self) {
        if self.minute.len() > 1 {
            let order = |step: &Step| (step.when, step.what.rank());
            self.minute.sort_by_key(order);
        }
        for step in &self.minute {
            self.stock.entries += 1;
            self.stock.turn(step.when);
            self.stock.last_entry = Some(step.when);
            apply(&mut self.stock, self.tables, step, &mut self.misdone);
        }
        self.minute.clear();
    }
}

fn is_same_person(known: &str, name: &str) -> bool {
    known.to_lowercase() == name.to_lowercase()
}

/// The position of a name in the list of people, to which a new one is added while there is room.
fn person(name: &str, people: &mut Vec<String>) -> Option<u16> {
    let exactly = people.iter().position(|known| known == name);
    // In other letters it is the same person, whose parts in several rooms add up.
    let known = exactly.or_else(|| people.iter().position(|known| is_same_person(known, name)));
    if name.is_empty() || known.is_none() && people.len() >= MOST_PEOPLE {
        return None;
    }
    let at = known.unwrap_or_else(|| {
        people.push(name.to_string());
        people.len() - 1
    });
    u16::try_from(at).ok()
}

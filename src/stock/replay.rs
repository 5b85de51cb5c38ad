//! Folds the log over the inventory, in one pass and in order.
//!
//! One pass suffices while the log runs forward and corrects nothing. Where a correction is met, the log is read a
//! second time with all corrections known. Where it runs backward, its entries are gathered and put in order first;
//! that alone needs memory for each entry.
//!
//! Records are read ahead on a thread of its own ([`super::ahead`]); here they are applied.

use super::ahead::{Batch, read_ahead};
use super::apply::apply;
use super::container_state::Stock;
use super::correct::Corrections;
use super::step::Step;
use super::understand::{MOST_PEOPLE, Understanding, person};
use crate::quantity::{Day, LastDay, Moment};
use crate::record::{ShopTables, What};
use crate::text::{FileId, Files, Layout, Problems, Row};

/// While so many batches wait, the thread that reads has time to lend a hand.
const WELL_AHEAD: usize = 4;

/// How a pass over the log ended.
enum Pass {
    Done(Box<Stock>),
    /// There are corrections; they are known now.
    Again,
    /// The log does not run forward.
    Disordered,
}

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
    replay_with(files, tables, close, WELL_AHEAD, problems)
}

/// As [`replay_until`]; how far ahead whoever reads has to be to lend a hand changes nothing of what comes of it.
pub(super) fn replay_with(
    files: &Files,
    tables: &ShopTables,
    close: Moment,
    well_ahead: usize,
    problems: &mut Problems,
) -> Stock {
    let Some(log) = tables.log else {
        return Stock::first(tables, close);
    };
    let mut corrections = Corrections::default();
    let mut ordered = true;
    loop {
        let mut found = Problems::new();
        // A second pass begins anew.
        let stock = Stock::first(tables, close);
        match pass(
            files,
            log,
            tables,
            stock,
            &mut corrections,
            (ordered, well_ahead),
            &mut found,
        ) {
            Pass::Done(stock) => {
                problems.take(found);
                corrections.unused(problems);
                return *stock;
            }
            Pass::Again => {}
            Pass::Disordered => ordered = false,
        }
    }
}

fn pass(
    files: &Files,
    log: FileId,
    tables: &ShopTables,
    stock: Stock,
    corrections: &mut Corrections,
    (ordered, well_ahead): (bool, usize),
    problems: &mut Problems,
) -> Pass {
    let mut read = Problems::new();
    let understanding = Understanding {
        tables,
        close: stock.close,
        uses_since: stock.uses_since,
        ordered,
        first_hearing: corrections.none(),
        well_ahead,
    };
    let mut replay = Replay {
        understanding: &understanding,
        corrections,
        heard: Corrections::default(),
        disordered: false,
        last: None,
        days: LastDay::default(),
        minute: Vec::new(),
        stock,
        problems: Problems::new(),
        applied: Problems::new(),
    };
    let take = |batch: &mut Batch, layout: &Layout| replay.take(batch, layout);
    let finished = read_ahead(files, log, &understanding, &mut read, take);
    let Some(finished) = finished else {
        problems.take(read);
        return Pass::Done(Box::new(replay.stock));
    };
    finished.keep(files);
    replay.flush();
    if replay.disordered {
        return Pass::Disordered;
    }
    if understanding.first_hearing && !replay.heard.none() {
        *replay.corrections = replay.heard;
        return Pass::Again;
    }
    problems.take(read);
    problems.take(replay.problems);
    problems.take(replay.applied);
    Pass::Done(Box::new(replay.stock))
}

/// One pass under way.
struct Replay<'r> {
    understanding: &'r Understanding<'r>,
    /// Corrections of the pass before, while there are any.
    corrections: &'r mut Corrections,
    heard: Corrections,
    disordered: bool,
    /// The moment of the last step.
    last: Option<Moment>,
    days: LastDay,
    /// The entries of the minute under way (or, of a log that runs backward, all of them).
    minute: Vec<Step>,
    stock: Stock,
    /// What is wrong with records.
    problems: Problems,
    /// What is wrong with what they did.
    applied: Problems,
}

impl Replay<'_> {
    /// Takes a batch; false if no other is wanted.
    fn take(&mut self, batch: &mut Batch, layout: &Layout) -> bool {
        self.number_people(batch);
        self.note_ahead(batch.after_close);
        if !self.follows(&batch.steps) {
            return false;
        }
        self.apply(&mut batch.steps);
        batch.steps.clear();
        for row in layout.rows(&batch.records) {
            let Some(step) = self.understand(row) else {
                continue;
            };
            if !self.follows(&[step]) {
                return false;
            }
            batch.steps.push(step);
        }
        self.apply(&mut batch.steps);
        true
    }

    /// Do steps, themselves in order, begin where those before them end?
    fn follows(&mut self, steps: &[Step]) -> bool {
        let (Some(first), Some(last)) = (steps.first(), steps.last()) else {
            return true;
        };
        let backward = self.last.is_some_and(|last| first.when < last);
        self.disordered = self.understanding.ordered && backward;
        self.last = Some(last.when);
        !self.disordered
    }

    /// Steps that were understood ahead number people by the list of their batch.
    fn number_people(&mut self, batch: &mut Batch) {
        if batch.people.is_empty() {
            return;
        }
        let people = &mut self.stock.people;
        let number = |name: &String| person(name, people, MOST_PEOPLE);
        let known: Vec<Option<u16>> = batch.people.iter().map(number).collect();
        for step in &mut batch.steps {
            let by = step.by.and_then(|by| known.get(usize::from(by)));
            step.by = by.copied().flatten();
        }
    }

    /// A record as a step that is to be applied, if it is one.
    fn understand(&mut self, row: Row<'_>) -> Option<Step> {
        let by = |name: &str| person(name, &mut self.stock.people, MOST_PEOPLE);
        let (entry, step) = self
            .understanding
            .step(row, &mut self.days, by, &mut self.problems)?;
        if step.when >= self.understanding.close {
            self.note_ahead(Some((1, step.when)));
            return None;
        }
        if step.what == What::Correct {
            if self.understanding.first_hearing {
                self.heard.hear(&entry);
            }
            return None;
        }
        if self.understanding.first_hearing {
            Some(step)
        } else {
            self.corrections.mend(entry.id, step, &mut self.problems)
        }
    }

    fn note_ahead(&mut self, more: Option<(u64, Moment)>) {
        if let Some((more, last)) = more {
            let (before, known) = self.stock.ahead.unwrap_or((0, last));
            self.stock.ahead = Some((before + more, last.max(known)));
        }
    }

    /// Applies steps minute by minute. The last minute waits, since more of it may come.
    fn apply(&mut self, steps: &mut [Step]) {
        if !self.understanding.ordered {
            self.minute.extend_from_slice(steps);
            return;
        }
        let mut runs = steps.chunk_by_mut(|a, b| a.when == b.when).peekable();
        while let Some(run) = runs.next() {
            let goes_on = |step: &Step| run.first().is_some_and(|first| first.when == step.when);
            if !self.minute.first().is_some_and(goes_on) {
                self.flush();
                if runs.peek().is_some() {
                    apply_in_turn(
                        &mut self.stock,
                        self.understanding.tables,
                        run,
                        &mut self.applied,
                    );
                    continue;
                }
            }
            self.minute.extend_from_slice(run);
        }
    }

    fn flush(&mut self) {
        apply_in_turn(
            &mut self.stock,
            self.understanding.tables,
            &mut self.minute,
            &mut self.applied,
        );
        self.minute.clear();
    }
}

/// Applies the entries of one minute (or, of a log that runs backward, all of them).
fn apply_in_turn(
    stock: &mut Stock,
    tables: &ShopTables,
    steps: &mut [Step],
    problems: &mut Problems,
) {
    if steps.len() > 1 {
        steps.sort_by_key(|step| (step.when, step.what.rank()));
    }
    for step in steps {
        stock.entries += 1;
        stock.turn(step.when);
        stock.last_entry = Some(step.when);
        apply(stock, tables, step, problems);
    }
}

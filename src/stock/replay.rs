//! Folds the log over the inventory, in one pass and in order.
//!
//! One pass suffices while the log runs forward and corrects nothing. Where a correction is met, the log is read a
//! second time with all corrections known. Where it runs backward, its entries are gathered and put in order first;
//! that alone needs memory for each entry.
//!
//! Reading and replaying go on side by side: one thread turns text into steps, batch by batch, the other applies them.

use super::apply::apply;
use super::correct::Corrections;
use super::holding::Stock;
use super::step::Step;
use crate::quantity::{Day, LastDay, Moment};
use crate::record::{Book, Fields, LOG, What, read_entry};
use crate::text::{FileId, Files, Finished, Problems, Table};
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};

/// Steps handed over at once.
const BATCH: usize = 2048;
/// Batches under way.
const UNDER_WAY: usize = 4;

/// How a pass over the log ended.
enum Pass {
    Done(Box<Stock>),
    /// There are corrections; they are known now.
    Again,
    /// The log does not run forward.
    Disordered,
}

/// What the reading side found.
#[derive(Default)]
struct ReadLog {
    problems: Problems,
    heard: Corrections,
    disordered: bool,
    finished: Option<Finished>,
}

/// The stock at the close of a day. Problems of the log are noted, and then the stock means nothing.
pub fn replay(files: &mut Files, book: &Book, on: Day, problems: &mut Problems) -> Stock {
    let Some(log) = book.log else {
        return Stock::first(book, on);
    };
    let mut corrections = Corrections::default();
    let mut ordered = true;
    loop {
        let mut found = Problems::new();
        match pass(files, log, book, on, &mut corrections, ordered, &mut found) {
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
    files: &mut Files,
    log: FileId,
    book: &Book,
    on: Day,
    corrections: &mut Corrections,
    ordered: bool,
    problems: &mut Problems,
) -> Pass {
    let first_hearing = corrections.none();
    let mut stock = Stock::first(book, on);
    let mut applied = Problems::new();
    let close = stock.close;
    let known = &mut *corrections;
    let from = Reading {
        files,
        log,
        book,
        close,
        ordered,
    };
    let read = std::thread::scope(|scope| {
        let (full, batches) = sync_channel(UNDER_WAY);
        let (spent, empty) = channel();
        let reader = scope.spawn(move || from.read(known, first_hearing, &full, &empty));
        replay_batches(&mut stock, book, ordered, batches, &spent, &mut applied);
        reader
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    });
    if read.disordered {
        return Pass::Disordered;
    }
    if let Some(finished) = read.finished {
        finished.keep(files);
    }
    if first_hearing && !read.heard.none() {
        *corrections = read.heard;
        return Pass::Again;
    }
    problems.take(read.problems);
    problems.take(applied);
    Pass::Done(Box::new(stock))
}

/// Applies batches as they come, and hands the spent ones back.
fn replay_batches(
    stock: &mut Stock,
    book: &Book,
    ordered: bool,
    batches: Receiver<Vec<Step>>,
    spent: &Sender<Vec<Step>>,
    problems: &mut Problems,
) {
    let mut minute = Minute::default();
    for mut batch in batches {
        for step in &batch {
            if ordered && minute.when.is_some_and(|when| step.when > when) {
                minute.flush(stock, book, problems);
            }
            minute.when = Some(step.when);
            minute.steps.push(*step);
        }
        batch.clear();
        // The reader may be done already; then nobody needs the batch.
        let _ = spent.send(batch);
    }
    minute.flush(stock, book, problems);
}

/// What the reading side works on.
struct Reading<'r> {
    files: &'r Files,
    log: FileId,
    book: &'r Book,
    close: Moment,
    ordered: bool,
}

impl Reading<'_> {
    fn read(
        &self,
        corrections: &mut Corrections,
        first_hearing: bool,
        full: &SyncSender<Vec<Step>>,
        empty: &Receiver<Vec<Step>>,
    ) -> ReadLog {
        let mut read = ReadLog::default();
        let Some(mut table) = Table::open(self.files, self.log, &LOG, &mut read.problems) else {
            return read;
        };
        let mut batch: Vec<Step> = Vec::with_capacity(BATCH);
        let mut last: Option<Moment> = None;
        let mut days = LastDay::default();
        while let Some(row) = table.next(&mut read.problems) {
            let mut fields = Fields {
                row,
                problems: &mut read.problems,
            };
            let Some(entry) = read_entry(&mut fields, self.book, &mut days) else {
                continue;
            };
            let Some(step) = Step::of(&entry, &mut fields, self.book) else {
                continue;
            };
            if step.when >= self.close {
                continue;
            }
            if step.what == What::Correct {
                if first_hearing {
                    read.heard.hear(&entry, fields.problems);
                }
                continue;
            }
            let step = if first_hearing {
                Some(step)
            } else {
                corrections.mend(entry.id, step, fields.problems)
            };
            let Some(step) = step else { continue };
            if self.ordered && last.is_some_and(|last| step.when < last) {
                read.disordered = true;
                return read;
            }
            last = Some(step.when);
            batch.push(step);
            if batch.len() == BATCH {
                let next = empty
                    .try_recv()
                    .unwrap_or_else(|_| Vec::with_capacity(BATCH));
                if full.send(std::mem::replace(&mut batch, next)).is_err() {
                    return read;
                }
            }
        }
        // If nobody listens any more, the pass is given up anyway.
        let _ = full.send(batch);
        read.finished = Some(table.finish(&mut read.problems));
        read
    }
}

/// The entries of one minute (or, of a log that runs backward, all of them).
#[derive(Default)]
struct Minute {
    when: Option<Moment>,
    steps: Vec<Step>,
}

impl Minute {
    fn flush(&mut self, stock: &mut Stock, book: &Book, problems: &mut Problems) {
        if self.steps.len() > 1 {
            self.steps.sort_by_key(|step| (step.when, step.what.rank()));
        }
        for step in self.steps.drain(..) {
            stock.entries += 1;
            stock.last_entry = Some(step.when);
            apply(stock, book, &step, problems);
        }
    }
}

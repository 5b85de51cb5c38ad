//! Folds the log over the inventory, in one pass and in order.
//!
//! One pass suffices while the log runs forward and corrects nothing. Where a correction is met, the log is read a
//! second time with all corrections known. Where it runs backward, its entries are gathered and put in order first;
//! that alone needs memory for each entry.

use super::apply::apply;
use super::correct::Corrections;
use super::holding::Stock;
use super::step::Step;
use crate::quantity::{Day, Moment};
use crate::record::{Book, Fields, LOG, What, read_entry};
use crate::text::{FileId, Files, Problems, Table};

/// How a pass over the log ended.
enum Pass {
    Done(Box<Stock>),
    /// There are corrections; they are known now.
    Again,
    /// The log does not run forward.
    Disordered,
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
    let mut stock = Stock::first(book, on);
    let Some(mut table) = Table::open(files, log, &LOG, problems) else {
        return Pass::Done(Box::new(stock));
    };
    let first_hearing = corrections.none();
    let mut heard = Corrections::default();
    let mut minute = Minute::default();
    let mut last: Option<Moment> = None;
    while let Some(row) = table.next(problems) {
        let mut fields = Fields { row, problems };
        let Some(entry) = read_entry(&mut fields, book) else {
            continue;
        };
        let Some(step) = Step::of(&entry, &mut fields, book) else {
            continue;
        };
        if step.when >= stock.close {
            continue;
        }
        if step.what == What::Correct {
            if first_hearing {
                heard.hear(&entry, fields.problems);
            }
            continue;
        }
        let step = if first_hearing {
            Some(step)
        } else {
            corrections.mend(entry.id, step, fields.problems)
        };
        let Some(step) = step else { continue };
        if ordered && last.is_some_and(|last| step.when < last) {
            return Pass::Disordered;
        }
        if ordered && last.is_some_and(|last| step.when > last) {
            minute.flush(&mut stock, book, fields.problems);
        }
        last = Some(step.when);
        minute.steps.push(step);
    }
    minute.flush(&mut stock, book, problems);
    let finished = table.finish(problems);
    finished.keep(files);
    if first_hearing && !heard.none() {
        *corrections = heard;
        return Pass::Again;
    }
    Pass::Done(Box::new(stock))
}

/// The entries of one minute (or, of a log that runs backward, all of them).
#[derive(Default)]
struct Minute {
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

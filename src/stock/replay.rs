//! Folds the log over the inventory, in one pass and in order.
//!
//! One pass suffices while the log runs forward and corrects nothing. Where a correction is met, the log is read a
//! second time with all corrections known. Where it runs backward, its entries are gathered and put in order first;
//! that alone needs memory for each entry.
//!
//! Three things go on side by side, batch by batch: one thread reads records, one understands them as steps, and this
//! one applies the steps. A record's memory goes back and is used again.

use super::apply::apply;
use super::correct::Corrections;
use super::forward::carry_in;
use super::holding::Stock;
use super::step::Step;
use crate::quantity::{Day, LastDay, Moment};
use crate::record::{Book, Fields, LOG, What, read_entry};
use crate::text::{Code, FileId, Files, Finished, Layout, Problem, Problems, Record, Table};
use std::sync::mpsc::{Receiver, Sender, SyncSender, channel, sync_channel};

/// Records, and steps, handed over at once.
const BATCH: usize = 1024;
/// Batches under way between two threads: so many that none of the three waits while another one has no processor.
const UNDER_WAY: usize = 24;

/// The column that says who did it.
const BY: usize = 8;

/// As many people as are named.
const MOST_PEOPLE: usize = 200;

/// How a pass over the log ended.
enum Pass {
    Done(Box<Stock>),
    /// There are corrections; they are known now.
    Again,
    /// The log does not run forward.
    Disordered,
}

/// What the side that understands records found.
#[derive(Default)]
struct Understood {
    problems: Problems,
    heard: Corrections,
    disordered: bool,
    /// Who used something in the last weeks.
    people: Vec<String>,
    /// How many entries lie at or after the close, and the last of them.
    ahead: Option<(u64, Moment)>,
}

/// The stock at the close of a day. Problems of the log are noted, and then the stock means nothing.
pub fn replay(files: &mut Files, book: &Book, on: Day, problems: &mut Problems) -> Stock {
    replay_until(files, book, Moment::close_of(on), problems)
}

/// The stock as it is before a moment.
pub fn replay_until(
    files: &mut Files,
    book: &Book,
    close: Moment,
    problems: &mut Problems,
) -> Stock {
    let mut told = Problems::new();
    let carried = first(files, book, close, &mut told);
    if !told.none() {
        problems.take(told);
        return carried;
    }
    let Some(log) = book.log else {
        return carried;
    };
    let mut carried = Some(carried);
    let mut corrections = Corrections::default();
    let mut ordered = true;
    loop {
        let mut found = Problems::new();
        // A second pass begins anew.
        let stock = match carried.take() {
            Some(carried) => carried,
            None => first(files, book, close, &mut found),
        };
        match pass(
            files,
            log,
            book,
            stock,
            &mut corrections,
            ordered,
            &mut found,
        ) {
            Pass::Done(stock) => {
                problems.take(found);
                corrections.unused(stock.closed.map(|(day, _)| day), problems);
                return *stock;
            }
            Pass::Again => {}
            Pass::Disordered => ordered = false,
        }
    }
}

/// The stock before any entry of the log: the inventory, and what the books of a closed period hand on.
fn first(files: &Files, book: &Book, close: Moment, problems: &mut Problems) -> Stock {
    let mut stock = Stock::first(book, close);
    carry_in(files, book, &mut stock, problems);
    if problems.none() {
        stands_already(book, &stock, problems);
    }
    stock
}

/// What a container held before the day for which its amount is written is not known.
fn stands_already(book: &Book, stock: &Stock, problems: &mut Problems) {
    let there = |row: &&crate::record::Container| row.since.is_none_or(|since| since <= stock.on);
    let later = |row: &&crate::record::Container| row.as_of.is_some_and(|day| day > stock.on);
    if let Some(row) = book.containers.iter().find(|row| there(row) && later(row)) {
        let code = Code::DayBeforeAsOf {
            on: stock.on.to_string(),
            container: row.id.clone(),
            as_of: row.as_of.map_or_else(String::new, |day| day.to_string()),
        };
        problems.add(Problem::new(code, row.at));
    }
}

fn pass(
    files: &mut Files,
    log: FileId,
    book: &Book,
    mut stock: Stock,
    corrections: &mut Corrections,
    ordered: bool,
    problems: &mut Problems,
) -> Pass {
    let (mut read, mut applied) = (Problems::new(), Problems::new());
    let Some(table) = Table::open(files, log, &LOG, &mut read) else {
        problems.take(read);
        return Pass::Done(Box::new(stock));
    };
    let first_hearing = corrections.none();
    let known = &mut *corrections;
    let reading = Reading {
        layout: table.layout().clone(),
        book,
        close: stock.close,
        uses_since: stock.uses_since,
        ordered,
        first_hearing,
        people: std::mem::take(&mut stock.people),
    };
    let (understood, finished) = std::thread::scope(|scope| {
        let (records_out, records) = sync_channel(UNDER_WAY);
        let (records_back, spare_records) = channel();
        let (steps_out, steps) = sync_channel(UNDER_WAY);
        let (steps_back, spare_steps) = channel();
        let read = &mut read;
        let reader = scope.spawn(move || read_records(table, &records_out, &spare_records, read));
        let reading = scope
            .spawn(move || reading.run(known, records, &records_back, &steps_out, &spare_steps));
        replay_batches(&mut stock, book, ordered, steps, &steps_back, &mut applied);
        let understood = reading
            .join()
            .unwrap_or_else(|panic| std::panic::resume_unwind(panic));
        (
            understood,
            reader
                .join()
                .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
        )
    });
    finished.keep(files);
    if understood.disordered {
        return Pass::Disordered;
    }
    if first_hearing && !understood.heard.none() {
        *corrections = understood.heard;
        return Pass::Again;
    }
    problems.take(read);
    problems.take(understood.problems);
    stock.people = understood.people;
    stock.ahead = understood.ahead;
    problems.take(applied);
    Pass::Done(Box::new(stock))
}

/// Reads records in batches until the end, or until nobody wants more.
fn read_records(
    mut table: Table<'_>,
    out: &SyncSender<Vec<Record>>,
    spare: &Receiver<Vec<Record>>,
    problems: &mut Problems,
) -> Finished {
    loop {
        let mut batch = spare
            .try_recv()
            .unwrap_or_else(|_| vec![Record::default(); BATCH]);
        let full = batch
            .iter_mut()
            .position(|record| !table.read(record, problems))
            .unwrap_or(BATCH);
        let last = full < BATCH;
        batch.truncate(full);
        table.note_rows(full);
        if out.send(batch).is_err() || last {
            return table.finish(problems);
        }
    }
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

/// What is needed to understand a record as a step.
struct Reading<'r> {
    layout: Layout,
    book: &'r Book,
    close: Moment,
    uses_since: Moment,
    ordered: bool,
    first_hearing: bool,
    /// Who used something before the log begins.
    people: Vec<String>,
}

impl Reading<'_> {
    fn run(
        &self,
        corrections: &mut Corrections,
        records: Receiver<Vec<Record>>,
        back: &Sender<Vec<Record>>,
        out: &SyncSender<Vec<Step>>,
        spare: &Receiver<Vec<Step>>,
    ) -> Understood {
        let mut understood = Understood {
            people: self.people.clone(),
            ..Understood::default()
        };
        let mut last: Option<Moment> = None;
        let mut days = LastDay::default();
        for mut batch in records {
            let mut steps: Vec<Step> = spare
                .try_recv()
                .unwrap_or_else(|_| Vec::with_capacity(BATCH));
            for record in &batch {
                let Some(step) = self.step(record, corrections, &mut days, &mut understood) else {
                    continue;
                };
                if self.ordered && last.is_some_and(|last| step.when < last) {
                    understood.disordered = true;
                    return understood;
                }
                last = Some(step.when);
                steps.push(step);
            }
            batch.resize_with(BATCH, Record::default);
            // Whoever hung up has no use for it any more.
            let _ = back.send(batch);
            if out.send(steps).is_err() {
                return understood;
            }
        }
        understood
    }

    fn step(
        &self,
        record: &Record,
        corrections: &mut Corrections,
        days: &mut LastDay,
        understood: &mut Understood,
    ) -> Option<Step> {
        let mut fields = Fields {
            row: self.layout.row(record),
            problems: &mut understood.problems,
        };
        let entry = read_entry(&mut fields, self.book, days)?;
        let mut step = Step::of(&entry, &mut fields, self.book)?;
        if step.what == What::Use && step.when >= self.uses_since {
            step.by = person(fields.row.text(BY), &mut understood.people);
        }
        if step.when >= self.close {
            let (before, last) = understood.ahead.unwrap_or((0, step.when));
            understood.ahead = Some((before + 1, last.max(step.when)));
            return None;
        }
        if step.what == What::Correct {
            if self.first_hearing {
                understood.heard.hear(&entry);
            }
            return None;
        }
        if self.first_hearing {
            Some(step)
        } else {
            corrections.mend(entry.id, step, fields.problems)
        }
    }
}

/// The position of a name in the list of people, in which it is put when it is new. A list that nobody would read to its
/// end goes no further, since each entry is looked up in it.
pub(super) fn person(name: &str, people: &mut Vec<String>) -> Option<u16> {
    if name.is_empty() {
        return None;
    }
    let known = people.iter().position(|known| known == name);
    if known.is_none() && people.len() >= MOST_PEOPLE {
        return None;
    }
    let at = known.unwrap_or_else(|| {
        people.push(name.to_string());
        people.len() - 1
    });
    u16::try_from(at).ok()
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
            stock.turn(step.when);
            stock.last_entry = Some(step.when);
            apply(stock, book, &step, problems);
        }
    }
}

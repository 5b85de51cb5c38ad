//! What one entry does to the stock.

use super::container_state::{ContainerState, CountGap, Overfull, Stock, Trial, Use};
use super::ledger::Flow;
use super::pour::pour;
use super::rags::{empty, on_cloth};
use super::step::Step;
use crate::quantity::{Amount, Exact, Volume, natural};
use crate::record::{ShopTables, What};
use crate::stock::StockFault;
use crate::text::{Problem, Problems, Span};

pub(super) fn apply(stock: &mut Stock, tables: &ShopTables, step: &Step, problems: &mut Problems) {
    if !in_time(stock, tables, step, problems) {
        return;
    }
    match step.what {
        What::Empty => empty(stock, tables, step, problems),
        What::Correct => {}
        What::Receive
        | What::Open
        | What::Move
        | What::Mix
        | What::Decant
        | What::Use
        | What::Soil
        | What::Discard
        | What::Spread
        | What::Soak
        | What::Bin
        | What::Test
        | What::Count => {
            let Some(container) = step.container() else {
                return;
            };
            let Some(contents) = stock.containers.get_mut(container) else {
                return;
            };
            contents.touch(step.at);
            if contents.is_cloth {
                on_cloth(stock, tables, step, container, problems);
            } else {
                on_vessel(stock, tables, step, container, problems);
            }
        }
    }
}

/// The inventory must know every container of the entry by that day.
fn in_time(stock: &Stock, tables: &ShopTables, step: &Step, problems: &mut Problems) -> bool {
    let day = step.when.day();
    let mut fine = true;
    for container in [step.container(), step.target()].into_iter().flatten() {
        let Some(contents) = stock.containers.get(container) else {
            continue;
        };
        // Nearly every entry is in time, and then no word of it is needed.
        let Some(since) = contents.since.filter(|since| day < *since) else {
            continue;
        };
        let code = StockFault::BeforeSince {
            when: day.to_string(),
            container: id(tables, container),
            since: since.to_string(),
        };
        problems.add(Problem::with(code, step.at, row(tables, container)));
        fine = false;
    }
    fine
}

pub(super) fn id(tables: &ShopTables, container: usize) -> String {
    tables
        .containers
        .get(container)
        .map_or_else(String::new, |c| c.id.clone())
}

pub(super) fn row(tables: &ShopTables, container: usize) -> Option<Span> {
    tables.containers.get(container).map(|c| c.at)
}

fn on_vessel(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let day = step.when.day();
    match step.what {
        What::Receive => {
            if let Some(contents) = stock.containers.get_mut(container) {
                forget_if_empty(contents);
            }
            if let Some(amount) = step.amount
                && put_in(stock, tables, step, container, amount, problems)
            {
                stock.note(container, day, Flow::Received, amount);
            }
        }
        What::Use | What::Discard => {
            let all = stock.containers.get(container).and_then(|h| h.amount);
            let Some(amount) = step.amount.or(all) else {
                // All of an amount that is not known is gone all the same.
                if let Some(contents) = stock
                    .containers
                    .get_mut(container)
                    .filter(|_| step.what == What::Discard)
                {
                    contents.amount = Some(Amount::Volume(Volume::ZERO));
                }
                return;
            };
            let taken = take_out(stock, tables, step, container, amount, problems);
            if taken && step.what == What::Use {
                note_use(stock, step, container, amount);
            }
            if taken {
                let flow = if step.what == What::Discard {
                    Flow::Discarded
                } else {
                    Flow::Used
                };
                stock.note(container, day, flow, amount);
            }
        }
        What::Mix | What::Decant => pour(stock, tables, step, container, problems),
        What::Count => count(stock, tables, step, container, problems),
        What::Move => {
            if let (Some(contents), Some(location)) =
                (stock.containers.get_mut(container), step.location())
            {
                contents.location = location;
            }
        }
        What::Open => {
            if let Some(contents) = stock.containers.get_mut(container) {
                contents.opened = contents.opened.or(Some(day));
            }
        }
        What::Test => test(stock, step, container),
        What::Soil | What::Spread | What::Soak | What::Bin => {
            let code = StockFault::NotARag {
                container: id(tables, container),
            };
            problems.add(Problem::with(code, step.at, row(tables, container)));
        }
        What::Empty | What::Correct => {}
    }
}

/// What is received into an empty vessel is new: it has no test, no age and no lot of what was there before.
fn forget_if_empty(contents: &mut ContainerState) {
    let empty = contents
        .amount
        .is_some_and(|amount| amount.base().is_zero());
    if empty && contents.entries > 1 {
        (contents.trial, contents.made, contents.opened) = (None, None, None);
        contents.lots.clear();
        contents.also.clear();
    }
}

/// Keeps a recent use of a liquid for the air.
fn note_use(stock: &mut Stock, step: &Step, container: usize, amount: Amount) {
    let (Amount::Volume(litres), true) = (amount, step.when >= stock.uses_since) else {
        return;
    };
    let stood = stock
        .containers
        .get(container)
        .map(|h| h.location)
        .unwrap_or_default();
    stock.uses.push(Use {
        when: step.when,
        container,
        litres,
        minutes: step.minutes,
        location: step.location().unwrap_or(stood),
        by: step.by.map(usize::from),
        at: step.at,
    });
}

pub(super) fn sum(total: Exact, amount: Amount) -> Exact {
    total.plus(amount.base()).unwrap_or(total)
}

/// Volumes with volumes, masses with masses; otherwise a problem.
pub(super) fn same_kind(
    tables: &ShopTables,
    step: &Step,
    container: usize,
    held: Amount,
    given: Amount,
    problems: &mut Problems,
) -> bool {
    if held.same_kind(given) {
        return true;
    }
    let code = StockFault::OtherKind {
        container: id(tables, container),
        holds: held.dimension().word(),
        given: given.dimension().word(),
    };
    problems.add(Problem::with(code, step.at, row(tables, container)));
    false
}

pub(super) fn take_out(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    amount: Amount,
    problems: &mut Problems,
) -> bool {
    let us = tables.shop.us;
    let Some(contents) = stock.containers.get_mut(container) else {
        return false;
    };
    contents.last_used = Some(step.when.day());
    let Some(held) = contents.amount else {
        return true;
    };
    if !same_kind(tables, step, container, held, amount, problems) {
        return false;
    }
    match held.base().minus(amount.base()) {
        Ok(left) if !left.is_negative() => {
            contents.amount = Some(held.with(left));
            contents.removed = sum(contents.removed, amount);
            true
        }
        Err(_) => {
            let code = StockFault::TooFine {
                container: id(tables, container),
            };
            problems.add(Problem::with(code, step.at, row(tables, container)));
            false
        }
        Ok(_) => {
            let code = StockFault::TakesMore {
                container: id(tables, container),
                taken: natural(amount, us),
                held: natural(held, us),
            };
            problems.add(Problem::with(code, step.at, row(tables, container)));
            false
        }
    }
}

pub(super) fn put_in(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    amount: Amount,
    problems: &mut Problems,
) -> bool {
    let capacity = tables.containers.get(container).and_then(|c| c.capacity);
    let Some(contents) = stock.containers.get_mut(container) else {
        return false;
    };
    let Some(held) = contents.amount else {
        return true;
    };
    if !same_kind(tables, step, container, held, amount, problems) {
        return false;
    }
    let Ok(full) = held.base().plus(amount.base()) else {
        let code = StockFault::TooFine {
            container: id(tables, container),
        };
        problems.add(Problem::with(code, step.at, row(tables, container)));
        return false;
    };
    if held.base().is_zero() {
        contents.filled = Some(step.when.day());
    }
    contents.amount = Some(held.with(full));
    contents.received = sum(contents.received, amount);
    // More than fits is no reason to refuse a record: something went unlogged, and a finding says so.
    let over = capacity.filter(|c| c.same_kind(held) && full > c.base());
    if over.is_some() && contents.overfull.is_none_or(|old| full > old.held.base()) {
        contents.overfull = Some(Overfull {
            day: step.when.day(),
            held: held.with(full),
            at: step.at,
        });
    }
    true
}

pub(super) fn count(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let (Some(counted), Some(contents)) = (step.amount, stock.containers.get_mut(container)) else {
        return;
    };
    let day = step.when.day();
    let Some(expected) = contents.amount else {
        contents.amount = Some(counted);
        contents.initial = counted.base();
        stock.note_first_count(container, day, counted);
        return;
    };
    if !same_kind(tables, step, container, expected, counted, problems) {
        return;
    }
    let Some(contents) = stock.containers.get_mut(container) else {
        return;
    };
    if expected.base() == counted.base() {
        contents.short.clear();
        return;
    }
    let gap = counted.base().minus(expected.base()).unwrap_or(Exact::ZERO);
    contents.unexplained = contents
        .unexplained
        .plus(gap)
        .unwrap_or(contents.unexplained);
    let found = CountGap {
        day,
        expected,
        counted,
        at: step.at,
    };
    if expected.base().is_zero() {
        contents.filled = Some(day);
    }
    contents.gap = Some(found);
    contents.count_was(found);
    contents.amount = Some(counted);
    stock.note_found(container, day, counted, gap);
}

fn test(stock: &mut Stock, step: &Step, container: usize) {
    let (Some(contents), Some(tried)) = (stock.containers.get_mut(container), step.trial) else {
        return;
    };
    contents.trial = Some(Trial {
        day: step.when.day(),
        test: tried.test(),
        minutes: tried.minutes,
        result: tried.result,
        at: step.at,
    });
}

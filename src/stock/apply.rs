//! What one entry does to the stock.

use super::holding::{CountGap, Holding, Overfull, Stock, Trial, Use};
use super::ledger::Flow;
use super::pour::pour;
use super::rags::{empty, on_cloth};
use super::step::Step;
use crate::quantity::{Amount, Exact, Volume, natural};
use crate::record::{Book, What};
use crate::text::{Code, Place, Problem, Problems};

pub(super) fn apply(stock: &mut Stock, book: &Book, step: &Step, problems: &mut Problems) {
    if !in_time(stock, book, step, problems) {
        return;
    }
    match step.what {
        What::Empty => empty(stock, book, step, problems),
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
            let Some(holding) = stock.holdings.get_mut(container) else {
                return;
            };
            holding.touch(step.at);
            if holding.is_cloth {
                on_cloth(stock, book, step, container, problems);
            } else {
                on_vessel(stock, book, step, container, problems);
            }
        }
    }
}

/// The inventory must know every container of the entry by that day.
fn in_time(stock: &Stock, book: &Book, step: &Step, problems: &mut Problems) -> bool {
    let day = step.when.day();
    let mut fine = true;
    for container in [step.container(), step.target()].into_iter().flatten() {
        let Some(holding) = stock.holdings.get(container) else {
            continue;
        };
        // Nearly every entry is in time, and then no word of it is needed.
        let Some(since) = holding.since.filter(|since| day < *since) else {
            continue;
        };
        let code = Code::EntryBeforeSince {
            when: day.to_string(),
            container: id(book, container),
            since: since.to_string(),
        };
        problems.add(Problem {
            code,
            at: step.at,
            see: row(book, container),
        });
        fine = false;
    }
    fine
}

pub(super) fn id(book: &Book, container: usize) -> String {
    book.containers
        .get(container)
        .map_or_else(String::new, |c| c.id.clone())
}

pub(super) fn row(book: &Book, container: usize) -> Option<Place> {
    book.containers.get(container).map(|c| c.at)
}

fn on_vessel(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let day = step.when.day();
    match step.what {
        What::Receive => {
            if let Some(holding) = stock.holdings.get_mut(container) {
                forget_if_empty(holding);
            }
            if let Some(amount) = step.amount
                && put_in(stock, book, step, container, amount, problems)
            {
                stock.note(container, day, Flow::Received, amount);
            }
        }
        What::Use | What::Discard => {
            let all = stock.holdings.get(container).and_then(|h| h.amount);
            let Some(amount) = step.amount.or(all) else {
                // All of an amount that is not known is gone all the same.
                if let Some(holding) = stock
                    .holdings
                    .get_mut(container)
                    .filter(|_| step.what == What::Discard)
                {
                    holding.amount = Some(Amount::Volume(Volume::ZERO));
                }
                return;
            };
            let taken = take_out(stock, book, step, container, amount, problems);
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
        What::Mix | What::Decant => pour(stock, book, step, container, problems),
        What::Count => count(stock, book, step, container, problems),
        What::Move => {
            if let (Some(holding), Some(stands)) =
                (stock.holdings.get_mut(container), step.stands())
            {
                holding.stands = stands;
            }
        }
        What::Open => {
            if let Some(holding) = stock.holdings.get_mut(container) {
                holding.opened = holding.opened.or(Some(day));
            }
        }
        What::Test => test(stock, step, container),
        What::Soil | What::Spread | What::Soak | What::Bin => {
            let code = Code::NotARag {
                container: id(book, container),
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
        }
        What::Empty | What::Correct => {}
    }
}

/// What is received into an empty vessel is new: it has no test, no age and no lot of what was there before.
fn forget_if_empty(holding: &mut Holding) {
    let empty = holding
        .amount
        .is_some_and(|amount| amount.house().is_zero());
    if empty && holding.entries > 1 {
        (holding.trial, holding.made, holding.opened) = (None, None, None);
        holding.lots.clear();
        holding.also.clear();
    }
}

/// Keeps a recent use of a liquid for the air.
fn note_use(stock: &mut Stock, step: &Step, container: usize, amount: Amount) {
    let (Amount::Volume(litres), true) = (amount, step.when >= stock.uses_since) else {
        return;
    };
    let stood = stock
        .holdings
        .get(container)
        .map(|h| h.stands)
        .unwrap_or_default();
    stock.uses.push(Use {
        when: step.when,
        container,
        litres,
        minutes: step.minutes,
        stands: step.stands().unwrap_or(stood),
        by: step.by.map(usize::from),
        at: step.at,
    });
}

pub(super) fn sum(total: Exact, amount: Amount) -> Exact {
    total.plus(amount.house()).unwrap_or(total)
}

/// Volumes with volumes, masses with masses; otherwise a problem.
pub(super) fn same_kind(
    book: &Book,
    step: &Step,
    container: usize,
    held: Amount,
    given: Amount,
    problems: &mut Problems,
) -> bool {
    if held.same_kind(given) {
        return true;
    }
    let code = Code::OtherKind {
        container: id(book, container),
        holds: held.dimension().word(),
        given: given.dimension().word(),
    };
    problems.add(Problem {
        code,
        at: step.at,
        see: row(book, container),
    });
    false
}

pub(super) fn take_out(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    amount: Amount,
    problems: &mut Problems,
) -> bool {
    let us = book.shop.us;
    let Some(holding) = stock.holdings.get_mut(container) else {
        return false;
    };
    holding.last_used = Some(step.when.day());
    let Some(held) = holding.amount else {
        return true;
    };
    if !same_kind(book, step, container, held, amount, problems) {
        return false;
    }
    match held.house().minus(amount.house()) {
        Ok(left) if !left.is_negative() => {
            holding.amount = Some(held.with(left));
            holding.went = sum(holding.went, amount);
            true
        }
        Err(_) => {
            let code = Code::TooFine {
                container: id(book, container),
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
            false
        }
        Ok(_) => {
            let code = Code::TakesMore {
                container: id(book, container),
                taken: natural(amount, us),
                held: natural(held, us),
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
            false
        }
    }
}

pub(super) fn put_in(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    amount: Amount,
    problems: &mut Problems,
) -> bool {
    let capacity = book.containers.get(container).and_then(|c| c.capacity);
    let Some(holding) = stock.holdings.get_mut(container) else {
        return false;
    };
    let Some(held) = holding.amount else {
        return true;
    };
    if !same_kind(book, step, container, held, amount, problems) {
        return false;
    }
    let Ok(full) = held.house().plus(amount.house()) else {
        let code = Code::TooFine {
            container: id(book, container),
        };
        problems.add(Problem {
            code,
            at: step.at,
            see: row(book, container),
        });
        return false;
    };
    if held.house().is_zero() {
        holding.filled = Some(step.when.day());
    }
    holding.amount = Some(held.with(full));
    holding.came = sum(holding.came, amount);
    // More than fits is no reason to refuse a record: something went unlogged, and a finding says so.
    let over = capacity.filter(|c| c.same_kind(held) && full > c.house());
    if over.is_some() && holding.overfull.is_none_or(|old| full > old.held.house()) {
        holding.overfull = Some(Overfull {
            day: step.when.day(),
            held: held.with(full),
            at: step.at,
        });
    }
    true
}

pub(super) fn count(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let (Some(counted), Some(holding)) = (step.amount, stock.holdings.get_mut(container)) else {
        return;
    };
    let day = step.when.day();
    let Some(expected) = holding.amount else {
        holding.amount = Some(counted);
        holding.began = counted.house();
        stock.note_first_count(container, day, counted);
        return;
    };
    if !same_kind(book, step, container, expected, counted, problems) {
        return;
    }
    let Some(holding) = stock.holdings.get_mut(container) else {
        return;
    };
    if expected.house() == counted.house() {
        holding.short.clear();
        return;
    }
    let gap = counted
        .house()
        .minus(expected.house())
        .unwrap_or(Exact::ZERO);
    holding.unexplained = holding.unexplained.plus(gap).unwrap_or(holding.unexplained);
    let found = CountGap {
        day,
        expected,
        counted,
        at: step.at,
    };
    if expected.house().is_zero() {
        holding.filled = Some(day);
    }
    holding.gap = Some(found);
    holding.count_was(found);
    holding.amount = Some(counted);
    stock.note_found(container, day, counted, gap);
}

fn test(stock: &mut Stock, step: &Step, container: usize) {
    let (Some(holding), Some(tried)) = (stock.holdings.get_mut(container), step.trial) else {
        return;
    };
    holding.trial = Some(Trial {
        day: step.when.day(),
        test: tried.test(),
        minutes: tried.minutes,
        result: tried.result,
        at: step.at,
    });
}

//! The stock as the books of a closed period handed it on: `forward.csv` read back into the state before any entry.

use super::agrees::{agrees, rags_agree};
use super::container_state::{CountGap, MonthUse, Overfull, Stock, Trial, TrialResult, Use};
use super::month_end::{MONTHS_KEPT, MonthEnd};
use super::rag_batch::{RagBatch, RagState, UnsecuredNight};
use super::rag_moves::NIGHTS_KEPT_DAYS;
use super::step::test_named;
use super::understand::{MOST_PEOPLE, person};
use crate::quantity::{Amount, Exact};
use crate::record::{Carried, FORWARD, Fields, ForwardRow, ShopTables, read_forward};
use crate::text::{Code, Files, Problem, Problems, Span, Table};
use std::collections::{HashMap, HashSet};

/// The words for the state of rags.
pub(super) const STATES: [(&str, RagState); 7] = [
    ("clean", RagState::Clean),
    ("wet", RagState::Wet),
    ("flat", RagState::Flat),
    ("under-water", RagState::UnderWater),
    ("in-can", RagState::InCan),
    ("in-jar", RagState::InJar),
    ("dry", RagState::Dry),
];
/// The words for how a test went.
pub(super) const RESULTS: [(&str, TrialResult); 3] = [
    ("pass", TrialResult::Pass),
    ("retest", TrialResult::Retest),
    ("fail", TrialResult::Fail),
];
/// The words for a container.
pub(super) const COUNTED_FULL: &str = "counted-full";
/// See [`COUNTED_FULL`].
pub(super) const ONLY_SOLVENT: &str = "only-solvent";
/// Before the state of rags that a count missed.
pub(super) const MISSING: &str = "missing ";

/// A figure of a month.
type Figure = fn(&mut MonthUse) -> &mut Exact;
/// The words for what became of a product in a month.
pub(super) const FIGURES: [(&str, Figure); 9] = [
    ("used", |m| &mut m.used),
    ("received", |m| &mut m.received),
    ("arrived", |m| &mut m.arrived),
    ("mixed", |m| &mut m.mixed),
    ("poured", |m| &mut m.poured),
    ("discarded", |m| &mut m.discarded),
    ("unexplained", |m| &mut m.unexplained),
    ("first-counted", |m| &mut m.first_counted),
    ("untracked", |m| &mut m.untracked),
];

/// The products of the inventory, by name, and those that are in it no more and were told.
struct Products {
    at: HashMap<String, usize>,
    gone: HashSet<String>,
}

/// Reads what was carried forward into the stock before any entry. A day before the period was closed is a problem.
pub(super) fn carry_in(
    files: &Files,
    tables: &ShopTables,
    stock: &mut Stock,
    problems: &mut Problems,
) {
    let Some(file) = tables.forward else {
        return;
    };
    let Some(mut table) = Table::open(files, file, &FORWARD, problems) else {
        return;
    };
    let names = stock.products.iter().enumerate();
    let mut products = Products {
        at: names.map(|(at, name)| (name.clone(), at)).collect(),
        gone: HashSet::new(),
    };
    let mut first = true;
    let (mut gone, mut rows, mut due) = (HashSet::new(), 0, None);
    while let Some(row) = table.next(problems) {
        rows += 1;
        let mut fields = Fields { row, problems };
        let Some(row) = read_forward(&mut fields, tables, &mut gone) else {
            first = false;
            continue;
        };
        if !row.from.is_empty() {
            stock.origins.insert(row.at, row.from.to_string());
        }
        if row.what == Carried::Books {
            due = row.rows.map(|due| (due, row.at));
        }
        if first != (row.what == Carried::Books) {
            problems.add(Problem::new(Code::BooksFirst, row.at));
            return;
        }
        first = false;
        let told = problems.count();
        if row.what == Carried::Vessel {
            agrees(stock, tables, &row, problems);
        }
        take(stock, &row, &mut products, problems);
        if row.what == Carried::Books && problems.count() > told {
            return;
        }
    }
    if first && problems.none() {
        problems.add(Problem::new(Code::BooksFirst, Span::whole(file)));
    }
    if let Some((due, at)) = due.filter(|(due, _)| due + 1 != rows) {
        let there = rows - 1;
        problems.add(Problem::new(Code::CarriedRows { due, there }, at));
    }
    if problems.none() {
        rags_agree(stock, tables, problems);
    }
    stock.month_ends.reverse();
    // As in the replay: a night that ended over a month ago is not kept, unless a count missed its rags.
    let close = stock.close;
    for night in &stock.nights {
        stock.year_nights.keep(night, close);
    }
    let recent = |night: &UnsecuredNight| close.nights_since(night.until) <= NIGHTS_KEPT_DAYS;
    stock.nights.retain(|night| night.missing || recent(night));
    table.finish(problems);
}

fn take(stock: &mut Stock, row: &ForwardRow<'_>, products: &mut Products, problems: &mut Problems) {
    match row.what {
        Carried::Books => books(stock, row, problems),
        Carried::Vessel
        | Carried::Lot
        | Carried::PouredIn
        | Carried::Test
        | Carried::Gap
        | Carried::Short
        | Carried::Overfull
        | Carried::Rags => container(stock, row, products, problems),
        Carried::Soiled => soiled(stock, row),
        Carried::Night => night(stock, row, problems),
        Carried::Emptied => {
            let place = row.location.and_then(|location| location.place);
            if let (Some(slot), Some(when)) = (
                place.and_then(|place| stock.emptied.get_mut(place)),
                row.when,
            ) {
                *slot = Some((when, row.at));
            }
        }
        Carried::Month => month(stock, row, products, problems),
        Carried::MonthEnd => month_end(stock, row),
        Carried::Use => used(stock, row),
    }
}

fn books(stock: &mut Stock, row: &ForwardRow<'_>, problems: &mut Problems) {
    let Some(when) = row.when else { return };
    let closed = when.day();
    if stock.on < closed {
        let code = Code::BooksClosed {
            on: stock.on.to_string(),
            closed: closed.to_string(),
            log: row.with.to_string(),
        };
        problems.add(Problem::new(code, row.at));
        return;
    }
    stock.closed = Some((closed, row.at));
    stock.entries = row.number.unwrap_or(0);
    stock.last_entry = row.until;
}

fn container(
    stock: &mut Stock,
    row: &ForwardRow<'_>,
    products: &mut Products,
    problems: &mut Problems,
) {
    let Some(contents) = row.container.and_then(|at| stock.containers.get_mut(at)) else {
        return;
    };
    let day = row.when.map(|when| when.day());
    match row.what {
        Carried::Vessel => {
            let said = |flag| row.state.split(' ').any(|word| word == flag);
            contents.written = row.amount;
            contents.initial = row.other.or(row.amount).map_or(Exact::ZERO, Amount::base);
            (contents.received, contents.removed) = (row.received, row.removed);
            contents.unexplained = row.unexplained;
            contents.counted_full = said(COUNTED_FULL);
            contents.only_solvent = said(ONLY_SOLVENT);
            contents.filled = day;
            contents.last_used = row.until.map(|when| when.day());
            contents.entries = row.number.and_then(|n| u32::try_from(n).ok()).unwrap_or(0);
            contents.touched = [Some(row.at), None, None];
            contents.lots.clear();
            contents.cloth.clear();
        }
        Carried::Lot => contents.lots.push(row.with.to_string()),
        Carried::PouredIn => contents.also.extend(product(row, products, problems)),
        Carried::Test => {
            let result = word(row, &RESULTS, row.state, problems);
            if let (Some(day), Some(test), Some(result)) = (day, test_named(row.with), result) {
                contents.trial = Some(Trial {
                    day,
                    test,
                    minutes: row.minutes,
                    result,
                    at: row.at,
                });
            }
        }
        Carried::Gap | Carried::Short => {
            if let (Some(day), Some(expected), Some(counted)) = (day, row.amount, row.other) {
                let gap = CountGap {
                    day,
                    expected,
                    counted,
                    at: row.at,
                };
                if row.what == Carried::Gap {
                    contents.gap = Some(gap);
                } else {
                    contents.short.push(gap);
                }
            }
        }
        Carried::Overfull => {
            if let (Some(day), Some(held)) = (day, row.amount) {
                contents.overfull = Some(Overfull {
                    day,
                    held,
                    at: row.at,
                });
            }
        }
        Carried::Rags => contents.cloth.extend(batch(row, row.state, problems)),
        _ => {}
    }
}

/// What soiled the rags of the row above: of a night where the row says so, else of a parcel.
fn soiled(stock: &mut Stock, row: &ForwardRow<'_>) {
    let Some(container) = row.container else {
        return;
    };
    let batch = if row.state == Carried::Night.word() {
        let night = stock.nights.last_mut();
        night
            .filter(|n| n.container == container)
            .map(|night| &mut night.batch)
    } else {
        let contents = stock.containers.get_mut(container);
        contents.and_then(|contents| contents.cloth.last_mut())
    };
    match (batch, row.target) {
        (Some(batch), Some(soiler)) => batch.soiled_by.push(soiler),
        (Some(batch), None) => batch.soiled_by_unknown = true,
        (None, _) => {}
    }
}

fn batch(row: &ForwardRow<'_>, state: &str, problems: &mut Problems) -> Option<RagBatch> {
    Some(RagBatch {
        state: word(row, &STATES, state, problems)?,
        pieces: row.amount.map_or(Exact::ZERO, Amount::base),
        since: row.when,
        location: row.location.unwrap_or_default(),
        soiled_by: Vec::new(),
        soiled_by_unknown: false,
        at: row.at,
    })
}

fn night(stock: &mut Stock, row: &ForwardRow<'_>, problems: &mut Problems) {
    let missing = row.state.strip_prefix(MISSING);
    let Some(batch) = batch(row, missing.unwrap_or(row.state), problems) else {
        return;
    };
    let (Some(container), Some(until), Some(nights)) = (row.container, row.until, row.number)
    else {
        return;
    };
    stock.nights.push(UnsecuredNight {
        container,
        batch,
        until,
        nights: i64::try_from(nights).unwrap_or(i64::MAX),
        missing: missing.is_some(),
    });
}

fn month(
    stock: &mut Stock,
    row: &ForwardRow<'_>,
    products: &mut Products,
    problems: &mut Problems,
) {
    let Some(product) = product(row, products, problems) else {
        return;
    };
    let (Some(when), Some(amount)) = (row.when, row.amount) else {
        return;
    };
    let Some(figure) = word(row, &FIGURES, row.state, problems) else {
        return;
    };
    let base = if row.less {
        Exact::ZERO.minus(amount.base()).unwrap_or(Exact::ZERO)
    } else {
        amount.base()
    };
    if let Some(month) = stock.month_of(product, when.day().month_key(), amount) {
        *figure(month) = base;
    }
}

fn month_end(stock: &mut Stock, row: &ForwardRow<'_>) {
    let Some(month) = row.when.map(|when| when.day().month_key()) else {
        return;
    };
    if month < stock.on.month_key() - MONTHS_KEPT {
        return;
    }
    if row.container.is_none() {
        let held = match stock.month_ends.last() {
            Some(after) => after.held.clone(),
            None => stock.containers.iter().map(|h| h.amount).collect(),
        };
        stock.month_ends.push(MonthEnd { month, held });
        return;
    }
    let last = stock.month_ends.last_mut().filter(|end| end.month == month);
    let slot = row
        .container
        .and_then(|at| last.and_then(|end| end.held.get_mut(at)));
    if let Some(slot) = slot {
        *slot = row.amount;
    }
}

fn used(stock: &mut Stock, row: &ForwardRow<'_>) {
    let (Some(container), Some(when), Some(Amount::Volume(litres))) =
        (row.container, row.when, row.amount)
    else {
        return;
    };
    if when < stock.uses_since {
        return;
    }
    let by = person(row.by, &mut stock.people, MOST_PEOPLE).map(usize::from);
    stock.uses.push(Use {
        when,
        container,
        litres,
        minutes: row.minutes,
        location: row.location.unwrap_or_default(),
        by,
        at: row.at,
    });
}

fn product(
    row: &ForwardRow<'_>,
    products: &mut Products,
    problems: &mut Problems,
) -> Option<usize> {
    let found = products.at.get(row.product).copied();
    if found.is_none() && products.gone.insert(row.product.to_string()) {
        let code = Code::CarriedGone {
            kind: "product",
            name: row.product.to_string(),
        };
        problems.add(Problem::new(code, row.product_at));
    }
    found
}

fn word<T: Copy>(
    row: &ForwardRow<'_>,
    list: &[(&'static str, T)],
    read: &str,
    problems: &mut Problems,
) -> Option<T> {
    let found = list.iter().find(|(word, _)| *word == read);
    if found.is_none() {
        let code = Code::WordUnknown {
            column: "state".into(),
            read: read.to_string(),
            near: None,
            known: crate::record::words_of(list),
        };
        problems.add(Problem::new(code, row.state_at));
    }
    found.map(|(_, value)| *value)
}

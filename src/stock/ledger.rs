//! The book of each month, product by product: what came, what went, what counts found. Its sum closes to the last digit:
//! start + received + poured in − used − mixed − poured out − thrown out ± counted = end.
//!
//! Only vessels of which it is known how much they hold are in the sum. What counts found stays what it is, unexplained;
//! nothing is booked as evaporation.

use super::apply::sum;
use super::container_state::{ContainerState, CountGap, MonthUse, Stock};
use crate::quantity::{Amount, Day, Exact};
use crate::record::ShopTables;

/// So many counts of one container in a row, each below the book, are a steady loss. (A judgement, no source: one short
/// count is a slip of the pen, two may be, and a third asks for a cause.)
pub const STEADY_COUNTS: usize = 3;

/// So many short counts in a row are kept.
const MOST_KEPT: usize = 12;

/// Which way an amount went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flow {
    Received,
    Arrived,
    Used,
    Mixed,
    Poured,
    Discarded,
}

/// A product's month, reckoned up, in house units.
#[derive(Clone, Debug)]
pub struct Reckoned {
    /// The product, by position in [`Stock::products`].
    pub product: usize,
    /// What came and went.
    pub flows: MonthUse,
    /// What was held when the month began, and what the inventory or a first count wrote down in it.
    pub start: Exact,
    /// What is held at its end.
    pub end: Exact,
    /// Does the last month end with what stands there? It does, unless digits were lost on the way.
    pub closes: bool,
}

/// A container whose counts fell short of the book, one after the other.
#[derive(Clone, Debug)]
pub struct SteadyLoss {
    /// The container.
    pub container: usize,
    /// The counts, oldest first.
    pub counts: Vec<CountGap>,
    /// What they miss together.
    pub missing: Amount,
}

impl Stock {
    /// Books an amount that came into a container or went out of it.
    pub(super) fn note(&mut self, container: usize, day: Day, flow: Flow, amount: Amount) {
        let known = self
            .containers
            .get(container)
            .is_some_and(|h| h.amount.is_some());
        let Some(month) = self.month(container, day.month_key(), amount) else {
            return;
        };
        let (slot, comes) = match flow {
            Flow::Received => (&mut month.received, true),
            Flow::Arrived => (&mut month.arrived, true),
            Flow::Used => (&mut month.used, false),
            Flow::Mixed => (&mut month.mixed, false),
            Flow::Poured => (&mut month.poured, false),
            Flow::Discarded => (&mut month.discarded, false),
        };
        *slot = sum(*slot, amount);
        if !known {
            let untracked = month.untracked;
            let moved = if comes {
                untracked.minus(amount.base())
            } else {
                untracked.plus(amount.base())
            };
            month.untracked = moved.unwrap_or(untracked);
        }
    }

    /// Books what a count found beyond the book, or below it.
    pub(super) fn note_found(&mut self, container: usize, day: Day, counted: Amount, gap: Exact) {
        if let Some(month) = self.month(container, day.month_key(), counted) {
            month.unexplained = month.unexplained.plus(gap).unwrap_or(month.unexplained);
        }
    }

    /// Books the first count of a vessel of which nobody had known how much it holds.
    pub(super) fn note_first_count(&mut self, container: usize, day: Day, counted: Amount) {
        if let Some(month) = self.month(container, day.month_key(), counted) {
            month.first_counted = sum(month.first_counted, counted);
        }
    }
}

impl ContainerState {
    /// Keeps a count that differs: one below the book joins those before it, one above it ends their row.
    pub(super) fn count_was(&mut self, found: CountGap) {
        if found.counted.base() > found.expected.base() {
            self.short.clear();
            return;
        }
        if self.short.len() >= MOST_KEPT {
            self.short.remove(0);
        }
        self.short.push(found);
    }
}

/// Every product and month of which something is on record, oldest first within a product.
pub fn reckon(tables: &ShopTables, stock: &Stock) -> Vec<Reckoned> {
    let mut list = Vec::new();
    let mut of_product: Vec<Vec<usize>> = vec![Vec::new(); stock.products.len()];
    for (container, product) in stock.product_of.iter().enumerate() {
        if let Some(containers) = of_product.get_mut(*product) {
            containers.push(container);
        }
    }
    for (product, (months, containers)) in stock.used.iter().zip(&of_product).enumerate() {
        let mut kinds: Vec<Amount> = Vec::new();
        for month in months {
            if !kinds.iter().any(|kind| kind.same_kind(month.kind)) {
                kinds.push(month.kind);
            }
        }
        for kind in kinds {
            let mut mine: Vec<MonthUse> = months
                .iter()
                .filter(|m| m.kind.same_kind(kind))
                .copied()
                .collect();
            mine.sort_by_key(|month| month.month);
            list.extend(one(tables, stock, product, containers, kind, mine));
        }
    }
    list
}

/// The months of one product, of one kind of amount.
fn one(
    tables: &ShopTables,
    stock: &Stock,
    product: usize,
    containers: &[usize],
    kind: Amount,
    months: Vec<MonthUse>,
) -> Vec<Reckoned> {
    // What the inventory wrote down, and in which month; what it always held comes before all of them.
    let mut written: Vec<(i32, Exact)> = Vec::new();
    let mut held = Some(Exact::ZERO);
    for container in containers {
        let Some(row) = tables.containers.get(*container) else {
            continue;
        };
        if row.since.is_some_and(|since| since > stock.on) {
            continue;
        }
        let first = row.amount.or(row.capacity).filter(|a| a.same_kind(kind));
        if let Some(first) = first {
            let month = row.since.map_or(i32::MIN, Day::month_key);
            written.push((month, first.base()));
        }
        let now = stock.containers.get(*container).and_then(|h| h.amount);
        if let Some(now) = now.filter(|a| a.same_kind(kind)) {
            held = held.and_then(|held| held.plus(now.base()).ok());
        }
    }
    written.sort_unstable();
    let mut written = written.into_iter().peekable();
    let mut running = Some(Exact::ZERO);
    let mut list = Vec::new();
    for flows in months {
        while let Some((_, first)) = written.next_if(|(month, _)| *month <= flows.month) {
            running = running.and_then(|sum| sum.plus(first).ok());
        }
        running = running.and_then(|sum| sum.plus(flows.first_counted).ok());
        let start = running;
        running = running.and_then(|start| end_of(start, &flows));
        list.push(Reckoned {
            product,
            flows,
            start: start.unwrap_or(Exact::ZERO),
            end: running.unwrap_or(Exact::ZERO),
            closes: true,
        });
    }
    for (_, first) in written {
        running = running.and_then(|sum| sum.plus(first).ok());
    }
    let closes = running.is_some() && running == held;
    for reckoned in &mut list {
        reckoned.closes = closes;
    }
    list
}

/// What a month ends with; `None` where digits would be lost.
fn end_of(start: Exact, flows: &MonthUse) -> Option<Exact> {
    let mut end = start;
    for received in [
        flows.received,
        flows.arrived,
        flows.unexplained,
        flows.untracked,
    ] {
        end = end.plus(received).ok()?;
    }
    for removed in [flows.used, flows.mixed, flows.poured, flows.discarded] {
        end = end.minus(removed).ok()?;
    }
    Some(end)
}

/// Containers with [`STEADY_COUNTS`] short counts in a row, or more, the last of them not older than the stock.
pub fn steady_losses(stock: &Stock) -> Vec<SteadyLoss> {
    let mut list = Vec::new();
    for (container, contents) in stock.containers.iter().enumerate() {
        let counts: Vec<CountGap> = contents.short.iter().copied().filter(shows).collect();
        if counts.len() < STEADY_COUNTS {
            continue;
        }
        let missing = counts.iter().fold(Exact::ZERO, |sum, gap| {
            let missing = gap.expected.base().minus(gap.counted.base());
            missing.and_then(|missing| sum.plus(missing)).unwrap_or(sum)
        });
        let Some(first) = counts.first().copied() else {
            continue;
        };
        list.push(SteadyLoss {
            container,
            counts,
            missing: first.counted.with(missing),
        });
    }
    list
}

/// More than what a sheet rounds away: it prints four figures, and `ok` counts what it prints.
fn shows(gap: &CountGap) -> bool {
    let expected = gap.expected.base();
    let missing = expected.minus(gap.counted.base());
    let thousandfold = missing.and_then(|missing| missing.times(Exact::whole(1000)));
    thousandfold.is_ok_and(|missing| missing > expected)
}

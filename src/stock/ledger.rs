//! The book of each month, product by product: what came, what went, what counts found. Its sum closes to the last digit:
//! start + received + poured in − used − mixed − poured out − discarded ± counted = end.
//!
//! Only vessels of which it is known how much they hold are in the sum. What counts found stays what it is, unexplained;
//! nothing is booked as evaporation.

use super::container_state::CountGap;
use super::stock_state::{MonthUse, Stock};
use crate::quantity::{Amount, Day, Exact, TooFine};
use crate::record::{ContainerId, ProductId, ShopTables};

/// So many counts of one container in a row, each below the book, are a steady loss. (A judgment, no source: one short
/// count is a slip of the pen, two may be, and a third asks for a cause.)
pub const STEADY_COUNTS: usize = 3;

/// Why an amount is booked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flow {
    Received,
    Arrived,
    Used,
    Mixed,
    Poured,
    Discarded,
    /// What a count found beyond the book, or below it.
    Unexplained,
    /// The first count of a container with an unknown amount.
    FirstCounted,
}

/// A product's month, reckoned up, in house units.
#[derive(Clone, Debug)]
pub struct Reckoned {
    pub product: ProductId,
    /// What came and went.
    pub flows: MonthUse,
    /// What was held when the month began, and what the inventory or a first count wrote down in it.
    pub start: Exact,
    /// What is held at its end.
    pub end: Exact,
    /// Does the last month end with what is there? It does, unless digits were lost on the way.
    pub closes: bool,
}

/// A container whose counts fell short of the book, one after the other.
#[derive(Clone, Debug)]
pub struct SteadyLoss {
    pub container: ContainerId,
    /// The counts, oldest first.
    pub counts: Vec<CountGap>,
    /// What they miss together.
    pub missing: Amount,
}

impl Stock {
    /// Books an amount in the sums of a month. What goes out of containers with an unknown amount, less what
    /// comes in, is kept beside the sums.
    pub(super) fn book(
        &mut self,
        container: ContainerId,
        day: Day,
        flow: Flow,
        amount: Amount,
    ) -> Result<(), TooFine> {
        let known = self[container].amount.is_some();
        let month = self.month(container, day.month_key(), amount);
        let (sum, comes) = match flow {
            Flow::Received => (&mut month.received, true),
            Flow::Arrived => (&mut month.arrived, true),
            Flow::Used => (&mut month.used, false),
            Flow::Mixed => (&mut month.mixed, false),
            Flow::Poured => (&mut month.poured, false),
            Flow::Discarded => (&mut month.discarded, false),
            Flow::Unexplained => (&mut month.unexplained, true),
            Flow::FirstCounted => (&mut month.first_counted, true),
        };
        *sum = sum.plus(amount.base())?;
        if !known {
            month.untracked = if comes {
                month.untracked.minus(amount.base())?
            } else {
                month.untracked.plus(amount.base())?
            };
        }
        Ok(())
    }
}

/// Every product and month of which something is on record, oldest first within a product.
pub fn reckon(tables: &ShopTables, stock: &Stock) -> Vec<Reckoned> {
    let mut list = Vec::new();
    let mut containers: Vec<Vec<ContainerId>> = vec![Vec::new(); stock.products.len()];
    for (container, _) in ContainerId::each(&stock.containers) {
        containers[stock.product(container).index()].push(container);
    }
    for (product, (months, containers)) in stock.used.iter().zip(&containers).enumerate() {
        let mut months: Vec<&MonthUse> = months.iter().collect();
        months.sort_by_key(|month| month.month);
        while let Some(first) = months.first() {
            let kind = first.kind;
            let alike = |month: &mut &MonthUse| month.kind.same_kind(kind);
            let mine: Vec<&MonthUse> = months.extract_if(.., alike).collect();
            let held = held(tables, stock, containers, kind);
            list.extend(months_of(ProductId::at(product), &mine, held));
        }
    }
    list
}

/// What containers of a product hold of one kind of amount.
struct Held {
    /// What the inventory wrote down, and in which month; what it always held comes before all of them.
    written: Vec<(i32, Exact)>,
    /// What they hold now; `None` where digits would be lost.
    now: Option<Exact>,
}

fn held(tables: &ShopTables, stock: &Stock, containers: &[ContainerId], kind: Amount) -> Held {
    let (mut written, mut now) = (Vec::new(), Some(Exact::ZERO));
    for container in containers {
        let row = &tables[*container];
        if row.since.is_some_and(|since| since > stock.on) {
            continue;
        }
        let first = row.amount.or(row.capacity).filter(|a| a.same_kind(kind));
        if let Some(first) = first {
            let month = row.since.map_or(i32::MIN, Day::month_key);
            written.push((month, first.base()));
        }
        let amount = stock[*container].amount.filter(|a| a.same_kind(kind));
        if let Some(amount) = amount {
            now = now.and_then(|now| now.plus(amount.base()).ok());
        }
    }
    written.sort_unstable();
    Held { written, now }
}

/// The months of one product. Where digits would be lost, their sums are nothing, and do not close.
fn months_of(product: ProductId, months: &[&MonthUse], held: Held) -> Vec<Reckoned> {
    let mut written = held.written.into_iter().peekable();
    let mut running = Some(Exact::ZERO);
    let add = |sum: Option<Exact>, more: Exact| sum.and_then(|sum| sum.plus(more).ok());
    let mut list = Vec::new();
    for flows in months {
        while let Some((_, first)) = written.next_if(|(month, _)| *month <= flows.month) {
            running = add(running, first);
        }
        let start = add(running, flows.first_counted);
        running = start.and_then(|start| end_of(start, flows));
        list.push(Reckoned {
            product,
            flows: **flows,
            start: start.unwrap_or(Exact::ZERO),
            end: running.unwrap_or(Exact::ZERO),
            closes: true,
        });
    }
    let end = written.fold(running, |sum, (_, first)| add(sum, first));
    let closes = end.is_some() && end == held.now;
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
    for (container, contents) in ContainerId::each(&stock.containers) {
        let counts: Vec<CountGap> = contents.short.iter().copied().filter(shows).collect();
        let Some(first) = counts.first().filter(|_| counts.len() >= STEADY_COUNTS) else {
            continue;
        };
        // The entry that made the last of them was a problem unless all could be added, and then some of them can.
        let Ok(missing) = short_by(&counts) else {
            continue;
        };
        let missing = first.counted.with(missing);
        list.push(SteadyLoss {
            container,
            counts,
            missing,
        });
    }
    list
}

/// What counts miss together.
pub(super) fn short_by(counts: &[CountGap]) -> Result<Exact, TooFine> {
    counts.iter().try_fold(Exact::ZERO, |sum, gap| {
        let missing = gap.expected.base().minus(gap.counted.base())?;
        sum.plus(missing)
    })
}

/// More than what a sheet rounds away: it prints four figures, and `ok` counts what it prints. A difference with too many
/// digits for this is no rounding.
fn shows(gap: &CountGap) -> bool {
    let expected = gap.expected.base();
    let missing = expected.minus(gap.counted.base());
    let thousandfold = missing.and_then(|missing| missing.times(Exact::whole(1000)));
    thousandfold.map_or(true, |missing| missing > expected)
}

//! What a container holds, since when, and by which entries.

use super::rag_batch::{RagBatch, UnsecuredNight, UnsecuredYear};
use crate::quantity::{Amount, Day, Exact, Moment, Volume};
use crate::record::{Location, ProductKind, ShopTables, Vessel};
use crate::text::Span;

/// Uses longer ago than so many days are not kept for the air: a month, as the audit looks back.
const USES_KEPT_DAYS: u32 = 30;

/// The stock at one moment.
#[derive(Debug)]
pub struct Stock {
    /// The day.
    pub on: Day,
    /// The moment: the close of that day.
    pub close: Moment,
    /// One for each container of the book.
    pub containers: Vec<ContainerState>,
    /// For each product (see `product_of`), its use by month, oldest first.
    pub used: Vec<Vec<MonthUse>>,
    /// What was held when each of the last months ended, oldest first; only months after which the log goes on.
    pub month_ends: Vec<super::month_end::MonthEnd>,
    /// The names of the products, as the inventory writes them.
    pub products: Vec<String>,
    /// Position in `products` for each container.
    pub product_of: Vec<usize>,
    /// For each place, when it was last emptied, and the entry.
    pub emptied: Vec<Option<(Moment, Span)>>,
    /// Nights that rags lay wet and loose, of the last weeks.
    pub nights: Vec<UnsecuredNight>,
    /// Such nights of the last twelve months, as many as are kept: for the record of rags, not for any rule.
    pub year_nights: UnsecuredYear,
    /// Liquids used in the last weeks, in the order of the log.
    pub uses: Vec<Use>,
    /// Who did it, as logged, for those uses.
    pub people: Vec<String>,
    /// Uses from this moment on are kept, for the air.
    pub(super) uses_since: Moment,
    /// Entries replayed.
    pub entries: u64,
    /// The last entry that was replayed.
    pub last_entry: Option<Moment>,
    /// How many entries lie at or after the close, and the last of them; they count for nothing.
    pub ahead: Option<(u64, Moment)>,
}

/// One container's content.
#[derive(Clone, Debug)]
pub struct ContainerState {
    /// The day of the inventory row: no entry may lie before it.
    pub(super) since: Option<Day>,
    /// A rag or a pad.
    pub(super) is_cloth: bool,
    /// How much; `None` is not known.
    pub amount: Option<Amount>,
    /// The inventory gave no amount, so the vessel counted as full at first.
    pub counted_full: bool,
    /// What it began with, in house units.
    pub initial: Exact,
    /// What came in since.
    pub received: Exact,
    /// What went out since.
    pub removed: Exact,
    /// What counts found beyond or below that: held = began + came − went + unexplained.
    pub unexplained: Exact,
    /// Where it stands.
    pub location: Location,
    /// The day on which the first of it came into the empty vessel; `None` if it held some when the inventory began.
    pub filled: Option<Day>,
    /// The day it was opened.
    pub opened: Option<Day>,
    /// The day it was made: of a mixture, the oldest part that ages.
    pub made: Option<Day>,
    /// It holds nothing but solvent, which has no age to hand on.
    pub only_solvent: bool,
    /// Other products that were poured in since it was last empty, by position in [`Stock::products`].
    pub also: Vec<usize>,
    /// Lots of flakes that went into it.
    pub lots: Vec<String>,
    /// The last test.
    pub trial: Option<Trial>,
    /// The last count that did not agree.
    pub gap: Option<CountGap>,
    /// The last counts, where each of them found less than the book; the oldest first.
    pub short: Vec<CountGap>,
    /// The most that the log ever put in beyond what the vessel holds.
    pub overfull: Option<Overfull>,
    /// The last day anything was taken.
    pub last_used: Option<Day>,
    /// Entries that touched it.
    pub entries: u32,
    /// The last few of them.
    pub touched: [Option<Span>; 3],
    /// Rags and pads, by state.
    pub cloth: Vec<RagBatch>,
}

/// A liquid that was used, and so went into the air.
#[derive(Clone, Debug)]
pub struct Use {
    /// When the work began.
    pub when: Moment,
    /// From which container.
    pub container: usize,
    /// How much.
    pub litres: Volume,
    /// For how long, if it is logged.
    pub minutes: Option<u32>,
    /// Where: the place of the entry, else where the container stood.
    pub location: Location,
    /// Who, by position in `people`.
    pub by: Option<usize>,
    /// The entry.
    pub at: Span,
}

/// A test of a finish.
#[derive(Clone, Copy, Debug)]
pub struct Trial {
    /// The day.
    pub day: Day,
    /// Which test.
    pub test: &'static str,
    /// Minutes to dry, for the test on glass.
    pub minutes: Option<u32>,
    /// How it went.
    pub result: TrialResult,
    /// The entry.
    pub at: Span,
}

/// How a test went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrialResult {
    /// Good.
    Pass,
    /// Slow: only for jigs and sealing, and to be tested again.
    Retest,
    /// To be thrown out.
    Fail,
}

/// A count that did not agree with the book.
#[derive(Clone, Copy, Debug)]
pub struct CountGap {
    /// The day.
    pub day: Day,
    /// What the book said.
    pub expected: Amount,
    /// What was counted.
    pub counted: Amount,
    /// The entry.
    pub at: Span,
}

/// The log put more into a vessel than it holds.
#[derive(Clone, Copy, Debug)]
pub struct Overfull {
    /// The day.
    pub day: Day,
    /// What it would then have held.
    pub held: Amount,
    /// The entry.
    pub at: Span,
}

/// What became of a product in a month, in house units.
#[derive(Clone, Copy, Debug)]
pub struct MonthUse {
    /// The month, see [`Day::month_key`].
    pub month: i32,
    /// One amount of the kind that is summed.
    pub kind: Amount,
    /// Used up.
    pub used: Exact,
    /// Mixed into something else.
    pub mixed: Exact,
    /// Thrown out.
    pub discarded: Exact,
    /// Received.
    pub received: Exact,
    /// Poured in from other products.
    pub arrived: Exact,
    /// Poured out into vessels of another product, such as spent solvent; not counting what was mixed.
    pub poured: Exact,
    /// What counts found beyond the book, or below it.
    pub unexplained: Exact,
    /// What first counts found in vessels of which nobody had known how much they hold.
    pub first_counted: Exact,
    /// Went out of, less came into, vessels of which nobody knows how much they hold: booked above, but in no sum.
    pub untracked: Exact,
}

impl Stock {
    /// The stock before any entry.
    pub(super) fn first(tables: &ShopTables, close: Moment) -> Stock {
        let on = close.day_before_close();
        let mut products: Vec<String> = Vec::new();
        let mut seen: std::collections::HashMap<&str, usize> = std::collections::HashMap::new();
        let mut product_of = Vec::with_capacity(tables.containers.len());
        for container in &tables.containers {
            let at = *seen.entry(container.product.as_str()).or_insert_with(|| {
                products.push(container.product.clone());
                products.len() - 1
            });
            product_of.push(at);
        }
        let containers = tables
            .containers
            .iter()
            .zip(&tables.location)
            .zip(&tables.kinds)
            .map(|((c, location), kind)| ContainerState::first(tables, c, *location, *kind))
            .collect();
        Stock {
            on,
            close,
            containers,
            used: vec![Vec::new(); products.len()],
            month_ends: Vec::new(),
            products,
            product_of,
            emptied: vec![None; tables.places.len()],
            nights: Vec::new(),
            year_nights: UnsecuredYear::default(),
            uses: Vec::new(),
            people: Vec::new(),
            uses_since: Moment::start_of(on.back(USES_KEPT_DAYS)),
            entries: 0,
            last_entry: None,
            ahead: None,
        }
    }

    /// Is the container there on that day: known by then, and not emptied out for good?
    pub fn present(&self, tables: &ShopTables, container: usize) -> bool {
        let known = tables
            .containers
            .get(container)
            .is_some_and(|c| c.since.is_none_or(|since| since <= self.on));
        let contents = self.containers.get(container);
        known && contents.is_some_and(|h| h.amount.is_none_or(|amount| !amount.base().is_zero()))
    }

    /// The row of a month for the product of a container, made when it is not there.
    pub(super) fn month(
        &mut self,
        container: usize,
        month: i32,
        kind: Amount,
    ) -> Option<&mut MonthUse> {
        let product = *self.product_of.get(container)?;
        let list = self.used.get_mut(product)?;
        let found = list
            .iter()
            .rposition(|m| m.month == month && m.kind.same_kind(kind));
        let at = found.unwrap_or_else(|| {
            let zero = Exact::ZERO;
            let kind = kind.with(zero);
            list.push(MonthUse {
                month,
                kind,
                used: zero,
                mixed: zero,
                discarded: zero,
                received: zero,
                arrived: zero,
                poured: zero,
                unexplained: zero,
                first_counted: zero,
                untracked: zero,
            });
            list.len() - 1
        });
        list.get_mut(at)
    }
}

impl ContainerState {
    fn first(
        tables: &ShopTables,
        container: &crate::record::Container,
        location: Location,
        kind: Option<ProductKind>,
    ) -> ContainerState {
        let amount = container.amount.or(container.capacity);
        let cloth = super::rag_batch::first(tables, container, location, amount);
        ContainerState {
            since: container.since,
            is_cloth: container.vessel.is_some_and(Vessel::is_cloth),
            amount,
            counted_full: container.amount.is_none() && container.capacity.is_some(),
            initial: amount.map_or(Exact::ZERO, Amount::base),
            received: Exact::ZERO,
            removed: Exact::ZERO,
            unexplained: Exact::ZERO,
            location,
            filled: None,
            opened: container.opened,
            made: container.made,
            only_solvent: kind == Some(ProductKind::Solvent),
            also: Vec::new(),
            lots: container.lot.iter().cloned().collect(),
            trial: None,
            gap: None,
            short: Vec::new(),
            overfull: None,
            last_used: None,
            entries: 0,
            touched: [None; 3],
            cloth,
        }
    }

    /// Notes an entry that touched it.
    pub(super) fn touch(&mut self, at: Span) {
        self.entries = self.entries.saturating_add(1);
        self.touched = [Some(at), self.touched[0], self.touched[1]];
    }
}

//! The stock at a moment: every container's content, and what the log says of products, places and people.

use super::container_state::ContainerState;
use super::content::Content;
use super::rag_batch::{RagBatch, UnclearEntry, UnsecuredNight, UnsecuredYear, WetDiscard};
use super::soiling_names::SoilingNames;
use crate::quantity::{Amount, Day, Exact, Moment};
use crate::record::{ContainerId, Location, PlaceId, ProductId, ShopTables};
use crate::text::Span;
use std::collections::HashMap;
use std::ops::{Index, IndexMut};

/// Uses longer ago than so many days are not kept for the air: a month, as the audit looks back.
const USES_KEPT_DAYS: u32 = 30;

/// The stock at one moment.
#[derive(Debug)]
pub struct Stock {
    pub on: Day,
    /// The moment: the close of that day.
    pub close: Moment,
    /// One for each container of the book.
    pub containers: Vec<ContainerState>,
    /// For each product (see `product_of`), its use by month, oldest first.
    pub used: Vec<Vec<MonthUse>>,
    /// What was held when each of the last months ended, oldest first; only months after which the log goes on.
    pub month_ends: Vec<MonthEnd>,
    /// The names of the products, as the inventory writes them.
    pub products: Vec<String>,
    /// For each container, what its row says that it holds.
    product_of: Vec<ProductId>,
    /// For each place, when it was last emptied, and the entry.
    pub(super) emptied: Vec<Option<(Moment, Span)>>,
    /// Nights that rags lay wet and loose or in a can, of the last weeks.
    pub nights: Vec<UnsecuredNight>,
    /// Rags discarded while they could still self-heat, of the last weeks.
    pub wet_discards: Vec<WetDiscard>,
    /// Entries of the last weeks that could mean one batch of rags or another.
    pub unclear: Vec<UnclearEntry>,
    /// The entries that soiled rags.
    pub(super) soilings: SoilingNames,
    /// Such nights of the last twelve months, as many as are kept: for the record of rags, not for any rule.
    pub year_nights: UnsecuredYear,
    /// Liquids used in the last weeks, in the order of the log.
    pub uses: Vec<LiquidUse>,
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

/// A liquid that was used, and so went into the air.
#[derive(Clone, Debug)]
pub struct LiquidUse {
    /// When the work began.
    pub when: Moment,
    /// From which container.
    pub container: ContainerId,
    /// What that held by product on that day; `None` for nothing but its own product.
    pub content: Option<Content>,
    /// How much: by weight or by the piece too, of what gives off vapor all the same.
    pub amount: Amount,
    /// For how long, if it is logged.
    pub minutes: Option<u32>,
    /// Where: the place of the entry, else where the container stood.
    pub location: Location,
    /// The entry itself names a place outdoors, so that no room breathes it.
    pub outdoors: bool,
    /// Who, by position in `people`.
    pub by: Option<usize>,
    pub at: Span,
}

/// What each container held at the end of a month.
#[derive(Debug)]
pub struct MonthEnd {
    /// The month, see [`Day::month_key`]. It speaks for the months before it back to the one that the entry before it belongs
    /// to.
    pub month: i32,
    /// By container; `None` is unknown.
    pub held: Vec<Option<Amount>>,
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
    /// Discarded.
    pub discarded: Exact,
    /// Received.
    pub received: Exact,
    /// Poured in from other products.
    pub arrived: Exact,
    /// Poured out into vessels of another product, such as spent solvent; not counting what was mixed.
    pub poured: Exact,
    /// What counts found beyond the book, or below it.
    pub unexplained: Exact,
    /// What first counts found in containers with an unknown amount.
    pub first_counted: Exact,
    /// Amounts taken out of containers with an unknown amount, less what was put into them: booked above, but in no sum.
    pub untracked: Exact,
}

impl Stock {
    /// The stock before any entry.
    pub(super) fn first(tables: &ShopTables, close: Moment) -> Stock {
        let on = close.day_before_close();
        let mut products: Vec<String> = Vec::new();
        let mut seen: HashMap<&str, ProductId> = HashMap::new();
        let mut product_of = Vec::with_capacity(tables.containers.len());
        for container in &tables.containers {
            let at = *seen.entry(container.product.as_str()).or_insert_with(|| {
                products.push(container.product.clone());
                ProductId::at(products.len() - 1)
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
            wet_discards: Vec::new(),
            unclear: Vec::new(),
            soilings: SoilingNames::default(),
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
    pub fn present(&self, tables: &ShopTables, container: ContainerId) -> bool {
        let since = tables[container].since;
        since.is_none_or(|since| since <= self.on) && !self[container].is_empty()
    }

    /// The name of the entry that first soiled these rags, if it is in the log.
    pub fn entry_name(&self, batch: &RagBatch) -> Option<&str> {
        self.soilings.name(batch.soiled_in?)
    }

    /// The product of a container.
    pub fn product(&self, container: ContainerId) -> ProductId {
        self.product_of[container.index()]
    }

    /// What became of a product, by month, oldest first.
    pub fn used(&self, product: ProductId) -> &[MonthUse] {
        &self.used[product.index()]
    }

    /// The name of a product, as the inventory writes it.
    pub fn product_name(&self, product: ProductId) -> &str {
        &self.products[product.index()]
    }

    /// For each place that was ever emptied, when it last was, and the entry.
    pub fn all_emptied(&self) -> impl Iterator<Item = (Moment, Span)> {
        self.emptied.iter().flatten().copied()
    }

    /// When a place was last emptied, and the entry.
    pub fn emptied(&self, place: PlaceId) -> Option<(Moment, Span)> {
        self.emptied[place.index()]
    }

    /// The row of a month for the product of a container, made when it is not there.
    pub(super) fn month(
        &mut self,
        container: ContainerId,
        month: i32,
        kind: Amount,
    ) -> &mut MonthUse {
        let product = self.product(container);
        let list = &mut self.used[product.index()];
        let found = list
            .iter()
            .rposition(|m| m.month == month && m.kind.same_kind(kind));
        let at = found.unwrap_or_else(|| {
            list.push(MonthUse::nothing(month, kind));
            list.len() - 1
        });
        &mut list[at]
    }
}

impl MonthUse {
    fn nothing(month: i32, kind: Amount) -> MonthUse {
        let zero = Exact::ZERO;
        MonthUse {
            month,
            kind: kind.with(zero),
            used: zero,
            mixed: zero,
            discarded: zero,
            received: zero,
            arrived: zero,
            poured: zero,
            unexplained: zero,
            first_counted: zero,
            untracked: zero,
        }
    }
}

/// An id that is not in the inventory is a mistake of the program, and no default may hide it.
impl Index<ContainerId> for Stock {
    type Output = ContainerState;

    fn index(&self, id: ContainerId) -> &ContainerState {
        &self.containers[id.index()]
    }
}

impl IndexMut<ContainerId> for Stock {
    fn index_mut(&mut self, id: ContainerId) -> &mut ContainerState {
        &mut self.containers[id.index()]
    }
}

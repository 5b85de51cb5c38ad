//! What is stored where, and what was used by month, as rows for every format.

use crate::check::Checked;
use crate::fact::Kept;
use crate::quantity::when::date;
use crate::quantity::{Amount, Day, Exact, month_of, natural, pieces_together, unit};
use crate::record::{ContainerId, Location, ProductKind, ShopTables};
use crate::stock::{RagBatch, RagState, Stock, reckon};
use crate::text::Span;
use std::collections::HashMap;

pub struct StockRow {
    pub container: String,
    pub product: String,
    pub place: String,
    pub room: String,
    /// What is in it.
    pub amount: Option<Amount>,
    pub capacity: Option<Amount>,
    /// Days since it was made, or opened, or got here.
    pub age_days: Option<i64>,
    /// Use by, where the maker says it.
    pub best_before: Option<Day>,
    /// The last day it is good, by the maker's day or its keeping time.
    pub use_by: Option<Day>,
    /// The day from which it is to be tested before use.
    pub test_from: Option<Day>,
    /// The day of the last test, and how it went.
    pub tested: Option<String>,
    /// Rags and pads, how many in which state.
    pub cloth: Option<String>,
    /// Class by pack.
    pub class: Vec<(String, String)>,
    /// Missing or found by counts, in base units.
    pub unexplained: Exact,
    pub lot: Option<String>,
    /// It has a label.
    pub labelled: Option<bool>,
    /// Its first amount was not written down, so it counted as full.
    pub counted_full: bool,
    /// It holds waste.
    pub is_waste: bool,
    /// Its row, then its last entries.
    pub rows: Vec<Span>,
}

/// What became of a product in a month.
pub struct MonthRow {
    pub product: String,
    pub month: String,
    /// Used.
    pub used: Amount,
    /// Mixed into something.
    pub mixed: Amount,
    /// Discarded.
    pub discarded: Amount,
    /// Received.
    pub received: Amount,
    /// Held when the month began, with what the inventory or a first count wrote down in it.
    pub start: Amount,
    /// Poured in from other products.
    pub arrived: Amount,
    /// Poured out into another product's vessel.
    pub poured: Amount,
    /// Found by counts beyond the book, or below it.
    pub unexplained: Amount,
    /// Amounts taken out of containers with an unknown amount, less what was put into them.
    pub untracked: Amount,
    /// Held at its end.
    pub end: Amount,
    /// Whether start, in and out add up to the amount held.
    pub closes: bool,
}

pub(super) fn stock_rows(
    tables: &ShopTables,
    stock: &Stock,
    audit: &Checked<'_>,
    lives: &[Kept],
) -> Vec<StockRow> {
    let lives: HashMap<ContainerId, &Kept> =
        lives.iter().map(|kept| (kept.container, kept)).collect();
    let present =
        ContainerId::each(&tables.containers).filter(|(id, _)| stock.present(tables, *id));
    let rows = present.map(|(id, container)| {
        let contents = &stock[id];
        let place = contents.location.place.map(|s| &tables[s]);
        let room = contents.location.room.map(|r| &tables[r]);
        let born = contents.made.or(contents.opened).or(container.since);
        let cloth = cloth(tables, &contents.cloth);
        let class = audit.classes.iter();
        let life = lives.get(&id);
        StockRow {
            container: container.id.clone(),
            product: container.product.clone(),
            place: place.map_or_else(String::new, |s| s.id.clone()),
            room: room.map_or_else(String::new, |r| r.id.clone()),
            amount: contents.recorded(),
            capacity: container.capacity,
            age_days: born.map(|day| stock.on.since(day)),
            best_before: container.best_before,
            use_by: life.and_then(|kept| kept.use_by),
            test_from: life.and_then(|kept| kept.test_from),
            tested: contents
                .trial
                .map(|t| format!("{} {:?}", t.day, t.result).to_lowercase()),
            class: class
                // A rag has no class: the cloth has no flash point, but the finish on it may have one.
                .filter(|_| cloth.is_none())
                .filter_map(|(pack, titles)| Some((pack.clone(), titles[id.index()].clone()?)))
                .collect(),
            cloth,
            unexplained: contents.unexplained,
            lot: container.lot.clone(),
            labelled: container.labelled,
            counted_full: contents.counted_full,
            is_waste: tables.kind(id) == Some(ProductKind::Waste),
            rows: std::iter::once(container.at)
                .chain(contents.touched.into_iter().flatten())
                .collect(),
        }
    });
    rows.collect()
}

/// `2 wet and loose at bench, 18 clean`, for rags and pads.
fn cloth(tables: &ShopTables, batches: &[RagBatch]) -> Option<String> {
    let others = [
        RagState::InCan,
        RagState::UnderWater,
        RagState::Flat,
        RagState::InJar,
        RagState::Dry,
        RagState::Clean,
    ];
    let total = |state| {
        let of = batches.iter().filter(|p| p.state == state);
        pieces_together(of.map(|batch| batch.pieces))
    };
    let mut wet: Vec<(&str, Exact)> = Vec::new();
    for batch in batches.iter().filter(|p| p.state == RagState::Wet) {
        let place = place_name(tables, batch.location).unwrap_or("an unknown place");
        match wet.iter_mut().find(|(other, _)| *other == place) {
            Some((_, sum)) => *sum = pieces_together([*sum, batch.pieces]),
            None => wet.push((place, batch.pieces)),
        }
    }
    let wet = wet.into_iter().filter(|(_, pieces)| !pieces.is_zero());
    let loose = RagState::Wet.words().state;
    let wet = wet.map(|(place, pieces)| format!("{} {loose} at {place}", pieces.digits()));
    let others = others
        .iter()
        .map(|state| (total(*state), state.words().state))
        .filter(|(pieces, _)| !pieces.is_zero())
        .map(|(pieces, word)| format!("{} {word}", pieces.digits()));
    let parts: Vec<String> = wet.chain(others).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// The name of a place, else of a room.
pub(super) fn place_name(tables: &ShopTables, location: Location) -> Option<&str> {
    let place = location.place.map(|at| &tables[at]);
    let room = location.room.map(|at| &tables[at]);
    place
        .map(|place| place.id.as_str())
        .or(room.map(|room| room.id.as_str()))
}

pub(super) fn month_rows(tables: &ShopTables, stock: &Stock) -> Vec<MonthRow> {
    let mut rows = Vec::new();
    for reckoned in reckon(tables, stock) {
        let flows = &reckoned.flows;
        let of = |base| flows.kind.with(base);
        rows.push(MonthRow {
            product: stock.product_name(reckoned.product).to_string(),
            month: month_of(flows.month),
            used: of(flows.used),
            mixed: of(flows.mixed),
            discarded: of(flows.discarded),
            received: of(flows.received),
            start: of(reckoned.start),
            arrived: of(flows.arrived),
            poured: of(flows.poured),
            unexplained: of(flows.unexplained),
            untracked: of(flows.untracked),
            end: of(reckoned.end),
            closes: reckoned.closes,
        });
    }
    rows.sort_by(|a, b| (&a.product, &a.month).cmp(&(&b.product, &b.month)));
    rows
}

impl StockRow {
    /// `11 Jul 2026 pass`: the last test as a person reads it.
    pub fn tested_words(&self) -> String {
        let tested = self.tested.as_deref().unwrap_or_default();
        match tested.split_once(' ') {
            Some((day, result)) => match Day::parse(day) {
                Ok(day) => format!("{} {result}", date(day)),
                Err(_) => tested.to_string(),
            },
            None => tested.to_string(),
        }
    }

    /// The name of its place, else of its room; empty where neither is known.
    pub fn place_or_room(&self) -> &str {
        if self.place.is_empty() {
            &self.room
        } else {
            &self.place
        }
    }

    /// Its last day, or the day from which it is to be tested.
    pub fn last_day(&self) -> Option<Day> {
        self.use_by.or(self.test_from)
    }

    /// What it holds in words; of rags, how many in which state.
    pub fn holds(&self, us: bool) -> String {
        self.cloth.clone().unwrap_or_else(|| self.amount_text(us))
    }

    /// Its amount in words.
    pub fn amount_text(&self, us: bool) -> String {
        self.amount
            .map_or_else(|| "unknown".into(), |amount| natural(amount, us))
    }
}

/// An amount as a number of this unit, with at most two decimals: 0.02 qt is about a tablespoon. An amount above zero
/// never shows as zero, and an amount of another kind is blank.
#[allow(clippy::float_arithmetic, reason = "a number for showing only")]
pub(super) fn number_in(amount: Option<Amount>, symbol: &str) -> String {
    let unit = unit::find(symbol);
    let same = unit
        .zip(amount)
        .filter(|(unit, amount)| unit.dimension == amount.dimension());
    let Some((unit, amount)) = same else {
        return String::new();
    };
    let value = amount.base().estimate() / unit.factor.estimate();
    if value > 0.0 && value < 0.005 {
        return "under 0.01".to_string();
    }
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

//! The rows of `forward.csv`: all that the replay of a closed period leaves behind and the inventory has no column for.
//! [`super::forward`] reads them back.

use super::container_state::{ContainerState, CountGap, MonthUse, Stock};
use super::forward::{COUNTED_FULL, FIGURES, MISSING, ONLY_SOLVENT, RESULTS, STATES};
use super::rag_batch::{RagBatch, UnsecuredYear};
use crate::quantity::{Amount, Day, Exact, Volume, house_symbol, month_of, to_keep};
use crate::record::{Carried, Location, ShopTables};
use crate::text::Span;

/// A row: columns by name, and their text.
type Row = Vec<(&'static str, String)>;

/// Makes rows.
pub struct Carrying<'a> {
    /// The shop.
    pub tables: &'a ShopTables,
    /// The stock at the close of the last day of the period.
    pub stock: &'a Stock,
    /// The log of the period, as it is called from now on.
    pub log: &'a str,
    /// The highest number that an entry of the period has for its name.
    pub highest: u64,
    /// What a place in the old tables is called from now on.
    pub from: &'a dyn Fn(Span) -> String,
}

impl Carrying<'_> {
    /// All rows, the books first.
    pub fn rows(&self) -> Vec<Row> {
        let stock = self.stock;
        let mut rows = vec![self.books()];
        for (at, contents) in stock.containers.iter().enumerate() {
            let since = self.tables.containers.get(at).and_then(|row| row.since);
            if since.is_none_or(|since| since <= stock.on) {
                self.container(at, contents, &mut rows);
            }
        }
        // Those of the year, and before them what counts missed longer ago.
        let year = &stock.year_nights.list;
        let old = stock.nights.iter();
        let old = old.filter(|night| !UnsecuredYear::covers(night, stock.close));
        for night in old.chain(year) {
            let missing = if night.missing { MISSING } else { "" };
            let mut row = self.batch(Carried::Night, night.container, &night.batch);
            put(&mut row, "until", night.until.to_string());
            put(&mut row, "number", night.nights.to_string());
            if let Some((_, state)) = row.iter_mut().find(|(column, _)| *column == "state") {
                state.insert_str(0, missing);
            }
            rows.push(row);
            self.soiled(night.container, &night.batch, Carried::Night, &mut rows);
        }
        for (place, emptied) in stock.emptied.iter().enumerate() {
            if let Some((when, at)) = emptied {
                let location = Location {
                    place: Some(place),
                    room: None,
                };
                let mut row = begin(Carried::Emptied);
                put(&mut row, "place", self.place(location));
                put(&mut row, "when", when.to_string());
                put(&mut row, "from", (self.from)(*at));
                rows.push(row);
            }
        }
        for (product, months) in stock.used.iter().enumerate() {
            for month in months {
                self.month(product, month, &mut rows);
            }
        }
        self.month_ends(&mut rows);
        self.uses(&mut rows);
        let follow = (rows.len() - 1).to_string();
        if let Some(books) = rows.first_mut() {
            put(books, "rows", follow);
        }
        rows
    }

    fn books(&self) -> Row {
        let mut row = begin(Carried::Books);
        put(&mut row, "when", self.stock.on.to_string());
        let last = self.stock.last_entry;
        put(
            &mut row,
            "until",
            last.map_or_else(String::new, |last| last.to_string()),
        );
        put(&mut row, "highest", self.highest.to_string());
        put(&mut row, "number", self.stock.entries.to_string());
        put(&mut row, "with", self.log.to_string());
        row
    }

    fn container(&self, at: usize, contents: &ContainerState, rows: &mut Vec<Row>) {
        let kind = contents.amount.or(contents.written);
        let total = |exact: Exact| match kind {
            Some(kind) if !exact.is_zero() => signed(kind.with(exact)),
            Some(_) | None => String::new(),
        };
        let mut row = self.begin(Carried::Vessel, at);
        put(&mut row, "place", self.place(contents.location));
        let held = contents.amount.map(|held| self.keep(held));
        put(&mut row, "held", held.unwrap_or_default());
        put(&mut row, "when", day(contents.filled));
        put(&mut row, "until", day(contents.last_used));
        put(
            &mut row,
            "amount",
            contents.written.map_or_else(String::new, |a| self.keep(a)),
        );
        let initial = contents.written.map_or(Exact::ZERO, Amount::base);
        if contents.initial != initial {
            put(&mut row, "other", total(contents.initial));
        }
        put(&mut row, "came", total(contents.received));
        put(&mut row, "went", total(contents.removed));
        put(&mut row, "unexplained", total(contents.unexplained));
        let flags = [
            (contents.counted_full, COUNTED_FULL),
            (contents.only_solvent, ONLY_SOLVENT),
        ];
        let flags: Vec<&str> = flags
            .into_iter()
            .filter(|(set, _)| *set)
            .map(|(_, f)| f)
            .collect();
        put(&mut row, "state", flags.join(" "));
        put(&mut row, "number", contents.entries.to_string());
        let last = contents.touched.iter().flatten().next();
        put(
            &mut row,
            "from",
            last.map_or_else(String::new, |at| (self.from)(*at)),
        );
        rows.push(row);
        for lot in &contents.lots {
            let mut row = self.begin(Carried::Lot, at);
            put(&mut row, "with", lot.clone());
            rows.push(row);
        }
        for product in &contents.also {
            let mut row = self.begin(Carried::PouredIn, at);
            put(&mut row, "product", self.product(*product));
            rows.push(row);
        }
        if let Some(trial) = contents.trial {
            let mut row = self.begin(Carried::Test, at);
            put(&mut row, "when", trial.day.to_string());
            put(
                &mut row,
                "minutes",
                trial.minutes.map_or_else(String::new, |n| n.to_string()),
            );
            put(&mut row, "state", word_of(&RESULTS, &trial.result));
            put(&mut row, "with", trial.test.to_string());
            put(&mut row, "from", (self.from)(trial.at));
            rows.push(row);
        }
        let gaps = contents.gap.iter().map(|gap| (Carried::Gap, gap));
        for (what, gap) in gaps.chain(contents.short.iter().map(|gap| (Carried::Short, gap))) {
            rows.push(self.gap(what, at, gap));
        }
        if let Some(over) = contents.overfull {
            let mut row = self.begin(Carried::Overfull, at);
            put(&mut row, "when", over.day.to_string());
            put(&mut row, "amount", self.keep(over.held));
            put(&mut row, "from", (self.from)(over.at));
            rows.push(row);
        }
        for batch in &contents.cloth {
            rows.push(self.batch(Carried::Rags, at, batch));
            self.soiled(at, batch, Carried::Rags, rows);
        }
    }

    fn gap(&self, what: Carried, container: usize, gap: &CountGap) -> Row {
        let mut row = self.begin(what, container);
        put(&mut row, "when", gap.day.to_string());
        put(&mut row, "amount", self.keep(gap.expected));
        put(&mut row, "other", self.keep(gap.counted));
        put(&mut row, "from", (self.from)(gap.at));
        row
    }

    fn batch(&self, what: Carried, container: usize, batch: &RagBatch) -> Row {
        let mut row = self.begin(what, container);
        put(&mut row, "place", self.place(batch.location));
        let since = batch.since;
        put(
            &mut row,
            "when",
            since.map_or_else(String::new, |since| since.to_string()),
        );
        put(&mut row, "amount", self.keep(Amount::Pieces(batch.pieces)));
        put(&mut row, "state", word_of(&STATES, &batch.state));
        put(&mut row, "from", (self.from)(batch.at));
        row
    }

    fn soiled(&self, container: usize, batch: &RagBatch, of: Carried, rows: &mut Vec<Row>) {
        let unknown = batch.soiled_by_unknown.then(String::new);
        let known = batch.soiled_by.iter().map(|soiler| self.id(*soiler));
        for name in known.chain(unknown) {
            let mut row = self.begin(Carried::Soiled, container);
            put(&mut row, "state", of.word().to_string());
            put(&mut row, "with", name);
            rows.push(row);
        }
    }

    /// Each figure that is not nothing; the first of them always, so that the month is known.
    fn month(&self, product: usize, month: &MonthUse, rows: &mut Vec<Row>) {
        let mut month = *month;
        for (at, (word, figure)) in FIGURES.iter().enumerate() {
            let figure = *figure(&mut month);
            if at > 0 && figure.is_zero() {
                continue;
            }
            let mut row = begin(Carried::Month);
            put(&mut row, "product", self.product(product));
            put(&mut row, "when", first_of(month.month));
            put(&mut row, "amount", signed(month.kind.with(figure)));
            put(&mut row, "state", (*word).to_string());
            rows.push(row);
        }
    }

    /// From the last month back, and of each only what differs from the one after it.
    fn month_ends(&self, rows: &mut Vec<Row>) {
        let now: Vec<Option<Amount>> = self.stock.containers.iter().map(|h| h.amount).collect();
        let mut after = &now;
        for end in self.stock.month_ends.iter().rev() {
            let mut row = begin(Carried::MonthEnd);
            put(&mut row, "when", first_of(end.month));
            rows.push(row);
            for (at, (held, later)) in end.held.iter().zip(after).enumerate() {
                if held != later {
                    let mut row = self.begin(Carried::MonthEnd, at);
                    put(&mut row, "when", first_of(end.month));
                    put(
                        &mut row,
                        "amount",
                        held.map_or_else(String::new, |a| self.keep(a)),
                    );
                    rows.push(row);
                }
            }
            after = &end.held;
        }
    }

    fn uses(&self, rows: &mut Vec<Row>) {
        for used in &self.stock.uses {
            let mut row = self.begin(Carried::Use, used.container);
            put(&mut row, "place", self.place(used.location));
            put(&mut row, "when", used.when.to_string());
            put(
                &mut row,
                "amount",
                self.keep(Amount::Volume(Volume::of(used.litres.base()))),
            );
            put(
                &mut row,
                "minutes",
                used.minutes.map_or_else(String::new, |n| n.to_string()),
            );
            let by = used.by.and_then(|by| self.stock.people.get(by));
            put(&mut row, "by", by.cloned().unwrap_or_default());
            put(&mut row, "from", (self.from)(used.at));
            rows.push(row);
        }
    }

    fn begin(&self, what: Carried, container: usize) -> Row {
        let mut row = begin(what);
        put(&mut row, "container", self.id(container));
        row
    }

    fn id(&self, container: usize) -> String {
        super::apply::id(self.tables, container)
    }

    fn product(&self, at: usize) -> String {
        self.stock.products.get(at).cloned().unwrap_or_default()
    }

    fn place(&self, location: Location) -> String {
        place_name(self.tables, location)
    }

    fn keep(&self, amount: Amount) -> String {
        to_keep(amount, self.tables.shop.us)
    }
}

/// The name by which a table says where something stands; empty is not known.
pub fn place_name(tables: &ShopTables, location: Location) -> String {
    let place = location.place.and_then(|place| tables.places.get(place));
    let room = location.room.and_then(|room| tables.rooms.get(room));
    place
        .map(|place| place.id.clone())
        .or_else(|| room.map(|room| room.id.clone()))
        .unwrap_or_default()
}

fn begin(what: Carried) -> Row {
    vec![("what", what.word().to_string())]
}

fn put(row: &mut Row, column: &'static str, text: String) {
    if !text.is_empty() {
        row.push((column, text));
    }
}

fn day(day: Option<Day>) -> String {
    day.map_or_else(String::new, |day| day.to_string())
}

fn first_of(month: i32) -> String {
    format!("{}-01", month_of(month))
}

/// To the last digit, in the house unit, with a minus where it is below nothing.
fn signed(amount: Amount) -> String {
    format!("{} {}", amount.base().digits(), house_symbol(amount))
}

fn word_of<T: PartialEq>(list: &[(&'static str, T)], value: &T) -> String {
    let found = list.iter().find(|(_, known)| known == value);
    found.map_or_else(String::new, |(word, _)| (*word).to_string())
}

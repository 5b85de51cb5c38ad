//! What runs low: how long the stock lasts at the rate of the last months, and how much may be bought before a storage
//! limit is passed or before it would age out.

use super::may_buy::{Room, keeping, storage};
use super::table::table;
use super::wrap::fill;
use crate::fact::{Age, Hazard, Kept};
use crate::finding::Finding;
use crate::pack::Pack;
use crate::quantity::{
    Amount, Day, Exact, Period, about_ratio, at_most, month_of, natural, shared,
};
use crate::record::{ProductKind, ShopTables};
use crate::stock::{MonthUse, Stock};
use crate::text::clean;
use crate::trade::ReferenceData;
use std::fmt::Write;

/// The rate of use is that of so many whole months, or of fewer where the books are younger. (A judgement.)
const MONTHS: i32 = 3;
/// Less than so many months of stock is low where no target is set. (A judgement.)
const LOW_MONTHS: i64 = 1;

/// What the table is made from.
pub struct Supply<'a> {
    /// The tables.
    pub tables: &'a ShopTables,
    /// The stock.
    pub stock: &'a Stock,
    /// What the craft knows.
    pub reference: &'a ReferenceData,
    /// The packs.
    pub packs: Vec<&'a Pack>,
    /// What the audit found, the margins of storage among it.
    pub findings: &'a [Finding],
    /// By pack, the title of each container's class, if it is known.
    pub classes: &'a [(String, Vec<Option<String>>)],
    /// What each product is.
    pub hazards: &'a [Hazard],
    /// The containers and their days: what failed or is past its time is no supply.
    pub kept: Vec<Kept>,
}

/// The months that make the rate.
pub(super) struct Window {
    first: i32,
    last: i32,
}

impl Window {
    /// How many.
    pub(super) fn months(&self) -> Exact {
        Exact::whole(i64::from(self.last - self.first + 1))
    }
}

/// A row before it is worded.
struct Line {
    low: bool,
    /// Months left, for the order.
    left: Option<Exact>,
    cells: Vec<String>,
    notes: Vec<String>,
}

/// The rules under the table, each once, with a number.
#[derive(Default)]
struct Rules(Vec<String>);

impl Rules {
    fn number(&mut self, rule: &str) -> usize {
        let known = self.0.iter().position(|known| known == rule);
        known.unwrap_or_else(|| {
            self.0.push(rule.to_string());
            self.0.len() - 1
        }) + 1
    }
}

/// The table for the screen.
pub fn running_low(supply: &Supply<'_>, columns: usize) -> String {
    let mut lines = Vec::new();
    let mut rules = Rules::default();
    for product in 0..supply.stock.products.len() {
        lines.extend(line(supply, product, &mut rules));
    }
    lines.sort_by_key(|line| (!line.low, line.left.is_none(), line.left));
    let rows: Vec<Vec<String>> = lines.iter().map(|line| line.cells.clone()).collect();
    let head = [
        "product",
        "holds",
        "a month",
        "months left",
        "target",
        "may be bought",
    ];
    let mut text = table(&head, &rows, columns);
    text.push_str("\n\n");
    for (number, rule) in rules.0.iter().enumerate() {
        say(&mut text, rule, columns, &format!("({}) ", number + 1));
    }
    text.push('\n');
    for line in &lines {
        for note in &line.notes {
            say(&mut text, note, columns, "- ");
        }
    }
    let words = format!(
        "a month: used, mixed and poured out, of rags what was thrown out, over the last {MONTHS} whole months or as many as \
         are on record (a judgement). holds: without what failed a test or is past its time. LOW: below the target in \
         shop.toml, or without one less than {LOW_MONTHS} month left (a judgement). may be bought: before a storage limit is \
         passed where it stands now, or before it would age out; by this audit, a screening aid, so ask the local office \
         before stock grows."
    );
    text.push('\n');
    say(&mut text, &words, columns, "");
    text
}

fn say(text: &mut String, words: &str, columns: usize, lead: &str) {
    let rest = " ".repeat(lead.len());
    let _ = writeln!(text, "{}", fill(&clean(words), columns, lead, &rest));
}

/// What is held of a product, of one kind; `None` where a vessel's amount is not known, or kinds differ.
fn held(supply: &Supply<'_>, product: usize) -> Option<Amount> {
    let mut sum: Option<Amount> = None;
    let known =
        |row: &crate::record::Container| row.since.is_none_or(|since| since <= supply.stock.on);
    for ((row, contents), of) in supply
        .tables
        .containers
        .iter()
        .zip(&supply.stock.containers)
        .zip(&supply.stock.product_of)
    {
        if *of != product || !known(row) {
            continue;
        }
        let amount = contents.amount?;
        let amount = if spoiled(supply, &row.id) {
            amount.with(Exact::ZERO)
        } else {
            amount
        };
        sum = Some(match sum {
            None => amount,
            Some(sum) if sum.same_kind(amount) => sum.with(sum.base().plus(amount.base()).ok()?),
            // An empty vessel may have been given in another unit.
            Some(sum) if amount.base().is_zero() => sum,
            Some(sum) if sum.base().is_zero() => amount,
            Some(_) => return None,
        });
    }
    sum
}

/// Did it fail its test, or pass its time?
fn spoiled(supply: &Supply<'_>, id: &str) -> bool {
    let at = supply.tables.container(id);
    let mut kept = supply.kept.iter().filter(|kept| Some(kept.container) == at);
    kept.any(|kept| matches!(kept.age, Age::Failed | Age::Past))
}

fn line(supply: &Supply<'_>, product: usize, rules: &mut Rules) -> Option<Line> {
    let (tables, us) = (supply.tables, supply.tables.shop.us);
    let name = supply.stock.products.get(product)?;
    let container = supply
        .stock
        .product_of
        .iter()
        .position(|of| *of == product)?;
    if tables.kind_of(name) == Some(ProductKind::Waste) {
        return None;
    }
    let mut notes = Vec::new();
    let target = tables
        .shop
        .targets
        .iter()
        .find(|t| t.product.value == *name);
    let held = held(supply, product);
    let rate = held.and_then(|held| rate(supply, product, held));
    let month = match &rate {
        Some((used, window)) => shared(*used, window.months())
            .map_or_else(|| "not known".into(), |month| natural(month, us)),
        None => "not known".into(),
    };
    let lasts = match (held, &rate) {
        (Some(held), Some((used, window))) => held
            .base()
            .times(window.months())
            .ok()
            .and_then(|all| about_ratio(all, used.base()))
            .unwrap_or_else(|| "not known".into()),
        _ => "not known".to_string(),
    };
    let below = match (held, target) {
        (Some(held), Some(target)) if held.same_kind(target.amount) => {
            Some(held.base() < target.amount.base())
        }
        (_, Some(_)) => {
            notes.push(format!(
                "{name}: its target and its stock cannot be compared"
            ));
            None
        }
        (Some(held), None) => rate.as_ref().map(|(used, window)| {
            let all = held.base().times(window.months());
            let least = used.base().times(Exact::whole(LOW_MONTHS));
            matches!((all, least), (Ok(all), Ok(least)) if all < least)
        }),
        (None, None) => None,
    };
    let low = below == Some(true);
    let left = held.zip(rate.as_ref()).and_then(|(held, (used, window))| {
        let all = held.base().times(window.months()).ok()?;
        shared(held.with(all), used.base()).map(Amount::base)
    });
    let may = may_be_bought(supply, product, container, held, &rate, rules, &mut notes);
    if rate.is_none() && held.is_some() {
        notes.push(format!("{name}: {}", no_rate(supply, product)));
    }
    let wanted = target.map_or_else(String::new, |target| natural(target.amount, us));
    let (may, why) = may;
    Some(Line {
        low,
        left,
        cells: vec![
            name.clone(),
            held.map_or_else(|| "not known".into(), |held| natural(held, us)),
            month,
            lasts,
            match (low, wanted.is_empty()) {
                (true, true) => "LOW".into(),
                (true, false) => format!("{wanted}, LOW"),
                (false, _) => wanted,
            },
            format!("{may} {why}").trim_end().to_string(),
        ],
        notes,
    })
}

/// The months of which the rate is made: the last whole ones since the product is in the books.
fn window(supply: &Supply<'_>, product: usize) -> Option<Window> {
    let on = supply.stock.on;
    let this = on.month_key();
    let last = if on.plus(Period::Days(1)).month_key() == this {
        this - 1
    } else {
        this
    };
    let rows = supply
        .tables
        .containers
        .iter()
        .zip(&supply.stock.product_of);
    let mine = rows.filter(|(_, of)| **of == product);
    // A product of which no row says since when it is in the books is in them since its first entry.
    let since = mine.filter_map(|(row, _)| row.since).min();
    let begun = |day: Day| {
        let first = day.back(1).month_key() != day.month_key();
        day.month_key() + i32::from(!first)
    };
    let months = supply.stock.used.get(product);
    let entry = months.and_then(|list| list.iter().map(|m| m.month).min());
    let first = since.map(begun).or(entry)?.max(last - MONTHS + 1);
    (first <= last).then_some(Window { first, last })
}

/// What was used in the window; `None` where there is no whole month, or no use in it.
fn rate(supply: &Supply<'_>, product: usize, kind: Amount) -> Option<(Amount, Window)> {
    let window = window(supply, product)?;
    let mut used = Exact::ZERO;
    let rows = supply
        .tables
        .containers
        .iter()
        .zip(&supply.stock.product_of);
    let mut mine = rows.filter(|(_, of)| **of == product);
    let cloth = mine.any(|(row, _)| row.vessel.is_some_and(|vessel| vessel.is_cloth()));
    let within =
        |m: &&MonthUse| (window.first..=window.last).contains(&m.month) && m.kind.same_kind(kind);
    for month in supply.stock.used.get(product)?.iter().filter(within) {
        // Rags are used up when they are thrown out.
        let thrown = match kind {
            Amount::Pieces(_) if cloth => month.discarded,
            _ => Exact::ZERO,
        };
        for part in [month.used, month.mixed, month.poured, thrown] {
            used = used.plus(part).ok()?;
        }
    }
    (used > Exact::ZERO).then(|| (kind.with(used), window))
}

fn no_rate(supply: &Supply<'_>, product: usize) -> String {
    match window(supply, product) {
        None => "less than a whole month is on record, so its rate of use is not known".into(),
        Some(window) => format!(
            "no use is on record from {} to {}, so how long it lasts is not known",
            month_of(window.first),
            month_of(window.last)
        ),
    }
}

/// How much, and the numbers of the rules behind it.
fn may_be_bought(
    supply: &Supply<'_>,
    product: usize,
    container: usize,
    held: Option<Amount>,
    rate: &Option<(Amount, Window)>,
    rules: &mut Rules,
    notes: &mut Vec<String>,
) -> (String, String) {
    let us = supply.tables.shop.us;
    let name = supply
        .stock
        .products
        .get(product)
        .map_or("", String::as_str);
    let storage = storage(supply, product, held);
    let keeping = keeping(supply, container, held, rate);
    let mut why = String::new();
    for (what, room) in [("storage", &storage), ("keeping", &keeping)] {
        match room {
            Room::Left(_, rule) | Room::None(rule) => {
                let _ = write!(why, "({})", rules.number(rule));
            }
            Room::NotKnown(because) => notes.push(format!("{name}: {what}: {because}")),
            Room::Free => {}
        }
    }
    let may = match (&storage, &keeping) {
        (Room::None(_), _) | (_, Room::None(_)) => "none".into(),
        (Room::Left(a, _), Room::Left(b, _)) if a.same_kind(*b) => {
            at_most(if a.base() < b.base() { *a } else { *b }, us)
        }
        (Room::Left(a, _), Room::Free) | (Room::Free, Room::Left(a, _)) => at_most(*a, us),
        (Room::Free, Room::Free) => "no bound".into(),
        (Room::Left(a, _), _) | (_, Room::Left(a, _)) => {
            format!("not known; below {}", at_most(*a, us))
        }
        _ => "not known".into(),
    };
    (may, why)
}

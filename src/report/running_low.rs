//! What runs low: how long the stock lasts at the rate of the last months, and how much may be bought before a storage
//! limit is passed or before it would age out.

use super::footnotes::Footnotes;
use super::may_buy::{MayBuy, keeping, storage};
use super::screen::Screen;
use super::supply::{MONTHS, Rate, Supply};
use crate::quantity::when::month as month_name;
use crate::quantity::{Amount, Exact, about_ratio, at_most, natural, sensible, shared, shown_unit};
use crate::record::{ProductId, ProductKind};

/// Less than this many months of stock is low if no target is set. (A judgment.)
const LOW_MONTHS: i64 = 1;

/// A row before it is worded.
struct SupplyRow {
    low: bool,
    /// Months left, for the order.
    left: Option<Exact>,
    cells: Vec<String>,
}

/// What is under the table: the rules, and remarks about products.
#[derive(Default)]
struct UnderSupply {
    rules: Footnotes,
    notes: Vec<(ProductId, String)>,
}

/// The table for the screen.
pub fn running_low(supply: &Supply<'_>, columns: usize) -> String {
    let mut under = UnderSupply::default();
    let products = ProductId::each(&supply.stock.products).map(|(product, _)| product);
    let mut rows: Vec<(ProductId, SupplyRow)> = products
        .filter_map(|product| Some((product, supply.row(product, &mut under)?)))
        .collect();
    rows.sort_by_key(|(_, row)| (!row.low, row.left.is_none(), row.left));
    let cells: Vec<Vec<String>> = rows.iter().map(|(_, row)| row.cells.clone()).collect();
    let head = [
        "product",
        "holds",
        "a month",
        "months left",
        "target",
        "may be bought",
    ];
    let mut screen = Screen::new(columns);
    screen.table(&head, &cells);
    screen.gap();
    under.rules.print(&mut screen);
    screen.gap();
    for (product, _) in &rows {
        for (_, note) in under.notes.iter().filter(|(of, _)| of == product) {
            screen.item("- ", note);
        }
    }
    screen.gap();
    screen.line(format!(
        "a month: the average used, mixed, poured out or (for rags) discarded, over the last {MONTHS} whole months or as many as \
         are on record (a judgment). holds: without what has expired or failed a test. LOW: below your target \
         (`sandarac log record target`), or with no target, less than {LOW_MONTHS} month left (a judgment). may be bought: as much as fits within \
         the storage limits and can be used in time. This is a screening aid. Ask your authority before you add stock."
    ));
    screen.done()
}

/// An average with the digits that a person needs.
fn few_digits(amount: Amount, us: bool) -> String {
    match shown_unit(amount, us) {
        Some(unit) => sensible(amount.base(), unit),
        None => natural(amount, us),
    }
}

impl Supply<'_> {
    fn row(&self, product: ProductId, under: &mut UnderSupply) -> Option<SupplyRow> {
        let (tables, us) = (self.tables, self.tables.shop.us);
        let name = self.stock.product_name(product);
        if tables.kind_of(name) == Some(ProductKind::Waste) {
            return None;
        }
        self.containers(product).next()?;
        let held = self.held(product);
        let rate = held.and_then(|held| self.rate(product, held));
        let unknown = || "unknown".to_string();
        let shown = |amount: Option<Amount>| amount.map_or_else(unknown, |it| natural(it, us));
        let month = rate.and_then(|rate| shared(rate.used(), rate.months()));
        // The amount held times the months; divided by the use, it gives the months left.
        let all = held.zip(rate);
        let all = all.and_then(|(held, rate)| Some((held, held.base().times(rate.months()).ok()?)));
        let used = rate.map_or(Exact::ZERO, |rate| rate.used().base());
        let lasts = all.and_then(|(_, all)| about_ratio(all, used));
        let left = all.and_then(|(held, all)| shared(held.with(all), used));
        let target = tables.shop.targets.iter();
        let target = target
            .filter(|t| t.product.value == *name)
            .map(|t| t.amount)
            .next();
        let low = match (held, target) {
            (Some(held), Some(target)) if held.same_kind(target) => held.base() < target.base(),
            (_, Some(_)) => {
                let words = format!("{name}: its target and its stock have different units");
                under.notes.push((product, words));
                false
            }
            (_, None) => {
                let least = used.times(Exact::whole(LOW_MONTHS));
                matches!((all, least), (Some((_, all)), Ok(least)) if all < least)
            }
        };
        let may = self.may_be_bought(product, (held, rate), under);
        if rate.is_none() && held.is_some() {
            let words = format!("{name}: {}", self.no_rate(product));
            under.notes.push((product, words));
        }
        let wanted = target.map(|target| natural(target, us));
        let low_mark = low.then(|| "LOW".to_string());
        let target: Vec<String> = wanted.into_iter().chain(low_mark).collect();
        Some(SupplyRow {
            low,
            left: left.map(Amount::base),
            cells: vec![
                name.to_string(),
                shown(held),
                month.map_or_else(unknown, |month| few_digits(month, us)),
                lasts.unwrap_or_else(unknown),
                target.join(", "),
                may,
            ],
        })
    }

    fn no_rate(&self, product: ProductId) -> String {
        match self.window(product) {
            None => "less than a whole month is on record, so its rate of use is unknown".into(),
            Some((first, last)) if first == last => format!(
                "no use is on record in {}, so how long it lasts is unknown",
                month_name(first)
            ),
            Some((first, last)) => format!(
                "no use is on record from {} to {}, so how long it lasts is unknown",
                month_name(first),
                month_name(last)
            ),
        }
    }

    /// How much, and the numbers of the rules behind it.
    fn may_be_bought(
        &self,
        product: ProductId,
        (held, rate): (Option<Amount>, Option<Rate>),
        under: &mut UnderSupply,
    ) -> String {
        let us = self.tables.shop.us;
        let name = self.stock.product_name(product);
        let bounds = [
            ("storage", storage(self, product, held)),
            ("shelf life", keeping(self, product, held, rate)),
        ];
        let mut why = String::new();
        for (what, bound) in &bounds {
            match bound {
                MayBuy::Left(_, rule) | MayBuy::Nothing(rule) => why += &under.rules.number(rule),
                MayBuy::NotKnown(because) => {
                    let words = format!("{name}: {what}: {because}");
                    under.notes.push((product, words));
                }
                MayBuy::Free => {}
            }
        }
        let may = match bounds.map(|(_, bound)| bound) {
            [MayBuy::Nothing(_), _] | [_, MayBuy::Nothing(_)] => "none".into(),
            [MayBuy::Left(a, _), MayBuy::Left(b, _)] if a.same_kind(b) => {
                at_most(if a.base() < b.base() { a } else { b }, us)
            }
            [MayBuy::Left(a, _), MayBuy::Free] | [MayBuy::Free, MayBuy::Left(a, _)] => {
                at_most(a, us)
            }
            [MayBuy::Free, MayBuy::Free] => "no limit".into(),
            [MayBuy::Left(a, _), _] | [_, MayBuy::Left(a, _)] => {
                format!("unknown; below {}", at_most(a, us))
            }
            [MayBuy::NotKnown(_), _] | [_, MayBuy::NotKnown(_)] => "unknown".into(),
        };
        format!("{may} {why}").trim_end().to_string()
    }
}

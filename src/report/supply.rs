//! The supply of each product and its rate of use.

use crate::audit::Audit;
use crate::fact::{Age, Kept};
use crate::quantity::{Amount, Day, Exact, Period};
use crate::record::{Container, ContainerId, ProductId, ShopTables};
use crate::stock::{ContainerState, MonthUse, Stock};

/// The rate of use covers this many whole months, or fewer if the records are younger. (A judgment.)
pub(super) const MONTHS: i32 = 3;

/// The data of the table.
pub struct Supply<'a> {
    /// What the audit found, the margins of storage among it.
    pub(super) audit: &'a Audit<'a>,
    pub(super) tables: &'a ShopTables,
    pub(super) stock: &'a Stock,
    /// The containers and their days: what failed or has expired is no supply.
    kept: Vec<Kept>,
}

/// What was used, and in which months.
#[derive(Clone, Copy)]
pub(super) struct Rate {
    used: Amount,
    first: i32,
    last: i32,
}

impl Rate {
    /// Of how many months.
    pub(super) fn months(&self) -> Exact {
        Exact::whole(i64::from(self.last - self.first + 1))
    }

    pub(super) fn used(&self) -> Amount {
        self.used
    }
}

impl<'a> Supply<'a> {
    /// The supply of an audited shop.
    pub fn new(audit: &'a Audit<'a>) -> Supply<'a> {
        Supply {
            audit,
            tables: &audit.shop.tables,
            stock: &audit.stock,
            kept: audit.shop.shelf_lives(&audit.stock),
        }
    }

    /// The containers of a product, with what is in them.
    pub(super) fn containers(
        &self,
        product: ProductId,
    ) -> impl Iterator<Item = (&'a Container, &'a ContainerState)> {
        let rows = ContainerId::each(&self.tables.containers);
        rows.filter(move |(id, _)| self.stock.product(*id) == product)
            .map(|(id, row)| (row, &self.stock[id]))
    }

    /// The amount held of a product; `None` if the amount of a container is unknown, or kinds of amount differ.
    pub(super) fn held(&self, product: ProductId) -> Option<Amount> {
        let mut sum: Option<Amount> = None;
        for (row, contents) in self.containers(product) {
            if row.since.is_some_and(|since| since > self.stock.on) {
                continue;
            }
            let amount = contents.amount?;
            let amount = if self.is_spoiled(&row.id) {
                amount.with(Exact::ZERO)
            } else {
                amount
            };
            sum = Some(match sum {
                None => amount,
                Some(sum) if sum.same_kind(amount) => {
                    sum.with(sum.base().plus(amount.base()).ok()?)
                }
                // An empty vessel may have been given in another unit.
                Some(sum) if amount.base().is_zero() => sum,
                Some(sum) if sum.base().is_zero() => amount,
                Some(_) => return None,
            });
        }
        sum
    }

    /// Did it fail its test, or pass its time?
    fn is_spoiled(&self, id: &str) -> bool {
        let at = self.tables.container(id);
        let mut kept = self.kept.iter().filter(|kept| Some(kept.container) == at);
        kept.any(|kept| matches!(kept.age, Age::Failed | Age::Past))
    }

    /// The first and the last month of the rate: the last whole months since the product is on record.
    pub(super) fn window(&self, product: ProductId) -> Option<(i32, i32)> {
        let on = self.stock.on;
        let this = on.month_key();
        let last = if on.plus(Period::Days(1)).month_key() == this {
            this - 1
        } else {
            this
        };
        // Without a date in the inventory, a product is on record since its first entry.
        let since = self.containers(product).filter_map(|(row, _)| row.since);
        let begun = |day: Day| {
            let first = day.back(1).month_key() != day.month_key();
            day.month_key() + i32::from(!first)
        };
        let entry = self.stock.used(product).iter().map(|m| m.month).min();
        let first = since.min().map(begun).or(entry)?.max(last - MONTHS + 1);
        (first <= last).then_some((first, last))
    }

    /// The use in those months; `None` without a whole month, or without use in it.
    pub(super) fn rate(&self, product: ProductId, kind: Amount) -> Option<Rate> {
        let (first, last) = self.window(product)?;
        let mut rows = self.containers(product);
        let cloth = rows.any(|(row, _)| row.vessel.is_some_and(|vessel| vessel.is_cloth()));
        let within = |m: &&MonthUse| (first..=last).contains(&m.month) && m.kind.same_kind(kind);
        let mut used = Exact::ZERO;
        for month in self.stock.used(product).iter().filter(within) {
            // Rags are used up when they are discarded.
            let thrown = match kind {
                Amount::Pieces(_) if cloth => month.discarded,
                _ => Exact::ZERO,
            };
            for part in [month.used, month.mixed, month.poured, thrown] {
                used = used.plus(part).ok()?;
            }
        }
        let used = kind.with(used);
        (used.base() > Exact::ZERO).then_some(Rate { used, first, last })
    }
}

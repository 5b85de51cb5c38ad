//! Each product over the last twelve months: what was held when each month ended, and what was used in it.

use crate::quantity::{Amount, Exact, month_of};
use crate::record::{ContainerId, ShopTables, Vessel};
use crate::stock::{MONTHS_KEPT, MonthUse, Stock};

pub struct ProductYear {
    pub product: String,
    /// None of it, of the kind that is summed.
    pub zero: Amount,
    /// Twelve months, oldest first; the last one ends with the day.
    pub months: Vec<YearMonth>,
}

/// One month of it.
pub struct YearMonth {
    /// `2026-10`.
    pub month: String,
    /// What was held when it ended.
    pub held: HeldAtEnd,
    /// What was used in it, or mixed into something else; `None` where that has too many digits to be added up.
    pub used: Option<Amount>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeldAtEnd {
    Sum(Amount),
    /// The inventory knew no container of it yet.
    NotOnRecord,
    /// How much one of its containers held is unknown.
    NotKnown,
}

/// The years of all products of which something was held or used; rags and pads are left out, since no number of them
/// says anything.
pub(super) fn years(tables: &ShopTables, stock: &Stock) -> Vec<ProductYear> {
    let mut of_product: Vec<Vec<ContainerId>> = vec![Vec::new(); stock.products.len()];
    for (container, row) in ContainerId::each(&tables.containers) {
        if !row.vessel.is_some_and(Vessel::is_cloth) {
            of_product[stock.product(container).index()].push(container);
        }
    }
    let last = stock.on.month_key();
    let mut list = Vec::new();
    for ((product, containers), used) in stock.products.iter().zip(&of_product).zip(&stock.used) {
        for zero in kinds(stock, containers, used) {
            let month = |key: i32| YearMonth {
                month: month_of(key),
                held: held(tables, stock, containers, zero, key),
                used: used_in(used, zero, key),
            };
            let year = ProductYear {
                product: product.clone(),
                zero,
                months: (last - MONTHS_KEPT + 1..=last).map(month).collect(),
            };
            if year.months.iter().any(YearMonth::says_something) {
                list.push(year);
            }
        }
    }
    list.sort_by(|a, b| a.product.cmp(&b.product));
    list
}

/// The kinds of amount that a product is held or used in: nearly always one.
fn kinds(stock: &Stock, containers: &[ContainerId], used: &[MonthUse]) -> Vec<Amount> {
    let held = containers
        .iter()
        .filter_map(|container| stock[*container].amount);
    let mut kinds: Vec<Amount> = Vec::new();
    for amount in held.chain(used.iter().map(|month| month.kind)) {
        if !kinds.iter().any(|kind| kind.same_kind(amount)) {
            kinds.push(amount.with(Exact::ZERO));
        }
    }
    if containers.is_empty() {
        kinds.clear();
    }
    kinds
}

fn held(
    tables: &ShopTables,
    stock: &Stock,
    containers: &[ContainerId],
    zero: Amount,
    month: i32,
) -> HeldAtEnd {
    let mut sum = None;
    for container in containers {
        match stock.held_at(tables, *container, month) {
            None => {}
            Some(None) => return HeldAtEnd::NotKnown,
            Some(Some(amount)) => {
                let more = if amount.same_kind(zero) {
                    amount.base()
                } else {
                    Exact::ZERO
                };
                let Ok(total) = sum.unwrap_or(Exact::ZERO).plus(more) else {
                    return HeldAtEnd::NotKnown;
                };
                sum = Some(total);
            }
        }
    }
    sum.map_or(HeldAtEnd::NotOnRecord, |sum| HeldAtEnd::Sum(zero.with(sum)))
}

fn used_in(used: &[MonthUse], zero: Amount, month: i32) -> Option<Amount> {
    let mut found = used
        .iter()
        .filter(|m| m.month == month && m.kind.same_kind(zero));
    let total = found.try_fold(Exact::ZERO, |sum, m| sum.plus(m.used)?.plus(m.mixed));
    total.ok().map(|total| zero.with(total))
}

impl YearMonth {
    fn says_something(&self) -> bool {
        let held = match self.held {
            HeldAtEnd::Sum(amount) => !amount.base().is_zero(),
            HeldAtEnd::NotKnown => true,
            HeldAtEnd::NotOnRecord => false,
        };
        held || self.is_used()
    }

    /// Was something used in it?
    pub fn is_used(&self) -> bool {
        self.used.is_none_or(|used| !used.base().is_zero())
    }
}

impl ProductYear {
    /// In how many of the months something was used.
    pub fn months_of_use(&self) -> usize {
        self.months.iter().filter(|month| month.is_used()).count()
    }

    /// What was used in all of them; `None` where that has too many digits to be added up.
    pub fn used(&self) -> Option<Amount> {
        let mut months = self.months.iter();
        let used = months.try_fold(Exact::ZERO, |sum, month| sum.plus(month.used?.base()).ok());
        used.map(|used| self.zero.with(used))
    }
}

#[cfg(test)]
mod tests {
    use super::used_in;
    use crate::quantity::{Amount, Exact, Volume};
    use crate::stock::MonthUse;

    #[test]
    fn a_sum_with_too_many_digits_is_unknown() {
        let (zero, none) = (Amount::Volume(Volume::ZERO), Exact::ZERO);
        let month = |mixed| MonthUse {
            month: 1,
            kind: zero,
            used: Exact::whole(100),
            mixed,
            discarded: none,
            received: none,
            arrived: none,
            poured: none,
            unexplained: none,
            first_counted: none,
            untracked: none,
        };
        let used = |mixed| used_in(&[month(mixed)], zero, 1).map(Amount::base);
        assert_eq!(used(Exact::ONE), Some(Exact::whole(101)));
        assert_eq!(used(Exact::constant(1, 28)), None);
    }
}

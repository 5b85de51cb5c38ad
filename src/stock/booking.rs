//! One entry while it is applied: what it says, the stock it changes, and how amounts go in and out of containers.
//!
//! Nothing goes below zero, and no digit is lost: what cannot be kept exactly is a problem of the entry.

use super::container_state::{ContainerState, CountGap, Overfull};
use super::content::{found_more, weight};
use super::fault::StockFault;
use super::ledger::{Flow, short_by};
use super::step::Step;
use super::stock_state::Stock;
use crate::quantity::{Amount, Exact, TooFine, natural};
use crate::record::{ContainerId, ProductId, ShopTables};
use crate::text::Problem;

/// At most so many short counts in a row are kept.
const MOST_SHORT_COUNTS: usize = 12;

/// At most so many counts that did not agree are kept.
const MOST_GAPS: usize = 12;

/// Nothing, or the problem that kept an entry from being applied.
pub(super) type Booked<T = ()> = Result<T, Box<Problem>>;

/// One entry while it is applied.
pub(super) struct Booking<'a> {
    pub stock: &'a mut Stock,
    pub tables: &'a ShopTables,
    pub step: &'a Step,
}

impl Booking<'_> {
    /// A problem of this entry with a container.
    pub fn problem(&self, fault: StockFault, container: ContainerId) -> Box<Problem> {
        let see = self.tables[container].at;
        Box::new(Problem::between(fault, self.step.at, see))
    }

    /// The name of a container.
    pub fn name(&self, container: ContainerId) -> String {
        self.tables[container].id.clone()
    }

    /// A number that can be kept exactly; otherwise a problem.
    pub fn exact<T>(&self, number: Result<T, TooFine>, container: ContainerId) -> Booked<T> {
        number.map_err(|TooFine| {
            let name = self.name(container);
            self.problem(StockFault::TooFine { container: name }, container)
        })
    }

    /// Volumes go with volumes and masses with masses; otherwise a problem.
    pub fn same_kind(&self, container: ContainerId, held: Amount, given: Amount) -> Booked {
        if held.same_kind(given) {
            return Ok(());
        }
        let fault = StockFault::OtherKind {
            container: self.name(container),
            holds: held.dimension().word(),
            given: given.dimension().word(),
        };
        Err(self.problem(fault, container))
    }

    /// Books an amount in the month's sums.
    pub fn book(&mut self, container: ContainerId, flow: Flow, amount: Amount) -> Booked {
        let day = self.step.when.day();
        let booked = self.stock.book(container, day, flow, amount);
        self.exact(booked, container)
    }

    /// Takes an amount out. An unknown amount stays unknown.
    pub fn take_out(&mut self, container: ContainerId, amount: Amount) -> Booked {
        self.stock[container].last_used = Some(self.step.when.day());
        let Some(held) = self.stock[container].amount else {
            return Ok(());
        };
        self.same_kind(container, held, amount)?;
        let left = self.exact(held.base().minus(amount.base()), container)?;
        if left.is_negative() {
            let us = self.tables.shop.us;
            let fault = StockFault::TakesMore {
                container: self.name(container),
                taken: natural(amount, us),
                held: natural(held, us),
            };
            return Err(self.problem(fault, container));
        }
        let removed = self.stock[container].removed.plus(amount.base());
        let removed = self.exact(removed, container)?;
        let contents = &mut self.stock[container];
        (contents.amount, contents.removed) = (Some(held.with(left)), removed);
        Ok(())
    }

    /// Puts an amount in. An unknown amount stays unknown.
    pub fn put_in(&mut self, container: ContainerId, amount: Amount) -> Booked {
        let Some(held) = self.stock[container].amount else {
            return Ok(());
        };
        self.same_kind(container, held, amount)?;
        let full = self.exact(held.base().plus(amount.base()), container)?;
        let day = self.step.when.day();
        let contents = &mut self.stock[container];
        if held.base().is_zero() {
            contents.filled = Some(day);
        }
        contents.amount = Some(held.with(full));
        self.note_overfull(container, held.with(full));
        Ok(())
    }

    /// More than fits is no reason to refuse a record: something went unlogged, and a finding says so.
    fn note_overfull(&mut self, container: ContainerId, held: Amount) {
        let capacity = self.tables[container].capacity;
        let over = capacity.is_some_and(|size| size.same_kind(held) && held.base() > size.base());
        let contents = &mut self.stock[container];
        if over
            && contents
                .overfull
                .is_none_or(|old| held.base() > old.held.base())
        {
            contents.overfull = Some(Overfull {
                day: self.step.when.day(),
                held,
                at: self.step.at,
            });
        }
    }

    /// Sets the book amount to what was counted, and keeps the difference.
    pub fn count(&mut self, container: ContainerId, counted: Amount) -> Booked {
        let day = self.step.when.day();
        self.note_overfull(container, counted);
        let Some(expected) = self.stock[container].amount else {
            self.stock[container].amount = Some(counted);
            return self.book(container, Flow::FirstCounted, counted);
        };
        self.same_kind(container, expected, counted)?;
        if expected.base() == counted.base() {
            self.stock[container].short.clear();
            return Ok(());
        }
        let difference = counted.base().minus(expected.base());
        let difference = self.exact(difference, container)?;
        let unexplained = self.stock[container].unexplained.plus(difference);
        let unexplained = self.exact(unexplained, container)?;
        let gap = CountGap {
            day,
            expected,
            counted,
            at: self.step.at,
        };
        let own = self.stock.product(container);
        let contents = &mut self.stock[container];
        if expected.base().is_zero() {
            contents.filled = Some(day);
        }
        contents.unexplained = unexplained;
        contents.keep_gap(gap);
        contents.amount = Some(counted);
        contents.found(own, gap);
        contents.keep_short(gap);
        let short = short_by(&self.stock[container].short);
        self.exact(short, container)?;
        self.book(container, Flow::Unexplained, counted.with(difference))
    }
}

impl ContainerState {
    /// What a count found beyond the book may be any of the products in a mixture.
    fn found(&mut self, own: ProductId, gap: CountGap) {
        let more = gap.counted.base().minus(gap.expected.base());
        let Some(content) = self.content.take() else {
            return;
        };
        self.content = Some(match more {
            Ok(more) if more > Exact::ZERO => {
                let weight = weight(gap.counted.with(more), Some(gap.counted));
                found_more(&content, own, weight)
            }
            _ => content,
        });
    }

    /// Keeps a count that does not agree with those before it.
    fn keep_gap(&mut self, gap: CountGap) {
        self.gap = Some(gap);
        if self.gaps.len() >= MOST_GAPS {
            self.gaps.remove(0);
        }
        self.gaps.push(gap);
    }

    /// Keeps a count below the book amount with those before it; one above it ends their row.
    fn keep_short(&mut self, gap: CountGap) {
        if gap.counted.base() > gap.expected.base() {
            self.short.clear();
            return;
        }
        if self.short.len() >= MOST_SHORT_COUNTS {
            self.short.remove(0);
        }
        self.short.push(gap);
    }
}

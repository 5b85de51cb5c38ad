//! What a container holds, since when, and by which entries.

use super::content::{self, Content, Portion};
use super::rag_batch::{self, RagBatch};
use crate::quantity::{Amount, Day, Exact, Moment};
use crate::record::{Container, Location, ProductId, ProductKind, ShopTables, Vessel};
use crate::text::Span;

#[derive(Clone, Debug)]
pub struct ContainerState {
    /// The day of the inventory row: no entry may lie before it.
    pub(super) since: Option<Day>,
    /// A rag or a pad.
    pub(super) is_cloth: bool,
    /// When a rag was last soiled with what is in it; of rags, when one was last soiled with something that is not recorded.
    pub soiled_rags: Option<Moment>,
    /// How much; `None` is unknown.
    pub amount: Option<Amount>,
    /// The inventory gave no amount, so the vessel counted as full at first.
    pub counted_full: bool,
    /// What was taken out since the inventory, in base units.
    pub removed: Exact,
    /// What counts found beyond the book amount, or below it.
    pub unexplained: Exact,
    pub location: Location,
    /// The day on which the first of it came into the empty vessel; `None` if it held some when the inventory began.
    pub filled: Option<Day>,
    /// The day it was opened.
    pub opened: Option<Day>,
    /// The day it was made: of a mixture, the oldest part that ages.
    pub made: Option<Day>,
    /// It holds nothing but solvent, which has no age to hand on.
    pub only_solvent: bool,
    /// Other products that were poured in since it was last empty.
    pub also: Vec<ProductId>,
    /// Other products that were ever poured in: a rag that was wiped with it keeps what was on it when the vessel is emptied.
    pub ever: Vec<ProductId>,
    /// What it holds by product; `None` while it holds nothing but its own product.
    pub content: Option<Content>,
    /// Lots of flakes that went into it.
    pub lots: Vec<String>,
    pub trial: Option<Trial>,
    /// The last count that did not agree.
    pub gap: Option<CountGap>,
    /// The last counts that did not agree, the oldest first.
    pub gaps: Vec<CountGap>,
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

/// A test of a finish.
#[derive(Clone, Copy, Debug)]
pub struct Trial {
    pub day: Day,
    pub test: &'static str,
    /// Minutes to dry, for the test on glass.
    pub minutes: Option<u32>,
    pub result: TrialResult,
    pub at: Span,
}

/// How a test went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrialResult {
    /// Good.
    Pass,
    /// Slow: only for jigs and sealing, and to be tested again.
    Retest,
    /// To be discarded.
    Fail,
}

/// A count that did not agree with the book.
#[derive(Clone, Copy, Debug)]
pub struct CountGap {
    pub day: Day,
    /// What the book said.
    pub expected: Amount,
    pub counted: Amount,
    pub at: Span,
}

/// The log put more into a vessel than it holds.
#[derive(Clone, Copy, Debug)]
pub struct Overfull {
    pub day: Day,
    /// What it would then have held.
    pub held: Amount,
    pub at: Span,
}

impl ContainerState {
    /// What the inventory says of a container, before any entry.
    pub(super) fn first(
        tables: &ShopTables,
        container: &Container,
        location: Location,
        kind: Option<ProductKind>,
    ) -> ContainerState {
        let amount = container.amount.or(container.capacity);
        ContainerState {
            since: container.since,
            is_cloth: container.vessel.is_some_and(Vessel::is_cloth),
            soiled_rags: None,
            amount,
            counted_full: container.amount.is_none() && container.capacity.is_some(),
            removed: Exact::ZERO,
            unexplained: Exact::ZERO,
            location,
            filled: None,
            opened: container.opened,
            made: container.made,
            only_solvent: kind == Some(ProductKind::Solvent),
            also: Vec::new(),
            ever: Vec::new(),
            content: None,
            lots: container.lot.iter().cloned().collect(),
            trial: None,
            gap: None,
            gaps: Vec::new(),
            short: Vec::new(),
            overfull: None,
            last_used: None,
            entries: 0,
            touched: [None; 3],
            cloth: rag_batch::first(tables, container, location, amount),
        }
    }

    /// How much it holds, as far as that was ever written down: what only counts as full was not.
    pub fn recorded(&self) -> Option<Amount> {
        self.amount
            .filter(|_| !self.counted_full || self.entries > 0)
    }

    /// Is it known to hold nothing?
    pub(super) fn is_empty(&self) -> bool {
        self.amount.is_some_and(|amount| amount.base().is_zero())
    }

    /// Forgets the test, the age, the lots and the other products of what was in an empty vessel before.
    pub(super) fn forget_content(&mut self) {
        (self.trial, self.made, self.opened) = (None, None, None);
        self.lots.clear();
        self.also.clear();
        self.content = None;
    }

    /// What it holds by product, `own` being the product that its row names.
    pub(super) fn portions(&self, own: ProductId) -> Content {
        let pure = || Content::from(content::pure(own));
        self.content.clone().unwrap_or_else(pure)
    }

    /// Notes that so much of something was poured in. It is in the amount already.
    pub(super) fn blend(&mut self, own: ProductId, added: &[Portion], amount: Amount) {
        let unchanged = self.content.is_none() && content::is_pure(added, own);
        if !unchanged {
            let weight = content::weight(amount, self.amount);
            self.content = Some(content::mixed(&self.portions(own), added, weight));
        }
    }

    /// Notes an entry that touched it.
    pub(super) fn touch(&mut self, at: Span) {
        self.entries = self.entries.saturating_add(1);
        self.touched = [Some(at), self.touched[0], self.touched[1]];
    }
}

//! Batches of rags and pads: how many are in which state, where and since when. What is unknown counts as wet.

use super::rag_states::{RagPlace, RagState};
use crate::quantity::{Amount, Exact, Moment, TooFine};
use crate::record::{Container, ContainerId, Location, ProductKind, ShopTables, Vessel, What};
use crate::text::Span;
use std::collections::VecDeque;

/// Rags of one row that were soiled by one entry and are in the same state at the same place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RagBatch {
    pub state: RagState,
    pub pieces: Exact,
    /// Since when the first of them is in it; `None` is unknown.
    pub since: Option<Moment>,
    pub location: Location,
    /// Containers whose content is on them.
    pub soiled_by: Vec<ContainerId>,
    /// What is on them is not recorded.
    pub soiled_by_unknown: bool,
    /// The entry that first soiled them, by position among those that did; see [`super::Stock::entry_name`].
    pub soiled_in: Option<u32>,
    /// The entry that put them there, or the row of the inventory.
    pub at: Span,
}

impl RagBatch {
    /// Wet since an entry that soiled it. What is wet only because nothing is known of it can be soiled like a clean one.
    pub(super) fn was_used(&self) -> bool {
        self.state == RagState::Wet && self.soiled_in.is_some()
    }

    /// Can it be soiled as one that was not used yet?
    pub(super) fn is_unused(&self) -> bool {
        self.state.is_harmless() || self.state == RagState::Wet && self.soiled_in.is_none()
    }
}

/// Rags that lay wet and loose over night, or stayed in the can for oily waste.
#[derive(Clone, Debug)]
pub struct UnsecuredNight {
    /// The row of rags.
    pub container: ContainerId,
    /// The batch as it lay.
    pub batch: RagBatch,
    /// When that ended.
    pub until: Moment,
    /// Nights.
    pub nights: i64,
    /// A count found them gone, and no entry says where they went.
    pub missing: bool,
}

/// Rags that were discarded while they could still self-heat, and not as hazardous waste.
#[derive(Clone, Debug)]
pub struct WetDiscard {
    /// The row of rags.
    pub container: ContainerId,
    /// The batch as it was.
    pub batch: RagBatch,
    pub when: Moment,
    pub at: Span,
}

/// Why it is unclear what an entry about rags did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnclearWhy {
    /// It could mean one batch or another.
    WhichRags,
    /// It soils more rags than were unused, so wet ones may have been used again.
    UsedAgain,
    /// It found rags dry on the day on which they were spread.
    TooEarly,
}

/// An entry of which it is unclear what it did to rags. The most dangerous reading counts.
#[derive(Clone, Debug)]
pub struct UnclearEntry {
    /// The row of rags.
    pub container: ContainerId,
    /// Why.
    pub why: UnclearWhy,
    /// What the entry did.
    pub what: What,
    pub when: Moment,
    /// All that it could mean.
    pub could_be: Vec<RagBatch>,
    pub at: Span,
}

impl UnclearEntry {
    /// The kind of entry that can name the rags.
    pub fn clear_kind(&self) -> What {
        match self.why {
            UnclearWhy::UsedAgain => What::Soil,
            UnclearWhy::WhichRags | UnclearWhy::TooEarly => self.what,
        }
    }
}

/// At most so many nights are kept for the record; the oldest go first.
pub(super) const MOST_NIGHTS: usize = 2000;
/// For so many days.
pub(super) const NIGHTS_TOLD_DAYS: i64 = 366;

/// Nights of the last twelve months, the latest of them kept and the others counted.
#[derive(Debug, Default)]
pub struct UnsecuredYear {
    /// In the order in which they ended.
    pub list: VecDeque<UnsecuredNight>,
    /// How many more there were.
    pub left_out: usize,
}

impl UnsecuredYear {
    /// Keeps one that ended in the year before `close`.
    pub(super) fn keep(&mut self, night: &UnsecuredNight, close: Moment) {
        if close.nights_since(night.until) > NIGHTS_TOLD_DAYS {
            return;
        }
        if self.list.len() >= MOST_NIGHTS {
            self.list.pop_front();
            self.left_out += 1;
        }
        self.list.push_back(night.clone());
    }
}

/// The rags of an inventory row before any entry: clean only if the product says that nothing on it self-heats.
pub(super) fn first(
    tables: &ShopTables,
    container: &Container,
    location: Location,
    amount: Option<Amount>,
) -> Vec<RagBatch> {
    let (true, Some(Amount::Pieces(pieces))) =
        (container.vessel.is_some_and(Vessel::is_cloth), amount)
    else {
        return Vec::new();
    };
    if pieces.is_zero() {
        return Vec::new();
    }
    let pads = container.vessel == Some(Vessel::Pad);
    let there = RagPlace::find(tables, location, pads).state();
    let for_soiled = !matches!(there, RagState::Wet | RagState::InJar);
    let clean = said_clean(tables, container) && !for_soiled;
    vec![RagBatch {
        state: if clean { RagState::Clean } else { there },
        pieces,
        since: container.since.map(Moment::start_of),
        location,
        soiled_by: Vec::new(),
        soiled_by_unknown: !clean,
        soiled_in: None,
        at: container.at,
    }]
}

/// Does the shop or the built-in list say that nothing of this row can self-heat?
pub(super) fn said_clean(tables: &ShopTables, container: &Container) -> bool {
    let product = tables.product(&container.product);
    let material = tables.materials.find(&container.product);
    let kind = product
        .and_then(|p| p.kind)
        .or_else(|| material.and_then(|m| m.kind()));
    let said = tables.self_heating(&container.product);
    said == Some(false) && kind != Some(ProductKind::Waste)
}

/// How many rags these are together.
pub(super) fn count_of<'b>(
    mut batches: impl Iterator<Item = &'b RagBatch>,
) -> Result<Exact, TooFine> {
    batches.try_fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces))
}

/// More batches of a row than these are not kept apart.
const MOST_BATCHES: usize = 100;

/// Puts a batch to the others. It stays a batch of its own, with its own clock, unless it cannot be told from another. Where there
/// are very many, it joins one of the same state and place, and the older moment stays.
pub(super) fn put(batches: &mut Vec<RagBatch>, new: RagBatch) -> Result<(), TooFine> {
    let many = batches.len() >= MOST_BATCHES;
    let joins = |old: &&mut RagBatch| {
        let together = old.state == new.state && old.location == new.location;
        let same_clock = old.since == new.since && old.soiled_in == new.soiled_in;
        let same_oil =
            old.soiled_by == new.soiled_by && old.soiled_by_unknown == new.soiled_by_unknown;
        together && (many || new.state.is_harmless() || same_clock && same_oil)
    };
    let Some(old) = batches.iter_mut().find(joins) else {
        batches.push(new);
        return Ok(());
    };
    old.pieces = old.pieces.plus(new.pieces)?;
    old.since = old.since.zip(new.since).map(|(a, b)| a.min(b));
    for soiler in new.soiled_by {
        if !old.soiled_by.contains(&soiler) {
            old.soiled_by.push(soiler);
        }
    }
    old.soiled_by_unknown |= new.soiled_by_unknown;
    Ok(())
}

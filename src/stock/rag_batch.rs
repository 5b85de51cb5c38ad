//! Batches of rags and pads: how many are in which state, where and since when. What is not known counts as wet.

use super::rag_states::{RagChange, RagPlace, RagState};
use crate::quantity::{Amount, Exact, Moment, TooFine};
use crate::record::{Container, Location, ProductKind, ShopTables, Vessel};
use crate::text::Span;
use std::collections::VecDeque;

/// Rags of one row that are in the same state at the same place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RagBatch {
    /// Their state.
    pub state: RagState,
    /// How many.
    pub pieces: Exact,
    /// Since when the first of them is in it; `None` is not known.
    pub since: Option<Moment>,
    /// Where.
    pub location: Location,
    /// Containers whose content is on them.
    pub soiled_by: Vec<usize>,
    /// Something is on them that nobody wrote down.
    pub soiled_by_unknown: bool,
    /// The entry that put them there, or the row of the inventory.
    pub at: Span,
}

/// Rags that lay wet and loose over night.
#[derive(Clone, Debug)]
pub struct UnsecuredNight {
    /// The row of rags, by position.
    pub container: usize,
    /// The batch as it lay.
    pub batch: RagBatch,
    /// When that ended.
    pub until: Moment,
    /// Nights.
    pub nights: i64,
    /// A count found them gone, and nobody wrote down where to.
    pub missing: bool,
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

/// The rags of an inventory row before any entry: clean only if the product says that nothing on it heats itself.
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
        at: container.at,
    }]
}

fn said_clean(tables: &ShopTables, container: &Container) -> bool {
    let product = tables.product(&container.product);
    let material = tables.materials.find(&container.product);
    let kind = product
        .and_then(|p| p.kind)
        .or_else(|| material.and_then(|m| m.kind()));
    let said = product
        .and_then(|p| p.drying_oil)
        .or_else(|| material.and_then(|m| m.drying_oil()).map(|(yes, _)| yes));
    said == Some(false) && kind != Some(ProductKind::Waste)
}

/// Which of the rags of a row are meant: those in these states, as far as `also` says so of them.
pub(super) struct Meant<'c, F> {
    pub changes: &'c [RagChange],
    pub also: F,
}

impl<'c, F: Fn(&RagBatch) -> bool> Meant<'c, F> {
    /// How many there are.
    pub fn pieces(&self, batches: &[RagBatch]) -> Result<Exact, TooFine> {
        let meant = |batch: &&RagBatch| {
            let state = |change: &RagChange| change.from.contains(&batch.state);
            self.changes.iter().any(state) && (self.also)(batch)
        };
        let mut meant = batches.iter().filter(meant);
        meant.try_fold(Exact::ZERO, |sum, batch| sum.plus(batch.pieces))
    }

    /// Takes so many of them, in the order of the changes, each with the change that takes it.
    pub fn take(
        &self,
        batches: &mut Vec<RagBatch>,
        wanted: Exact,
    ) -> Result<Vec<(RagBatch, &'c RagChange)>, TooFine> {
        let (mut left, mut taken) = (wanted, Vec::new());
        let each = |change: &'c RagChange| change.from.iter().map(move |state| (*state, change));
        for (state, change) in self.changes.iter().flat_map(each) {
            let meant = |batch: &&mut RagBatch| batch.state == state && (self.also)(batch);
            for batch in batches.iter_mut().filter(meant) {
                let pieces = left.min(batch.pieces);
                if pieces.is_zero() {
                    continue;
                }
                left = left.minus(pieces)?;
                batch.pieces = batch.pieces.minus(pieces)?;
                let part = RagBatch {
                    pieces,
                    ..batch.clone()
                };
                taken.push((part, change));
            }
        }
        batches.retain(|batch| !batch.pieces.is_zero());
        Ok(taken)
    }
}

/// Puts a batch to the others, joining it with one of the same state and place; the older moment stays.
pub(super) fn put(batches: &mut Vec<RagBatch>, new: RagBatch) -> Result<(), TooFine> {
    let like = batches
        .iter_mut()
        .find(|old| old.state == new.state && old.location == new.location);
    let Some(old) = like else {
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

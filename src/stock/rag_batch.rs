//! Rags and pads: how many are in which state, where and since when.
//!
//! States: clean, wet, flat outdoors, under water in a lidded can, in a listed can, kept moist in the jar for pads, hard
//! and dry. What is not known counts as wet. Time alone never makes a rag dry: somebody looks, and logs a passed test.

use crate::quantity::{Amount, Exact, Moment};
use crate::record::{Container, Location, PlaceKind, ProductKind, ShopTables, Vessel};
use crate::text::Span;
use std::collections::VecDeque;

/// The state of a rag or pad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RagState {
    /// As bought.
    Clean,
    /// With finish on it, lying or hanging anywhere indoors, balled or flat.
    Wet,
    /// Spread in one layer outdoors.
    Flat,
    /// Under water in a lidded metal can.
    UnderWater,
    /// In a can for oily waste.
    InCan,
    /// A polishing pad, moist with spirit in the lidded jar for pads: the jar is a container of flammable liquid, and the
    /// pad is wet again the moment it leaves it.
    InJar,
    /// Found hard and dry.
    Dry,
}

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
    /// The parcel as it lay.
    pub batch: RagBatch,
    /// When that ended.
    pub until: Moment,
    /// Nights.
    pub nights: i64,
    /// A count found them gone, and nobody wrote down where to.
    pub missing: bool,
}

/// At most so many nights are kept for the record; the oldest go first.
const MOST_NIGHTS: usize = 2000;
/// For so many days.
const NIGHTS_TOLD_DAYS: i64 = 366;

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

/// The state that a place gives to the rags of a row that have finish on them. Only pads are kept in the jar for pads.
pub(super) fn state_at(tables: &ShopTables, container: usize, location: Location) -> RagState {
    let vessel = tables.containers.get(container).and_then(|c| c.vessel);
    place_state(tables, location, vessel == Some(Vessel::Pad))
}

fn place_state(tables: &ShopTables, location: Location, pad: bool) -> RagState {
    let Some(place) = location.place.and_then(|place| tables.places.get(place)) else {
        return RagState::Wet;
    };
    match place.kind {
        PlaceKind::Outdoors => RagState::Flat,
        // A line counts only where the shop says that it hangs outdoors, clear of the building.
        PlaceKind::DryingLine if place.listed == Some(true) => RagState::Flat,
        PlaceKind::WaterCan => RagState::UnderWater,
        PlaceKind::OilyWasteCan => RagState::InCan,
        PlaceKind::PadJar if pad => RagState::InJar,
        PlaceKind::Cabinet
        | PlaceKind::StoreRoom
        | PlaceKind::Shelf
        | PlaceKind::Bench
        | PlaceKind::Floor
        | PlaceKind::Window
        | PlaceKind::Refrigerator
        | PlaceKind::DryingLine
        | PlaceKind::PadJar => RagState::Wet,
    }
}

/// The rags of an inventory row before any entry: clean only if the product says that nothing on it heats itself.
pub(super) fn first(
    tables: &ShopTables,
    container: &Container,
    location: Location,
    amount: Option<Amount>,
) -> Vec<RagBatch> {
    if !container.vessel.is_some_and(|vessel| vessel.is_cloth()) {
        return Vec::new();
    }
    let Some(Amount::Pieces(pieces)) = amount else {
        return Vec::new();
    };
    if pieces.is_zero() {
        return Vec::new();
    }
    let there = place_state(tables, location, container.vessel == Some(Vessel::Pad));
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

/// Takes so many pieces out of parcels, in the order of states given; `None` leaves nothing behind of those states.
/// Returns what was taken, or how many there were if that is too few.
pub(super) fn take(
    batches: &mut Vec<RagBatch>,
    order: &[RagState],
    wanted: Option<Exact>,
) -> Result<Vec<RagBatch>, Exact> {
    let there = total(batches, order);
    if wanted.is_some_and(|wanted| wanted > there) || there.is_zero() {
        return Err(there);
    }
    let mut left = wanted.unwrap_or(there);
    let mut taken = Vec::new();
    for state in order {
        for batch in batches.iter_mut().filter(|p| p.state == *state) {
            let pieces = left.min(batch.pieces);
            if pieces.is_zero() {
                continue;
            }
            taken.push(RagBatch {
                pieces,
                ..batch.clone()
            });
            left = left.minus(pieces).unwrap_or(Exact::ZERO);
            batch.pieces = batch.pieces.minus(pieces).unwrap_or(Exact::ZERO);
        }
    }
    batches.retain(|batch| !batch.pieces.is_zero());
    Ok(taken)
}

fn total(batches: &[RagBatch], states: &[RagState]) -> Exact {
    batches
        .iter()
        .filter(|p| states.contains(&p.state))
        .fold(Exact::ZERO, |sum, p| sum.plus(p.pieces).unwrap_or(sum))
}

/// Puts a parcel to the others, joining it with one of the same state and place; the older moment stays.
pub(super) fn put(batches: &mut Vec<RagBatch>, new: RagBatch) {
    let like = batches
        .iter_mut()
        .find(|p| p.state == new.state && p.location == new.location);
    let Some(old) = like else {
        batches.push(new);
        return;
    };
    old.pieces = old.pieces.plus(new.pieces).unwrap_or(old.pieces);
    old.since = match (old.since, new.since) {
        (Some(a), Some(b)) => Some(a.min(b)),
        _ => None,
    };
    for soiler in new.soiled_by {
        if !old.soiled_by.contains(&soiler) {
            old.soiled_by.push(soiler);
        }
    }
    old.soiled_by_unknown |= new.soiled_by_unknown;
}

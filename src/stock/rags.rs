//! Carries out the table of `rag_states.rs`: an entry about rags goes in, their batches are changed, and the nights that rags
//! lay wet and loose are kept.

use super::booking::{Booked, Booking};
use super::container_state::TrialResult;
use super::fault::StockFault;
use super::ledger::Flow;
use super::rag_batch::{
    RagBatch, UnclearEntry, UnclearWhy, UnsecuredNight, WetDiscard, count_of, put, said_clean,
};
use super::rag_choice::{RagsWanted, TooFew};
use super::rag_states::{Effect, Fate, RagChange, RagClock, RagPlace, RagState, TakeOrder, effect};
use crate::quantity::{Amount, Exact};
use crate::record::{ContainerId, Location, RagSource, Vessel, What};
use crate::text::Problem;

/// Nights that ended longer ago than this are not kept.
const NIGHTS_KEPT_DAYS: i64 = 31;

/// Which rags of one row an entry takes, and where to.
struct Batches<'c> {
    row: ContainerId,
    wanted: RagsWanted<'c>,
}

/// Applies an entry about a row of rags or pads.
pub(super) fn on_rags(booking: &mut Booking<'_>, row: ContainerId) -> Booked {
    let step = booking.step;
    change(booking, row)?;
    if matches!(step.what, What::Soil | What::Use) {
        let soiler = step.target.unwrap_or(row);
        booking.stock[soiler].soiled_rags = Some(step.when);
    }
    Ok(())
}

fn change(booking: &mut Booking<'_>, row: ContainerId) -> Booked {
    let step = booking.step;
    let pieces = match step.amount {
        None => None,
        Some(Amount::Pieces(pieces)) => Some(pieces),
        Some(given @ (Amount::Volume(_) | Amount::Mass(_))) => {
            return booking.same_kind(row, Amount::Pieces(Exact::ZERO), given);
        }
    };
    let to = step.location().unwrap_or(booking.stock[row].location);
    let batches = |changes, order| Batches {
        row,
        wanted: RagsWanted {
            changes,
            order,
            pieces,
            from: step.from,
            to: Some(to),
        },
    };
    match effect(step.what, place(booking, row, to)) {
        Effect::Adds(state) => receive(booking, row, state),
        Effect::Takes(changes, order) => take(booking, &batches(changes, order)),
        Effect::Soils(changes) => soil(booking, &batches(changes, TakeOrder::UnusedFirst)),
        Effect::Carries(changes) => {
            take(booking, &batches(changes, TakeOrder::CarriedAsListed))?;
            if pieces.is_none() && step.from.is_none() {
                booking.stock[row].location = to;
            }
            Ok(())
        }
        Effect::Dries(changes) => {
            if step.test.map(|test| test.result) != Some(TrialResult::Pass) {
                return Ok(());
            }
            dry(booking, batches(changes, TakeOrder::LongestFirst))
        }
        Effect::Counts(changes) => count(booking, row, changes),
        Effect::WantsPlace(kind) => Err(not_a_place(booking, kind)),
        Effect::NotPoured => {
            let container = booking.name(row);
            Err(booking.problem(StockFault::NotPoured { container }, row))
        }
        // An entry that empties a can names no row, see `empty`.
        Effect::Empties | Effect::Nothing => Ok(()),
    }
}

/// Applies a test that rags passed. It is made where they are, so its place names them too.
fn dry(booking: &mut Booking<'_>, mut tested: Batches) -> Booked {
    let step = booking.step;
    tested.wanted.from = step.from.or(step.location().map(RagSource::Place));
    tested.wanted.to = None;
    let row = tested.row;
    // A test of rags that are not flat outdoors dries none.
    let flat = |batch: &RagBatch| batch.state == RagState::Flat;
    if tested.wanted.pieces.is_none() && !booking.stock[row].cloth.iter().any(flat) {
        return Ok(());
    }
    let early = early(booking, &tested);
    if early.is_empty() {
        return take(booking, &tested);
    }
    keep_unclear(booking, row, UnclearWhy::TooEarly, early);
    Ok(())
}

fn place(booking: &Booking<'_>, row: ContainerId, location: Location) -> RagPlace {
    let pads = booking.tables[row].vessel == Some(Vessel::Pad);
    RagPlace::find(booking.tables, location, pads)
}

fn receive(booking: &mut Booking<'_>, row: ContainerId, state: RagState) -> Booked {
    // An entry that receives gives an amount; reading it made sure of that.
    let Some(amount) = booking.step.amount else {
        return Ok(());
    };
    booking.put_in(row, amount)?;
    booking.book(row, Flow::Received, amount)?;
    let clean = said_clean(booking.tables, &booking.tables[row]);
    let state = match clean {
        true => state,
        // Used rags that come in are as dangerous as those that the inventory lists.
        false => place(booking, row, booking.stock[row].location).state(),
    };
    add(booking, row, state, amount.base())
}

/// Adds rags that were not there before, where the row is. What is on them is unknown, unless they are clean.
fn add(booking: &mut Booking<'_>, row: ContainerId, state: RagState, pieces: Exact) -> Booked {
    let contents = &mut booking.stock[row];
    let batch = RagBatch {
        state,
        pieces,
        since: Some(booking.step.when),
        location: contents.location,
        soiled_by: Vec::new(),
        soiled_by_unknown: !state.is_harmless(),
        soiled_in: None,
        at: booking.step.at,
    };
    let added = put(&mut contents.cloth, batch);
    booking.exact(added, row)
}

/// Soils unused rags. Where they are too few, wet ones may have been used again, or there are more than recorded: the second leaves
/// more danger open, so it counts until the entry names the wet ones. A pad is used again and again.
fn soil(booking: &mut Booking<'_>, rags: &Batches<'_>) -> Booked {
    let row = rags.row;
    let is_pad = booking.tables[row].vessel == Some(Vessel::Pad);
    let Some(pieces) = rags.wanted.pieces.filter(|_| !is_pad) else {
        return take(booking, rags);
    };
    let cloth = &booking.stock[row].cloth;
    let used = cloth.iter().filter(|batch| batch.was_used());
    let wet: Vec<RagBatch> = used.cloned().collect();
    let unused = cloth.iter().filter(|batch| batch.is_unused());
    let unused = booking.exact(count_of(unused), row)?;
    let may_be_again = booking.exact(count_of(wet.iter()), row)?;
    let more = booking.exact(pieces.minus(unused), row)?;
    if rags.wanted.from.is_some() || more <= Exact::ZERO || more > may_be_again {
        return take(booking, rags);
    }
    if !unused.is_zero() {
        let wanted = RagsWanted {
            pieces: Some(unused),
            ..rags.wanted
        };
        take(booking, &Batches { row, wanted })?;
    }
    keep_unclear(booking, row, UnclearWhy::UsedAgain, wet);
    booking.put_in(row, Amount::Pieces(more))?;
    booking.book(row, Flow::Unexplained, Amount::Pieces(more))?;
    let to = rags.wanted.to.unwrap_or_default();
    let new = RagBatch {
        state: RagState::Clean,
        pieces: more,
        since: None,
        location: to,
        soiled_by: Vec::new(),
        soiled_by_unknown: false,
        soiled_in: None,
        at: booking.step.at,
    };
    let new = changed(booking, new, RagState::Wet, RagClock::Restarts, to);
    let added = put(&mut booking.stock[row].cloth, new);
    booking.exact(added, row)
}

/// Takes rags, and makes of them what the changes say.
fn take(booking: &mut Booking<'_>, rags: &Batches<'_>) -> Booked {
    let wanted = &rags.wanted;
    let taken = wanted.take(booking.tables, &mut booking.stock[rags.row].cloth);
    let taken = match booking.exact(taken, rags.row)? {
        Ok(taken) => taken,
        Err(TooFew(there)) => return Err(too_few(booking, rags, there)),
    };
    keep_unclear(booking, rags.row, UnclearWhy::WhichRags, taken.could_be);
    for (batch, change) in taken.parts {
        keep_night(booking, rags.row, &batch, change.to);
        match change.to {
            Fate::Becomes(state) => {
                let to = wanted.to.unwrap_or(batch.location);
                let changed = changed(booking, batch, state, change.clock, to);
                let put = put(&mut booking.stock[rags.row].cloth, changed);
                booking.exact(put, rags.row)?;
            }
            Fate::ThrownOut => {
                keep_wet_discard(booking, rags.row, &batch);
                throw_out(booking, rags.row, batch.pieces)?;
            }
            Fate::Gone | Fate::Missing => {}
        }
    }
    Ok(())
}

fn too_few(booking: &Booking<'_>, rags: &Batches<'_>, there: Exact) -> Box<Problem> {
    let asked = rags.wanted.pieces;
    let fault = StockFault::RagsFew {
        container: booking.name(rags.row),
        asked: match asked {
            None => "some pieces".into(),
            Some(one) if one == Exact::ONE => "1 piece".into(),
            Some(asked) => format!("{} pieces", asked.digits()),
        },
        there: there.digits(),
    };
    booking.problem(fault, rags.row)
}

/// Did this entry happen in the time for which nights and the like are kept?
fn is_recent(booking: &Booking<'_>) -> bool {
    booking.stock.close.nights_since(booking.step.when) <= NIGHTS_KEPT_DAYS
}

/// Rags that a test means although they were spread on its very day. Oil takes days to dry, so it dries none.
fn early(booking: &Booking<'_>, tested: &Batches<'_>) -> Vec<RagBatch> {
    let today = booking.step.when.day();
    let is_early = |batch: &&RagBatch| {
        batch.state == RagState::Flat
            && batch.since.is_some_and(|since| since.day() == today)
            && tested.wanted.is_named(batch)
    };
    let cloth = booking.stock[tested.row].cloth.iter();
    cloth.filter(is_early).cloned().collect()
}

fn keep_unclear(
    booking: &mut Booking<'_>,
    row: ContainerId,
    why: UnclearWhy,
    could_be: Vec<RagBatch>,
) {
    if could_be.is_empty() || !is_recent(booking) {
        return;
    }
    booking.stock.unclear.push(UnclearEntry {
        container: row,
        why,
        what: booking.step.what,
        when: booking.step.when,
        could_be,
        at: booking.step.at,
    });
}

/// Keeps rags that go into the trash while they can still self-heat. Out of the water or out of a can they do so again; an entry that
/// empties the can says that they left the building.
fn keep_wet_discard(booking: &mut Booking<'_>, row: ContainerId, batch: &RagBatch) {
    let step = booking.step;
    if step.hazardous_waste || batch.state.is_harmless() || !is_recent(booking) {
        return;
    }
    booking.stock.wet_discards.push(WetDiscard {
        container: row,
        batch: batch.clone(),
        when: step.when,
        at: step.at,
    });
}

/// The batch as it is after the entry.
fn changed(
    booking: &Booking<'_>,
    batch: RagBatch,
    state: RagState,
    clock: RagClock,
    location: Location,
) -> RagBatch {
    let step = booking.step;
    let stays = batch.state == state && batch.location == location;
    let runs_on = stays || clock == RagClock::RunsOn;
    let was_harmless = batch.state.is_harmless();
    let mut new = RagBatch {
        state,
        since: if runs_on {
            batch.since
        } else {
            Some(step.when)
        },
        location,
        soiled_in: batch.soiled_in.or(step.soiling),
        at: step.at,
        ..batch
    };
    if state.is_harmless() {
        new.soiled_in = None;
    }
    // Only an entry that soils rags names what is on them.
    match step.target {
        _ if state.is_harmless() => {}
        Some(soiler) if new.soiled_by.contains(&soiler) => {}
        Some(soiler) => new.soiled_by.push(soiler),
        None => new.soiled_by_unknown |= was_harmless,
    }
    new
}

pub(super) fn throw_out(booking: &mut Booking<'_>, row: ContainerId, pieces: Exact) -> Booked {
    let pieces = Amount::Pieces(pieces);
    booking.take_out(row, pieces)?;
    booking.book(row, Flow::Discarded, pieces)
}

/// Keeps the nights that rags lay wet and loose or stayed in a can, now that they do so no more. Missing rags are kept whatever
/// they were.
pub(super) fn keep_night(booking: &mut Booking<'_>, row: ContainerId, batch: &RagBatch, to: Fate) {
    let until = booking.step.when;
    let nights = batch.since.map_or(0, |since| until.nights_since(since));
    let missing = to == Fate::Missing;
    let over_night = matches!(batch.state, RagState::Wet | RagState::InCan);
    let ended = over_night && to != Fate::Becomes(batch.state) && nights > 0;
    if !missing && !ended {
        return;
    }
    let night = UnsecuredNight {
        container: row,
        batch: batch.clone(),
        until,
        nights,
        missing,
    };
    let stock = &mut *booking.stock;
    stock.year_nights.keep(&night, stock.close);
    if missing || stock.close.nights_since(until) <= NIGHTS_KEPT_DAYS {
        stock.nights.push(night);
    }
}

fn count(booking: &mut Booking<'_>, row: ContainerId, changes: &[RagChange]) -> Booked {
    let contents = &booking.stock[row];
    let (location, expected) = (contents.location, contents.amount);
    let (Some(expected), Some(counted)) = (expected, booking.step.amount) else {
        // The inventory and the entry both give a number of pieces; reading them made sure of that.
        return Ok(());
    };
    booking.count(row, counted)?;
    if counted.base() > expected.base() {
        let more = booking.exact(counted.base().minus(expected.base()), row)?;
        let state = place(booking, row, location).state();
        return add(booking, row, state, more);
    }
    let missing = booking.exact(expected.base().minus(counted.base()), row)?;
    if missing.is_zero() {
        return Ok(());
    }
    let wanted = RagsWanted {
        changes,
        order: TakeOrder::AsListed,
        pieces: Some(missing),
        from: None,
        to: None,
    };
    take(booking, &Batches { row, wanted })
}

/// The problem that an entry cannot happen where it says.
pub(super) fn not_a_place(booking: &Booking<'_>, wants: &'static str) -> Box<Problem> {
    let location = booking.step.location().unwrap_or_default();
    let place = location.place.map(|place| &booking.tables[place]);
    let room = location.room.map(|room| &booking.tables[room]);
    let named = place.map(|place| &place.id).or(room.map(|room| &room.id));
    let fault = StockFault::NotAPlaceFor {
        what: booking.step.what.word(),
        place: named.cloned().unwrap_or_default(),
        wants,
    };
    let see = place.map(|place| place.at);
    Box::new(Problem::with(fault, booking.step.at, see))
}

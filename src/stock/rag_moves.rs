//! Rags on their way: put away, carried elsewhere, thrown out; and the nights they lay loose before.

use super::apply::{id, row};
use super::container_state::Stock;
use super::ledger::Flow;
use super::rag_batch::{self, RagBatch, RagState, UnsecuredNight};
use super::rags::{lose, not_a_place};
use super::step::Step;
use crate::quantity::{Amount, Exact, Moment};
use crate::record::{ShopTables, What};
use crate::stock::StockFault;
use crate::text::{Problem, Problems};

/// Nights that ended longer ago than this are not kept.
const NIGHTS_KEPT_DAYS: i64 = 31;

/// States in the order in which pieces are taken to be put away.
const TO_PUT_AWAY: [RagState; 6] = [
    RagState::Wet,
    RagState::Flat,
    RagState::UnderWater,
    RagState::InCan,
    RagState::InJar,
    RagState::Clean,
];
/// States in the order in which pieces are carried to a place where rags lie loose: the soiled ones first.
const TO_CARRY: [RagState; 7] = [
    RagState::InJar,
    RagState::InCan,
    RagState::UnderWater,
    RagState::Flat,
    RagState::Wet,
    RagState::Dry,
    RagState::Clean,
];
/// States in the order in which pieces are thrown out.
pub(super) const TO_THROW_OUT: [RagState; 6] = [
    RagState::Dry,
    RagState::UnderWater,
    RagState::InCan,
    RagState::Flat,
    RagState::InJar,
    RagState::Wet,
];

/// Moves rags. What is taken out of a can, out of the water or in from outdoors is wet and loose again.
pub(super) fn carry(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    pieces: Option<Exact>,
    problems: &mut Problems,
) {
    let Some(location) = step.location() else {
        return;
    };
    let state = rag_batch::state_at(tables, container, location);
    if state != RagState::Wet {
        shift(
            stock,
            tables,
            step,
            container,
            &TO_PUT_AWAY,
            pieces,
            Some((state, location)),
            problems,
        );
        return;
    }
    let Some(contents) = stock.containers.get_mut(container) else {
        return;
    };
    let Ok(taken) = rag_batch::take(&mut contents.cloth, &TO_CARRY, pieces) else {
        shift(
            stock, tables, step, container, &TO_CARRY, pieces, None, problems,
        );
        return;
    };
    if pieces.is_none() {
        contents.location = location;
    }
    for batch in taken {
        let loose = !matches!(batch.state, RagState::Clean | RagState::Dry);
        let was_wet = batch.state == RagState::Wet;
        let state = if loose { RagState::Wet } else { batch.state };
        let since = if loose && !was_wet {
            Some(step.when)
        } else {
            batch.since
        };
        rag_batch::put(
            &mut contents.cloth,
            RagBatch {
                state,
                since,
                location,
                at: step.at,
                ..batch
            },
        );
    }
}

pub(super) fn put_away(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    pieces: Option<Exact>,
    problems: &mut Problems,
) {
    let Some(location) = step.location() else {
        return;
    };
    let state = rag_batch::state_at(tables, container, location);
    let fits = match step.what {
        What::Bin => state == RagState::InCan,
        What::Soak => state == RagState::UnderWater,
        _ => true,
    };
    if !fits {
        let wants = if step.what == What::Bin {
            "oily-waste-can"
        } else {
            "water-can"
        };
        not_a_place(tables, step, wants, problems);
        return;
    }
    // Spread anywhere but outdoors, a rag is as wet as before.
    let state = if step.what == What::Spread && state != RagState::Flat {
        RagState::Wet
    } else {
        state
    };
    let order: &[RagState] = if pieces.is_some() {
        &TO_PUT_AWAY
    } else {
        &TO_PUT_AWAY[..5]
    };
    shift(
        stock,
        tables,
        step,
        container,
        order,
        pieces,
        Some((state, location)),
        problems,
    );
}

/// Moves pieces from some states into another one, or out of the shop.
#[allow(clippy::too_many_arguments, reason = "one place for all moves of rags")]
pub(super) fn shift(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    order: &[RagState],
    pieces: Option<Exact>,
    to: Option<(RagState, crate::record::Location)>,
    problems: &mut Problems,
) {
    let Some(contents) = stock.containers.get_mut(container) else {
        return;
    };
    let taken = match rag_batch::take(&mut contents.cloth, order, pieces) {
        Ok(taken) => taken,
        Err(there) => {
            let code = StockFault::RagsFew {
                container: id(tables, container),
                asked: pieces.map_or_else(|| "some".into(), |n| n.digits()),
                there: there.digits(),
            };
            problems.add(Problem::with(code, step.at, row(tables, container)));
            return;
        }
    };
    let mut lost = Exact::ZERO;
    for batch in taken {
        let still_wet = matches!(to, Some((RagState::Wet, _)));
        let night = night(container, &batch, step.when).filter(|_| !still_wet);
        match to {
            None => {
                lose(contents, batch.pieces);
                lost = lost.plus(batch.pieces).unwrap_or(lost);
            }
            Some((state, location)) => {
                let was_clean = matches!(batch.state, RagState::Clean | RagState::Dry);
                let mut moved = RagBatch {
                    state,
                    location,
                    at: step.at,
                    ..batch
                };
                // Wet stays wet since the first moment, and what is in a can already stays in it; else it begins anew.
                let stays = batch.state == state && batch.location == location;
                if !(stays || batch.state == RagState::Wet && state == RagState::Wet) {
                    moved.since = Some(step.when);
                }
                match step.target() {
                    Some(soiler) if step.what == What::Soil => {
                        if !moved.soiled_by.contains(&soiler) {
                            moved.soiled_by.push(soiler);
                        }
                    }
                    _ => moved.soiled_by_unknown |= was_clean,
                }
                rag_batch::put(&mut contents.cloth, moved);
            }
        }
        if let Some(night) = &night {
            stock.year_nights.keep(night, stock.close);
        }
        let recent = stock.close.nights_since(step.when) <= NIGHTS_KEPT_DAYS;
        stock.nights.extend(night.filter(|_| recent));
    }
    if !lost.is_zero() {
        let lost = Amount::Pieces(lost);
        stock.note(container, step.when.day(), Flow::Discarded, lost);
    }
}

/// The nights a parcel lay wet and loose before it was put away.
fn night(container: usize, batch: &RagBatch, until: Moment) -> Option<UnsecuredNight> {
    let since = batch.since.filter(|_| batch.state == RagState::Wet)?;
    let nights = until.nights_since(since);
    (nights > 0).then(|| UnsecuredNight {
        container,
        batch: batch.clone(),
        until,
        nights,
        missing: false,
    })
}

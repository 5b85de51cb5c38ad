//! Rags on their way: put away, carried elsewhere, thrown out; and the nights they lay loose before.

use super::apply::{id, row};
use super::cloth::{self, ClothState, Night, Parcel};
use super::holding::Stock;
use super::ledger::Flow;
use super::rags::{lose, not_a_place};
use super::step::Step;
use crate::quantity::{Amount, Exact, Moment};
use crate::record::{Book, What};
use crate::text::{Code, Problem, Problems};

/// Nights that ended longer ago than this are not kept.
const NIGHTS_KEPT_DAYS: i64 = 31;

/// States in the order in which pieces are taken to be put away.
const TO_PUT_AWAY: [ClothState; 6] = [
    ClothState::Wet,
    ClothState::Flat,
    ClothState::UnderWater,
    ClothState::InCan,
    ClothState::InJar,
    ClothState::Clean,
];
/// States in the order in which pieces are carried to a place where rags lie loose: the soiled ones first.
const TO_CARRY: [ClothState; 7] = [
    ClothState::InJar,
    ClothState::InCan,
    ClothState::UnderWater,
    ClothState::Flat,
    ClothState::Wet,
    ClothState::Dry,
    ClothState::Clean,
];
/// States in the order in which pieces are thrown out.
pub(super) const TO_THROW_OUT: [ClothState; 6] = [
    ClothState::Dry,
    ClothState::UnderWater,
    ClothState::InCan,
    ClothState::Flat,
    ClothState::InJar,
    ClothState::Wet,
];

/// Moves rags. What is taken out of a can, out of the water or in from outdoors is wet and loose again.
pub(super) fn carry(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    pieces: Option<Exact>,
    problems: &mut Problems,
) {
    let Some(stands) = step.stands() else { return };
    let state = cloth::state_at(book, container, stands);
    if state != ClothState::Wet {
        shift(
            stock,
            book,
            step,
            container,
            &TO_PUT_AWAY,
            pieces,
            Some((state, stands)),
            problems,
        );
        return;
    }
    let Some(holding) = stock.holdings.get_mut(container) else {
        return;
    };
    let Ok(taken) = cloth::take(&mut holding.cloth, &TO_CARRY, pieces) else {
        shift(
            stock, book, step, container, &TO_CARRY, pieces, None, problems,
        );
        return;
    };
    if pieces.is_none() {
        holding.stands = stands;
    }
    for parcel in taken {
        let loose = !matches!(parcel.state, ClothState::Clean | ClothState::Dry);
        let was_wet = parcel.state == ClothState::Wet;
        let state = if loose { ClothState::Wet } else { parcel.state };
        let since = if loose && !was_wet {
            Some(step.when)
        } else {
            parcel.since
        };
        cloth::put(
            &mut holding.cloth,
            Parcel {
                state,
                since,
                stands,
                at: step.at,
                ..parcel
            },
        );
    }
}

pub(super) fn put_away(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    pieces: Option<Exact>,
    problems: &mut Problems,
) {
    let Some(stands) = step.stands() else { return };
    let state = cloth::state_at(book, container, stands);
    let fits = match step.what {
        What::Bin => state == ClothState::InCan,
        What::Soak => state == ClothState::UnderWater,
        _ => true,
    };
    if !fits {
        let wants = if step.what == What::Bin {
            "oily-waste-can"
        } else {
            "water-can"
        };
        not_a_place(book, step, wants, problems);
        return;
    }
    // Spread anywhere but outdoors, a rag is as wet as before.
    let state = if step.what == What::Spread && state != ClothState::Flat {
        ClothState::Wet
    } else {
        state
    };
    let order: &[ClothState] = if pieces.is_some() {
        &TO_PUT_AWAY
    } else {
        &TO_PUT_AWAY[..5]
    };
    shift(
        stock,
        book,
        step,
        container,
        order,
        pieces,
        Some((state, stands)),
        problems,
    );
}

/// Moves pieces from some states into another one, or out of the shop.
#[allow(clippy::too_many_arguments, reason = "one place for all moves of rags")]
pub(super) fn shift(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    order: &[ClothState],
    pieces: Option<Exact>,
    to: Option<(ClothState, crate::record::Stands)>,
    problems: &mut Problems,
) {
    let Some(holding) = stock.holdings.get_mut(container) else {
        return;
    };
    let taken = match cloth::take(&mut holding.cloth, order, pieces) {
        Ok(taken) => taken,
        Err(there) => {
            let code = Code::RagsFew {
                container: id(book, container),
                asked: pieces.map_or_else(|| "some".into(), |n| n.digits()),
                there: there.digits(),
                state: "there to take",
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
            return;
        }
    };
    let mut lost = Exact::ZERO;
    for parcel in taken {
        let still_wet = matches!(to, Some((ClothState::Wet, _)));
        let night = night(container, &parcel, step.when).filter(|_| !still_wet);
        match to {
            None => {
                lose(holding, parcel.pieces);
                lost = lost.plus(parcel.pieces).unwrap_or(lost);
            }
            Some((state, stands)) => {
                let was_clean = matches!(parcel.state, ClothState::Clean | ClothState::Dry);
                let mut moved = Parcel {
                    state,
                    stands,
                    at: step.at,
                    ..parcel
                };
                // Wet stays wet since the first moment, and what is in a can already stays in it; else it begins anew.
                let stays = parcel.state == state && parcel.stands == stands;
                if !(stays || parcel.state == ClothState::Wet && state == ClothState::Wet) {
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
                cloth::put(&mut holding.cloth, moved);
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
fn night(container: usize, parcel: &Parcel, until: Moment) -> Option<Night> {
    let since = parcel.since.filter(|_| parcel.state == ClothState::Wet)?;
    let nights = until.nights_since(since);
    (nights > 0).then(|| Night {
        container,
        parcel: parcel.clone(),
        until,
        nights,
        missing: false,
    })
}

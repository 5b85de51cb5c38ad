//! What an entry does to rags and pads.

use super::apply::{count, id, put_in, row, same_kind};
use super::cloth::{self, ClothState, Night, Parcel};
use super::holding::{Holding, Stock, TrialResult};
use super::step::Step;
use crate::quantity::{Amount, Exact, Moment};
use crate::record::{Book, SiteKind, What};
use crate::text::{Code, Problem, Problems};

/// Nights that ended longer ago than this are not kept.
const NIGHTS_KEPT_DAYS: i64 = 31;

/// States in the order in which pieces are taken to be put away.
const TO_PUT_AWAY: [ClothState; 5] = [
    ClothState::Wet,
    ClothState::Flat,
    ClothState::UnderWater,
    ClothState::InCan,
    ClothState::Clean,
];
/// States in the order in which pieces are thrown out.
const TO_THROW_OUT: [ClothState; 5] = [
    ClothState::Dry,
    ClothState::UnderWater,
    ClothState::InCan,
    ClothState::Flat,
    ClothState::Wet,
];

pub(super) fn empty(stock: &mut Stock, book: &Book, step: &Step, problems: &mut Problems) {
    let Some(site) = step.stands.and_then(|s| s.site) else {
        not_a_place(book, step, "oily-waste-can or water-can", problems);
        return;
    };
    let can = book
        .sites
        .get(site)
        .is_some_and(|s| matches!(s.kind, SiteKind::OilyWasteCan | SiteKind::WaterCan));
    if !can {
        not_a_place(book, step, "oily-waste-can or water-can", problems);
        return;
    }
    if let Some(emptied) = stock.emptied.get_mut(site) {
        *emptied = Some((step.when, step.at));
    }
    for holding in &mut stock.holdings {
        let gone: Vec<Parcel> = holding
            .cloth
            .extract_if(.., |p| p.stands.site == Some(site))
            .collect();
        for parcel in &gone {
            lose(holding, parcel.pieces);
        }
    }
}

fn lose(holding: &mut Holding, pieces: Exact) {
    if let Some(Amount::Pieces(held)) = holding.amount {
        holding.amount = Some(Amount::Pieces(held.minus(pieces).unwrap_or(held)));
        holding.went = holding.went.plus(pieces).unwrap_or(holding.went);
    }
}

fn not_a_place(book: &Book, step: &Step, wants: &'static str, problems: &mut Problems) {
    let site = step
        .stands
        .and_then(|s| s.site)
        .and_then(|s| book.sites.get(s));
    let room = step
        .stands
        .and_then(|s| s.room)
        .and_then(|r| book.rooms.get(r));
    let place = site
        .map(|s| s.id.clone())
        .or_else(|| room.map(|r| r.id.clone()))
        .unwrap_or_default();
    let code = Code::NotAPlaceFor {
        what: step.what.word(),
        place,
        wants,
    };
    problems.add(Problem {
        code,
        at: step.at,
        see: site.map(|s| s.at),
    });
}

pub(super) fn on_cloth(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let pieces = match step.amount {
        None => None,
        Some(Amount::Pieces(pieces)) => Some(pieces),
        Some(given @ (Amount::Volume(_) | Amount::Mass(_))) => {
            same_kind(
                book,
                step,
                container,
                Amount::Pieces(Exact::ZERO),
                given,
                problems,
            );
            return;
        }
    };
    match step.what {
        What::Receive => {
            if let Some(amount) = step.amount
                && put_in(stock, book, step, container, amount, problems)
            {
                add_clean(stock, step, container, amount.house());
            }
        }
        What::Use | What::Soil => {
            let order = [ClothState::Clean, ClothState::Dry, ClothState::Wet];
            let to = stock
                .holdings
                .get(container)
                .map(|h| step.stands.unwrap_or(h.stands))
                .unwrap_or_default();
            shift(
                stock,
                book,
                step,
                container,
                &order,
                pieces,
                Some((ClothState::Wet, to)),
                problems,
            );
        }
        What::Spread | What::Soak | What::Bin => {
            put_away(stock, book, step, container, pieces, problems)
        }
        What::Move => {
            let Some(stands) = step.stands else { return };
            let state = cloth::state_at(book, stands);
            if state == ClothState::Wet {
                if let Some(holding) = stock.holdings.get_mut(container) {
                    holding.stands = stands;
                    for parcel in holding
                        .cloth
                        .iter_mut()
                        .filter(|p| matches!(p.state, ClothState::Clean | ClothState::Wet))
                    {
                        parcel.stands = stands;
                    }
                }
            } else {
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
            }
        }
        What::Discard => shift(
            stock,
            book,
            step,
            container,
            &TO_THROW_OUT,
            pieces,
            None,
            problems,
        ),
        What::Test => {
            let passed = step
                .trial
                .is_some_and(|(_, _, result)| result == TrialResult::Pass);
            if let Some(holding) = stock.holdings.get_mut(container).filter(|_| passed) {
                for parcel in holding
                    .cloth
                    .iter_mut()
                    .filter(|p| p.state == ClothState::Flat)
                {
                    (parcel.state, parcel.since, parcel.at) =
                        (ClothState::Dry, Some(step.when), step.at);
                }
            }
        }
        What::Count => count_cloth(stock, book, step, container, problems),
        What::Open => {}
        What::Mix | What::Decant | What::Empty | What::Correct => {
            let code = Code::OtherKind {
                container: id(book, container),
                holds: "rags or pads",
                given: "a pour",
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
        }
    }
}

fn add_clean(stock: &mut Stock, step: &Step, container: usize, pieces: Exact) {
    let Some(holding) = stock.holdings.get_mut(container) else {
        return;
    };
    let parcel = Parcel {
        state: ClothState::Clean,
        pieces,
        since: Some(step.when),
        stands: holding.stands,
        soiled_by: Vec::new(),
        soiled_by_unknown: false,
        at: step.at,
    };
    cloth::put(&mut holding.cloth, parcel);
}

/// A count of rags: fewer are taken as gone from the clean ones first; more are taken as clean.
fn count_cloth(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let before = stock.holdings.get(container).and_then(|h| h.amount);
    count(stock, book, step, container, problems);
    let (Some(Amount::Pieces(expected)), Some(Amount::Pieces(counted))) = (before, step.amount)
    else {
        return;
    };
    if counted > expected {
        add_clean(
            stock,
            step,
            container,
            counted.minus(expected).unwrap_or(Exact::ZERO),
        );
    } else if counted < expected
        && let Some(holding) = stock.holdings.get_mut(container)
    {
        let order = [
            ClothState::Clean,
            ClothState::Dry,
            ClothState::UnderWater,
            ClothState::InCan,
            ClothState::Flat,
            ClothState::Wet,
        ];
        let missing = expected.minus(counted).unwrap_or(Exact::ZERO);
        let _ = cloth::take(&mut holding.cloth, &order, Some(missing));
    }
}

fn put_away(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    pieces: Option<Exact>,
    problems: &mut Problems,
) {
    let Some(stands) = step.stands else { return };
    let state = cloth::state_at(book, stands);
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
        &TO_PUT_AWAY[..4]
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
fn shift(
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
    for parcel in taken {
        let night = night(container, &parcel, step.when);
        match to {
            None => lose(holding, parcel.pieces),
            Some((state, stands)) => {
                let was_clean = matches!(parcel.state, ClothState::Clean | ClothState::Dry);
                let mut moved = Parcel {
                    state,
                    stands,
                    at: step.at,
                    ..parcel
                };
                // Wet stays wet since the first moment; any other state begins anew.
                if !(parcel.state == ClothState::Wet && state == ClothState::Wet) {
                    moved.since = Some(step.when);
                }
                match step.target {
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
        let recent = stock.close.nights_since(step.when) <= NIGHTS_KEPT_DAYS;
        stock.nights.extend(night.filter(|_| recent));
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
    })
}

//! What an entry does to rags and pads.

use super::apply::{count, id, put_in, row, same_kind};
use super::cloth::{self, ClothState, Night, Parcel};
use super::holding::{Holding, Stock, TrialResult};
use super::ledger::Flow;
use super::rag_moves::{TO_THROW_OUT, carry, put_away, shift};
use super::step::Step;
use crate::quantity::{Amount, Exact};
use crate::record::{Book, SiteKind, What};
use crate::text::{Code, Problem, Problems};

pub(super) fn empty(stock: &mut Stock, book: &Book, step: &Step, problems: &mut Problems) {
    let Some(site) = step.stands().and_then(|s| s.site) else {
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
    let mut gone: Vec<(usize, Exact)> = Vec::new();
    for (container, holding) in stock.holdings.iter_mut().enumerate() {
        let taken: Vec<Parcel> = holding
            .cloth
            .extract_if(.., |p| p.stands.site == Some(site))
            .collect();
        for parcel in &taken {
            lose(holding, parcel.pieces);
            gone.push((container, parcel.pieces));
        }
    }
    for (container, pieces) in gone {
        let pieces = Amount::Pieces(pieces);
        stock.note(container, step.when.day(), Flow::Discarded, pieces);
    }
}

pub(super) fn lose(holding: &mut Holding, pieces: Exact) {
    if let Some(Amount::Pieces(held)) = holding.amount {
        holding.amount = Some(Amount::Pieces(held.minus(pieces).unwrap_or(held)));
        holding.went = holding.went.plus(pieces).unwrap_or(holding.went);
    }
}

pub(super) fn not_a_place(book: &Book, step: &Step, wants: &'static str, problems: &mut Problems) {
    let site = step
        .stands()
        .and_then(|s| s.site)
        .and_then(|s| book.sites.get(s));
    let room = step
        .stands()
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
                stock.note(container, step.when.day(), Flow::Received, amount);
                add_clean(stock, step, container, amount.house());
            }
        }
        What::Use | What::Soil => {
            let order = [
                ClothState::Clean,
                ClothState::Dry,
                ClothState::InJar,
                ClothState::Wet,
            ];
            let to = stock
                .holdings
                .get(container)
                .map(|h| step.stands().unwrap_or(h.stands))
                .unwrap_or_default();
            // A pad is charged and goes back into its jar; all else that touches finish lies wet until it is put away.
            let state = match cloth::state_at(book, container, to) {
                ClothState::InJar => ClothState::InJar,
                _ => ClothState::Wet,
            };
            shift(
                stock,
                book,
                step,
                container,
                &order,
                pieces,
                Some((state, to)),
                problems,
            );
        }
        What::Spread | What::Soak | What::Bin => {
            put_away(stock, book, step, container, pieces, problems)
        }
        What::Move => carry(stock, book, step, container, pieces, problems),
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
                .is_some_and(|tried| tried.result == TrialResult::Pass);
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

/// A count of rags. More than the book are rags of which nothing is known, and so wet. Fewer are taken from the clean
/// ones first; where soiled ones are gone and nobody wrote down where to, that is kept to be told.
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
    let Some(holding) = stock.holdings.get_mut(container) else {
        return;
    };
    if counted > expected {
        let parcel = Parcel {
            state: cloth::state_at(book, container, holding.stands),
            pieces: counted.minus(expected).unwrap_or(Exact::ZERO),
            since: Some(step.when),
            stands: holding.stands,
            soiled_by: Vec::new(),
            soiled_by_unknown: true,
            at: step.at,
        };
        cloth::put(&mut holding.cloth, parcel);
        return;
    }
    let missing = expected.minus(counted).unwrap_or(Exact::ZERO);
    if missing.is_zero() {
        return;
    }
    let gone = cloth::take(&mut holding.cloth, &TO_MISS, Some(missing)).unwrap_or_default();
    for parcel in gone
        .into_iter()
        .filter(|p| !matches!(p.state, ClothState::Clean | ClothState::Dry))
    {
        let nights = parcel
            .since
            .map_or(0, |since| step.when.nights_since(since));
        let night = Night {
            container,
            parcel,
            until: step.when,
            nights,
            missing: true,
        };
        stock.year_nights.keep(&night, stock.close);
        stock.nights.push(night);
    }
}

/// States in the order in which pieces are missed by a count.
const TO_MISS: [ClothState; 7] = [
    ClothState::Clean,
    ClothState::Dry,
    ClothState::InJar,
    ClothState::UnderWater,
    ClothState::InCan,
    ClothState::Flat,
    ClothState::Wet,
];

//! What an entry does to rags and pads.

use super::apply::{count, id, put_in, row, same_kind};
use super::container_state::{ContainerState, Stock, TrialResult};
use super::ledger::Flow;
use super::rag_batch::{self, RagBatch, RagState, UnsecuredNight};
use super::rag_moves::{TO_THROW_OUT, carry, put_away, shift};
use super::step::Step;
use crate::quantity::{Amount, Exact};
use crate::record::{PlaceKind, ShopTables, What};
use crate::stock::StockFault;
use crate::text::{Problem, Problems};

pub(super) fn empty(stock: &mut Stock, tables: &ShopTables, step: &Step, problems: &mut Problems) {
    let Some(place) = step.location().and_then(|s| s.place) else {
        not_a_place(tables, step, "oily-waste-can or water-can", problems);
        return;
    };
    let can = tables
        .places
        .get(place)
        .is_some_and(|s| matches!(s.kind, PlaceKind::OilyWasteCan | PlaceKind::WaterCan));
    if !can {
        not_a_place(tables, step, "oily-waste-can or water-can", problems);
        return;
    }
    if let Some(emptied) = stock.emptied.get_mut(place) {
        *emptied = Some((step.when, step.at));
    }
    let mut gone: Vec<(usize, Exact)> = Vec::new();
    for (container, contents) in stock.containers.iter_mut().enumerate() {
        let taken: Vec<RagBatch> = contents
            .cloth
            .extract_if(.., |p| p.location.place == Some(place))
            .collect();
        for batch in &taken {
            lose(contents, batch.pieces);
            gone.push((container, batch.pieces));
        }
    }
    for (container, pieces) in gone {
        let pieces = Amount::Pieces(pieces);
        stock.note(container, step.when.day(), Flow::Discarded, pieces);
    }
}

pub(super) fn lose(contents: &mut ContainerState, pieces: Exact) {
    if let Some(Amount::Pieces(held)) = contents.amount {
        contents.amount = Some(Amount::Pieces(held.minus(pieces).unwrap_or(held)));
        contents.removed = contents.removed.plus(pieces).unwrap_or(contents.removed);
    }
}

pub(super) fn not_a_place(
    tables: &ShopTables,
    step: &Step,
    wants: &'static str,
    problems: &mut Problems,
) {
    let place = step
        .location()
        .and_then(|s| s.place)
        .and_then(|s| tables.places.get(s));
    let room = step
        .location()
        .and_then(|s| s.room)
        .and_then(|r| tables.rooms.get(r));
    let name = place
        .map(|s| s.id.clone())
        .or_else(|| room.map(|r| r.id.clone()))
        .unwrap_or_default();
    let code = StockFault::NotAPlaceFor {
        what: step.what.word(),
        place: name,
        wants,
    };
    problems.add(Problem::with(code, step.at, place.map(|s| s.at)));
}

pub(super) fn on_cloth(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let pieces = match step.amount {
        None => None,
        Some(Amount::Pieces(pieces)) => Some(pieces),
        Some(given @ (Amount::Volume(_) | Amount::Mass(_))) => {
            same_kind(
                tables,
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
                && put_in(stock, tables, step, container, amount, problems)
            {
                stock.note(container, step.when.day(), Flow::Received, amount);
                add_clean(stock, step, container, amount.base());
            }
        }
        What::Use | What::Soil => {
            let order = [
                RagState::Clean,
                RagState::Dry,
                RagState::InJar,
                RagState::Wet,
            ];
            let to = stock
                .containers
                .get(container)
                .map(|h| step.location().unwrap_or(h.location))
                .unwrap_or_default();
            // A pad is charged and goes back into its jar; all else that touches finish lies wet until it is put away.
            let state = match rag_batch::state_at(tables, container, to) {
                RagState::InJar => RagState::InJar,
                _ => RagState::Wet,
            };
            shift(
                stock,
                tables,
                step,
                container,
                &order,
                pieces,
                Some((state, to)),
                problems,
            );
        }
        What::Spread | What::Soak | What::Bin => {
            put_away(stock, tables, step, container, pieces, problems)
        }
        What::Move => carry(stock, tables, step, container, pieces, problems),
        What::Discard => shift(
            stock,
            tables,
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
            if let Some(contents) = stock.containers.get_mut(container).filter(|_| passed) {
                for batch in contents
                    .cloth
                    .iter_mut()
                    .filter(|p| p.state == RagState::Flat)
                {
                    (batch.state, batch.since, batch.at) =
                        (RagState::Dry, Some(step.when), step.at);
                }
            }
        }
        What::Count => count_cloth(stock, tables, step, container, problems),
        What::Open => {}
        What::Mix | What::Decant | What::Empty | What::Correct => {
            let code = StockFault::NotPoured {
                container: id(tables, container),
            };
            problems.add(Problem::with(code, step.at, row(tables, container)));
        }
    }
}

fn add_clean(stock: &mut Stock, step: &Step, container: usize, pieces: Exact) {
    let Some(contents) = stock.containers.get_mut(container) else {
        return;
    };
    let batch = RagBatch {
        state: RagState::Clean,
        pieces,
        since: Some(step.when),
        location: contents.location,
        soiled_by: Vec::new(),
        soiled_by_unknown: false,
        at: step.at,
    };
    rag_batch::put(&mut contents.cloth, batch);
}

/// A count of rags. More than the book are rags of which nothing is known, and so wet. Fewer are taken from the clean
/// ones first; where soiled ones are gone and nobody wrote down where to, that is kept to be told.
fn count_cloth(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let before = stock.containers.get(container).and_then(|h| h.amount);
    count(stock, tables, step, container, problems);
    let (Some(Amount::Pieces(expected)), Some(Amount::Pieces(counted))) = (before, step.amount)
    else {
        return;
    };
    let Some(contents) = stock.containers.get_mut(container) else {
        return;
    };
    if counted > expected {
        let batch = RagBatch {
            state: rag_batch::state_at(tables, container, contents.location),
            pieces: counted.minus(expected).unwrap_or(Exact::ZERO),
            since: Some(step.when),
            location: contents.location,
            soiled_by: Vec::new(),
            soiled_by_unknown: true,
            at: step.at,
        };
        rag_batch::put(&mut contents.cloth, batch);
        return;
    }
    let missing = expected.minus(counted).unwrap_or(Exact::ZERO);
    if missing.is_zero() {
        return;
    }
    let gone = rag_batch::take(&mut contents.cloth, &TO_MISS, Some(missing)).unwrap_or_default();
    for batch in gone
        .into_iter()
        .filter(|p| !matches!(p.state, RagState::Clean | RagState::Dry))
    {
        let nights = batch.since.map_or(0, |since| step.when.nights_since(since));
        let night = UnsecuredNight {
            container,
            batch,
            until: step.when,
            nights,
            missing: true,
        };
        stock.year_nights.keep(&night, stock.close);
        stock.nights.push(night);
    }
}

/// States in the order in which pieces are missed by a count.
const TO_MISS: [RagState; 7] = [
    RagState::Clean,
    RagState::Dry,
    RagState::InJar,
    RagState::UnderWater,
    RagState::InCan,
    RagState::Flat,
    RagState::Wet,
];

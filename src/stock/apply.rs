//! What one entry does to the stock.

use super::cloth::{self, ClothState, Night, Parcel};
use super::holding::{CountGap, Holding, Overfull, Stock, Trial, TrialResult};
use super::step::Step;
use crate::quantity::{Amount, Exact, Mass, Moment, Volume, natural};
use crate::record::{Book, ProductKind, SiteKind, Vessel, What};
use crate::text::{Code, Place, Problem, Problems};

/// Volume that a kilogram of dissolved resin adds to the alcohol: 0.1 US gallon a pound, to five figures. A convention
/// of the trade (published mixing charts: 2 lb in 1 gal give 1.2 gal), used for every mixture alike.
const RESIN_LITRES_PER_KG: Exact = Exact::constant(83_454, 5);

/// So many lots are remembered of one vessel.
const MOST_LOTS: usize = 12;

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

pub(super) fn apply(stock: &mut Stock, book: &Book, step: &Step, problems: &mut Problems) {
    if !in_time(book, step, problems) {
        return;
    }
    match step.what {
        What::Empty => empty(stock, book, step, problems),
        What::Correct => {}
        What::Receive
        | What::Open
        | What::Move
        | What::Mix
        | What::Decant
        | What::Use
        | What::Soil
        | What::Discard
        | What::Spread
        | What::Soak
        | What::Bin
        | What::Test
        | What::Count => {
            let Some(container) = step.container else {
                return;
            };
            if let Some(holding) = stock.holdings.get_mut(container) {
                holding.touch(step.at);
            }
            if vessel(book, container).is_some_and(Vessel::is_cloth) {
                on_cloth(stock, book, step, container, problems);
            } else {
                on_vessel(stock, book, step, container, problems);
            }
        }
    }
}

/// The inventory must know every container of the entry by that day.
fn in_time(book: &Book, step: &Step, problems: &mut Problems) -> bool {
    let mut fine = true;
    for container in [step.container, step.target].into_iter().flatten() {
        let Some(row) = book.containers.get(container) else {
            continue;
        };
        if let Some(since) = row.since
            && step.when.day() < since
        {
            let code = Code::EntryBeforeSince {
                when: step.when.day().to_string(),
                container: row.id.clone(),
                since: since.to_string(),
            };
            problems.add(Problem::between(code, step.at, row.at));
            fine = false;
        }
    }
    fine
}

fn vessel(book: &Book, container: usize) -> Option<Vessel> {
    book.containers.get(container).and_then(|c| c.vessel)
}

fn kind(book: &Book, container: usize) -> Option<ProductKind> {
    book.kinds.get(container).copied().flatten()
}

fn id(book: &Book, container: usize) -> String {
    book.containers
        .get(container)
        .map_or_else(String::new, |c| c.id.clone())
}

fn row(book: &Book, container: usize) -> Option<Place> {
    book.containers.get(container).map(|c| c.at)
}

fn on_vessel(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    problems: &mut Problems,
) {
    let day = step.when.day();
    match step.what {
        What::Receive => {
            if let Some(amount) = step.amount
                && put_in(stock, book, step, container, amount, problems)
                && let Some(month) = stock.month(container, day.month_key(), amount)
            {
                month.received = sum(month.received, amount);
            }
        }
        What::Use | What::Discard => {
            let all = stock.holdings.get(container).and_then(|h| h.amount);
            let Some(amount) = step.amount.or(all) else {
                return;
            };
            if take_out(stock, book, step, container, amount, problems)
                && let Some(month) = stock.month(container, day.month_key(), amount)
            {
                match step.what {
                    What::Discard => month.discarded = sum(month.discarded, amount),
                    _ => month.used = sum(month.used, amount),
                }
            }
        }
        What::Mix | What::Decant => pour(stock, book, step, container, problems),
        What::Count => count(stock, book, step, container, problems),
        What::Move => {
            if let (Some(holding), Some(stands)) = (stock.holdings.get_mut(container), step.stands)
            {
                holding.stands = stands;
            }
        }
        What::Open => {
            if let Some(holding) = stock.holdings.get_mut(container) {
                holding.opened = holding.opened.or(Some(day));
            }
        }
        What::Test => test(stock, step, container),
        What::Soil | What::Spread | What::Soak | What::Bin => {
            let code = Code::NotARag {
                container: id(book, container),
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
        }
        What::Empty | What::Correct => {}
    }
}

fn sum(total: Exact, amount: Amount) -> Exact {
    total.plus(amount.house()).unwrap_or(total)
}

/// Volumes with volumes, masses with masses; otherwise a problem.
fn same_kind(
    book: &Book,
    step: &Step,
    container: usize,
    held: Amount,
    given: Amount,
    problems: &mut Problems,
) -> bool {
    if held.same_kind(given) {
        return true;
    }
    let code = Code::OtherKind {
        container: id(book, container),
        holds: held.dimension().word(),
        given: given.dimension().word(),
    };
    problems.add(Problem {
        code,
        at: step.at,
        see: row(book, container),
    });
    false
}

fn take_out(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    amount: Amount,
    problems: &mut Problems,
) -> bool {
    let us = book.shop.us;
    let Some(holding) = stock.holdings.get_mut(container) else {
        return false;
    };
    holding.last_used = Some(step.when.day());
    let Some(held) = holding.amount else {
        return true;
    };
    if !same_kind(book, step, container, held, amount, problems) {
        return false;
    }
    match held.house().minus(amount.house()) {
        Ok(left) if !left.is_negative() => {
            holding.amount = Some(held.with(left));
            holding.went = sum(holding.went, amount);
            true
        }
        Ok(_) | Err(_) => {
            let code = Code::TakesMore {
                container: id(book, container),
                taken: natural(amount, us),
                held: natural(held, us),
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, container),
            });
            false
        }
    }
}

fn put_in(
    stock: &mut Stock,
    book: &Book,
    step: &Step,
    container: usize,
    amount: Amount,
    problems: &mut Problems,
) -> bool {
    let capacity = book.containers.get(container).and_then(|c| c.capacity);
    let Some(holding) = stock.holdings.get_mut(container) else {
        return false;
    };
    let Some(held) = holding.amount else {
        return true;
    };
    if !same_kind(book, step, container, held, amount, problems) {
        return false;
    }
    let Ok(full) = held.house().plus(amount.house()) else {
        let code = Code::TooFine { container: id(book, container) };
        problems.add(Problem { code, at: step.at, see: row(book, container) });
        return false;
    };
    holding.amount = Some(held.with(full));
    holding.came = sum(holding.came, amount);
    // More than fits is no reason to refuse a record: something went unlogged, and a finding says so.
    let over = capacity.filter(|c| c.same_kind(held) && full > c.house());
    if over.is_some() && holding.overfull.is_none_or(|old| full > old.held.house()) {
        holding.overfull = Some(Overfull { day: step.when.day(), held: held.with(full), at: step.at });
    }
    true
}

/// Mix and decant: the amount leaves one container and arrives in the other; what ages goes along.
fn pour(stock: &mut Stock, book: &Book, step: &Step, from: usize, problems: &mut Problems) {
    let (Some(amount), Some(into)) = (step.amount, step.target) else {
        return;
    };
    if from == into {
        problems.add(Problem::new(Code::SameContainer, step.at));
        return;
    }
    if step.what == What::Decant && stock.product_of.get(from) != stock.product_of.get(into) {
        let name = |c: usize| {
            book.containers
                .get(c)
                .map_or_else(String::new, |c| c.product.clone())
        };
        if kind(book, into) != Some(ProductKind::Waste) {
            let code = Code::OtherProduct {
                from: name(from),
                into: name(into),
            };
            problems.add(Problem {
                code,
                at: step.at,
                see: row(book, into),
            });
            return;
        }
    }
    let arrives = arriving(stock, book, from, into, amount);
    if !take_out(stock, book, step, from, amount, problems) {
        return;
    }
    let was_empty = stock
        .holdings
        .get(into)
        .and_then(|h| h.amount)
        .is_some_and(|held| held.house().is_zero());
    if !put_in(stock, book, step, into, arrives, problems) {
        return;
    }
    if step.what == What::Mix
        && let Some(month) = stock.month(from, step.when.day().month_key(), amount)
    {
        month.mixed = sum(month.mixed, amount);
    }
    carry_along(stock, book, step, from, into, was_empty);
    if let Some(target) = stock.holdings.get_mut(into) {
        target.touch(step.at);
    }
}

/// Flakes by weight arrive in a liquid as the volume they add to it.
fn arriving(stock: &Stock, book: &Book, from: usize, into: usize, amount: Amount) -> Amount {
    let liquid = matches!(
        stock.holdings.get(into).and_then(|h| h.amount),
        Some(Amount::Volume(_))
    );
    match amount {
        Amount::Mass(mass) if liquid && kind(book, from) == Some(ProductKind::Flakes) => {
            resin_volume(mass).map_or(amount, Amount::Volume)
        }
        Amount::Mass(_) | Amount::Volume(_) | Amount::Pieces(_) => amount,
    }
}

fn resin_volume(mass: Mass) -> Option<Volume> {
    mass.house().times(RESIN_LITRES_PER_KG).ok().map(Volume::of)
}

/// Lots, and the age of what ages. An emptied vessel forgets what it held before.
fn carry_along(stock: &mut Stock, book: &Book, step: &Step, from: usize, into: usize, was_empty: bool) {
    let Ok([source, target]) = stock.holdings.get_disjoint_mut([from, into]) else {
        return;
    };
    if was_empty {
        (target.lots, target.made, target.opened, target.trial) = (Vec::new(), None, None, None);
    }
    match kind(book, from) {
        Some(ProductKind::Flakes) => {
            add_lots(target, &source.lots);
            let day = step.when.day();
            target.made = Some(target.made.map_or(day, |made| made.min(day)));
        }
        Some(ProductKind::Solvent) if step.what == What::Mix => {}
        _ => {
            add_lots(target, &source.lots);
            target.made = older(target.made, source.made, was_empty);
            target.opened = older(target.opened, source.opened, was_empty);
        }
    }
}

fn add_lots(target: &mut Holding, lots: &[String]) {
    for lot in lots {
        if target.lots.len() < MOST_LOTS && !target.lots.contains(lot) {
            target.lots.push(lot.clone());
        }
    }
}

/// The older of two days; where one is not known the mixture's is not known, unless the vessel was empty.
fn older<T: Ord>(target: Option<T>, source: Option<T>, was_empty: bool) -> Option<T> {
    match (target, source) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (None, source) if was_empty => source,
        _ => None,
    }
}

fn count(stock: &mut Stock, book: &Book, step: &Step, container: usize, problems: &mut Problems) {
    let (Some(counted), Some(holding)) = (step.amount, stock.holdings.get_mut(container)) else {
        return;
    };
    let Some(expected) = holding.amount else {
        holding.amount = Some(counted);
        holding.began = counted.house();
        return;
    };
    if !same_kind(book, step, container, expected, counted, problems) {
        return;
    }
    if let Some(holding) = stock.holdings.get_mut(container)
        && expected.house() != counted.house()
    {
        let gap = counted
            .house()
            .minus(expected.house())
            .unwrap_or(Exact::ZERO);
        holding.unexplained = holding.unexplained.plus(gap).unwrap_or(holding.unexplained);
        holding.gap = Some(CountGap {
            day: step.when.day(),
            expected,
            counted,
            at: step.at,
        });
        holding.amount = Some(counted);
    }
}

fn test(stock: &mut Stock, step: &Step, container: usize) {
    let (Some(holding), Some((test, minutes, result))) =
        (stock.holdings.get_mut(container), step.trial)
    else {
        return;
    };
    holding.trial = Some(Trial {
        day: step.when.day(),
        test,
        minutes,
        result,
        at: step.at,
    });
}

fn empty(stock: &mut Stock, book: &Book, step: &Step, problems: &mut Problems) {
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

fn on_cloth(
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

//! The command that would work in place of one with faults: each fault with a known fix is fixed, the later ones too.

use super::draft::Draft;
use super::together::{Together, planned};
use super::{held, settle};
use crate::audit::Shop;
use crate::quantity::{Amount, Dimension, Measure, MeasureFault, full_words, natural};
use crate::record::{Vessel, What};
use crate::stock::{Stock, StockFault};
use crate::store::{Misfit, NotWritten, Store};
use crate::text::{CellFault, Problem, nearest, unit_meant};

/// Some faults only show once others are fixed. A command is tried at most this often.
const MOST_ROUNDS: usize = 4;

/// A draft with its faults fixed.
pub(super) struct Repair {
    pub draft: Draft,
    /// Whether anything was fixed.
    pub is_repaired: bool,
    /// Faults are left that need the person.
    pub is_open: bool,
    /// Faults that only showed after the first fixes, in words.
    pub later: Vec<String>,
}

/// Fixes what can be fixed in a draft, and tries it again until nothing more can be.
pub(super) fn repaired(
    misfit: &Misfit,
    store: &Store,
    draft: &Draft,
    with: &Together<'_>,
) -> Repair {
    let wrong = |misfit: &Misfit| -> Vec<String> {
        let list = misfit.shown.list.iter();
        list.map(|problem| problem.wrong.clone()).collect()
    };
    let known = wrong(misfit);
    let mut repair = Repair {
        draft: draft.clone(),
        is_repaired: false,
        is_open: true,
        later: Vec::new(),
    };
    repair.is_repaired = fix_all(misfit, &store.shop, &mut repair.draft);
    for _ in 0..MOST_ROUNDS {
        let mut tried = repair.draft.clone();
        if !repair.is_repaired || settle(&mut tried, &store.shop, &misfit.stock).is_err() {
            break;
        }
        repair.draft = tried;
        let plan = planned(store, std::slice::from_ref(&repair.draft), with);
        let Err(NotWritten::Problems(more)) = plan else {
            repair.is_open = false;
            break;
        };
        let new = wrong(&more).into_iter().filter(|one| !known.contains(one));
        repair.later.extend(new);
        if !fix_all(&more, &store.shop, &mut repair.draft) {
            break;
        }
    }
    repair.later.dedup();
    repair
}

impl Repair {
    /// The command that was repaired, as a last line; nothing if nothing was.
    pub fn words(&self) -> String {
        let later = self.later.iter().map(|it| format!("\nThen: {it}"));
        let mut text: String = later.collect();
        if self.is_repaired {
            let lead = if self.is_open {
                "Correct the rest in"
            } else {
                "Try"
            };
            text.push_str(&format!("\n{lead}: {}", self.draft.whole_command()));
        }
        text
    }
}

/// A row of a new container that cannot be read: its words are fixed first, then the rest of the command.
pub(super) fn new_row_repaired(
    store: &Store,
    draft: &Draft,
    with: &Together<'_>,
) -> Option<Repair> {
    let mut fixed = draft.clone();
    let new = fixed.new.as_mut()?;
    let before = [new.vessel.clone(), new.capacity.clone(), new.place.clone()];
    if let Some(vessel) = &mut new.vessel {
        let words = Vessel::WORDS.iter().map(|(word, _)| *word);
        near_word(vessel, words);
    }
    if let Some(place) = &mut new.place {
        let tables = &store.shop.tables;
        let rooms = tables.rooms.iter().map(|room| room.id.as_str());
        let places = tables.places.iter().map(|place| place.id.as_str());
        near_word(place, places.chain(rooms));
    }
    if let Some(capacity) = &mut new.capacity
        && let Err(MeasureFault::UnitUnknown(symbol)) = Measure::parse(capacity)
        && let Some(meant) = unit_meant(capacity, &symbol, &[Dimension::Volume, Dimension::Mass])
    {
        *capacity = meant;
    }
    if before == [new.vessel.clone(), new.capacity.clone(), new.place.clone()] {
        return None;
    }
    match planned(store, std::slice::from_ref(&fixed), with) {
        Err(NotWritten::Problems(misfit)) => {
            let mut repair = repaired(&misfit, store, &fixed, with);
            let list = misfit.shown.list.iter();
            let first = list.map(|problem| problem.wrong.clone());
            repair.later = first.chain(repair.later).collect();
            repair.is_repaired = true;
            Some(repair)
        }
        plan => Some(Repair {
            draft: fixed,
            is_repaired: true,
            is_open: matches!(plan, Err(NotWritten::Shop(_))),
            later: Vec::new(),
        }),
    }
}

/// The known word that was meant, if the word is not a known one.
fn near_word<'w>(word: &mut String, known: impl Iterator<Item = &'w str>) {
    let known: Vec<&str> = known.collect();
    if !known.contains(&word.as_str())
        && let Some(near) = nearest(word, known)
    {
        *word = near.to_string();
    }
}

fn fix_all(misfit: &Misfit, before: &Shop, draft: &mut Draft) -> bool {
    let problems = misfit.problems.sorted();
    let fixed = problems
        .iter()
        .map(|problem| fix(before, &misfit.stock, problem, draft));
    fixed.fold(false, |any, one| any | one)
}

/// Fixes one problem in a draft, if there is a fix for it.
fn fix(before: &Shop, stock: &Stock, problem: &Problem, draft: &mut Draft) -> bool {
    match problem.fault_of() {
        Some(
            CellFault::NameUnknown {
                read,
                near: Some(near),
                ..
            }
            | CellFault::WordUnknown {
                read,
                near: Some(near),
                ..
            },
        ) => return replace(draft, read, near),
        Some(CellFault::Quantity {
            read,
            fault: MeasureFault::UnitUnknown(symbol),
            wanted,
            ..
        }) => {
            return unit_meant(read, symbol, wanted)
                .is_some_and(|meant| replace(draft, read, &meant));
        }
        Some(_) | None => {}
    }
    match problem.fault_of() {
        Some(StockFault::TakesMore { container, .. }) => {
            let all = held(before, stock, container).filter(|_| *container == draft.container);
            // Where nothing is left, there is no less to take.
            let Some(all) = all.filter(|all| !all.base().is_zero()) else {
                return false;
            };
            draft.amount = at_most(all, before.tables.shop.us);
            true
        }
        Some(StockFault::RagsFew {
            container, there, ..
        }) if *container == draft.container && there != "0" && !soils(draft.what) => {
            draft.amount = format!("{there} pcs");
            true
        }
        Some(StockFault::OtherProduct { .. }) => {
            draft.what = What::Mix;
            true
        }
        Some(_) | None => false,
    }
}

/// All of an amount in short words, unless these round it up: then in all its digits.
fn at_most(all: Amount, us: bool) -> String {
    let short = natural(all, us);
    let read = Measure::parse(&short).ok().and_then(|it| it.amount());
    match read.is_some_and(|read| read.base() <= all.base()) {
        true => short,
        false => full_words(all, us),
    }
}

/// Fewer rags are never proposed for those that were soiled: one of them would be in no record.
pub(super) fn soils(what: What) -> bool {
    matches!(what, What::Soil | What::Use)
}

/// Puts a word in place of each cell that has another. Whether there was one.
fn replace(draft: &mut Draft, read: &str, meant: &str) -> bool {
    let mut cells = vec![
        &mut draft.container,
        &mut draft.into,
        &mut draft.place,
        &mut draft.from,
        &mut draft.then,
        &mut draft.amount,
    ];
    if let Some(new) = &mut draft.new {
        let new = [
            &mut new.product,
            &mut new.vessel,
            &mut new.capacity,
            &mut new.place,
        ];
        cells.extend(new.into_iter().flatten());
    }
    let mut is_found = false;
    for cell in cells.into_iter().filter(|cell| cell.as_str() == read) {
        *cell = meant.to_string();
        is_found = true;
    }
    is_found
}

//! Corrections: a new entry that names a wrong one. What it fills in replaces that entry's; one that fills in nothing makes
//! the entry void.

use super::entry_names::EntryNames;
use super::fault::StockFault;
use super::step::Step;
use crate::quantity::{Amount, Moment};
use crate::record::{ContainerId, Entry, Location, PlaceId, RagSource, RoomId};
use crate::text::{Problem, Problems, Span};
use std::collections::HashMap;

/// Does a note begin with `void`, in capital letters or not?
fn begins_with_void(note: &str) -> bool {
    note.get(..4)
        .is_some_and(|first| first.eq_ignore_ascii_case("void"))
}

/// What a correction says.
#[derive(Clone, Debug)]
pub(super) struct Correction {
    when: Moment,
    pub container: Option<ContainerId>,
    pub amount: Option<Amount>,
    place: Option<PlaceId>,
    room: Option<RoomId>,
    pub minutes: Option<u32>,
    from: Option<RagSource<String>>,
    pub at: Span,
    used: bool,
}

impl Correction {
    /// The place or room that it says, if it says one.
    pub fn location(&self) -> Option<Location> {
        Location::named(self.place, self.room)
    }

    pub fn is_void(&self) -> bool {
        self.container.is_none()
            && self.amount.is_none()
            && self.location().is_none()
            && self.minutes.is_none()
            && self.from.is_none()
    }
}

/// All corrections, by the entry they correct.
#[derive(Debug, Default)]
pub(super) struct Corrections {
    by_entry: HashMap<String, Correction>,
    /// The correction's own name, and the entry it corrects.
    names: HashMap<String, String>,
    /// Corrections that contradict each other, or say nothing.
    twice: Vec<Problem>,
}

impl Corrections {
    /// Are there any?
    pub fn none(&self) -> bool {
        self.by_entry.is_empty() && self.names.is_empty() && self.twice.is_empty()
    }

    /// Hears a `correct` entry.
    pub fn hear(&mut self, entry: &Entry<'_>) {
        let correction = Correction {
            when: entry.when,
            container: entry.container,
            amount: entry.amount,
            place: entry.place,
            room: entry.room,
            minutes: entry.minutes,
            from: entry.from.map(|from| from.map(str::to_string)),
            at: entry.at,
            used: false,
        };
        // A note alone corrects nothing, and must not make an entry vanish.
        if correction.is_void() && !entry.note.is_empty() && !begins_with_void(entry.note) {
            self.twice
                .push(Problem::new(StockFault::CorrectsNotClear, entry.at));
            return;
        }
        // A correction of a correction: void takes it back, anything else takes its place.
        if let Some(corrected) = self.names.get(entry.into).cloned() {
            if correction.is_void() {
                self.by_entry.remove(&corrected);
            } else {
                self.by_entry.insert(corrected.clone(), correction);
                self.names.insert(entry.id.to_string(), corrected);
            }
            return;
        }
        if let Some(first) = self.by_entry.get(entry.into) {
            let code = StockFault::CorrectsTwice {
                entry: entry.into.to_string(),
            };
            self.twice.push(Problem::between(code, entry.at, first.at));
            return;
        }
        self.by_entry.insert(entry.into.to_string(), correction);
        self.names
            .insert(entry.id.to_string(), entry.into.to_string());
    }

    /// The correction of the entry of this name and moment, if there is one: to be shown, not to be used up.
    pub fn shown_for(&self, id: &str, when: Moment) -> Option<&Correction> {
        let correction = self.by_entry.get(id);
        correction.filter(|correction| when <= correction.when)
    }

    /// The step as corrected; `None` if it is void.
    pub fn correct(
        &mut self,
        id: &str,
        step: Step,
        soilings: &mut EntryNames,
        problems: &mut Problems,
    ) -> Option<Step> {
        let Some(correction) = self.by_entry.get_mut(id) else {
            return Some(step);
        };
        if correction.used {
            problems.add(Problem::new(
                StockFault::DuplicateEntry {
                    entry: id.to_string(),
                },
                step.at,
            ));
            return Some(step);
        }
        if step.when > correction.when {
            return Some(step);
        }
        correction.used = true;
        if correction.is_void() {
            return None;
        }
        let (place, room) = match correction.location() {
            Some(_) => (correction.place, correction.room),
            None => (step.place, step.room),
        };
        let from = correction.from.as_ref();
        let from = from.map(|from| from.clone().map(|name| soilings.position(&name)));
        Some(Step {
            from: from.or(step.from),
            container: correction.container.or(step.container),
            amount: correction.amount.or(step.amount),
            place,
            room,
            minutes: correction.minutes.or(step.minutes),
            ..step
        })
    }

    /// Reports every correction that found nothing to correct, or that contradicts another.
    pub fn unused(&self, problems: &mut Problems) {
        for problem in &self.twice {
            problems.add(problem.clone());
        }
        for (entry, correction) in &self.by_entry {
            if !correction.used {
                problems.add(Problem::new(
                    StockFault::CorrectsNothing {
                        entry: entry.clone(),
                    },
                    correction.at,
                ));
            }
        }
    }
}

//! Corrections: a new entry that names the one it mends. What it fills in replaces that entry's; one that fills in
//! nothing makes the entry void.

use super::step::Step;
use crate::quantity::{Amount, Moment};
use crate::record::{Entry, Location, Position};
use crate::stock::StockFault;
use crate::text::{Problem, Problems, Span};
use std::collections::HashMap;

/// Does a remark begin with `void`, in capital letters or not?
fn begins_with_void(note: &str) -> bool {
    note.get(..4)
        .is_some_and(|first| first.eq_ignore_ascii_case("void"))
}

/// What a correction says.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mend {
    when: Moment,
    pub container: Option<Position>,
    pub amount: Option<Amount>,
    pub place: Option<Position>,
    pub room: Option<Position>,
    pub minutes: Option<u32>,
    pub at: Span,
    used: bool,
}

impl Mend {
    /// The place or room that it says, if it says one.
    pub fn location(&self) -> Option<Location> {
        Location::of(self.place, self.room)
    }

    pub fn is_void(&self) -> bool {
        self.container.is_none()
            && self.amount.is_none()
            && self.location().is_none()
            && self.minutes.is_none()
    }
}

/// All corrections, by the entry they mend.
#[derive(Debug, Default)]
pub(super) struct Corrections {
    by_entry: HashMap<String, Mend>,
    /// The correction's own name, and the entry it mends.
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
        let mend = Mend {
            when: entry.when,
            container: entry.container,
            amount: entry.amount,
            place: entry.place,
            room: entry.room,
            minutes: entry.minutes,
            at: entry.at,
            used: false,
        };
        // A remark alone mends nothing, and must not make an entry vanish.
        if mend.is_void() && !entry.note.is_empty() && !begins_with_void(entry.note) {
            self.twice
                .push(Problem::new(StockFault::CorrectsNotClear, entry.at));
            return;
        }
        // A correction of a correction: void takes it back, anything else takes its place.
        if let Some(mended) = self.names.get(entry.into).cloned() {
            if mend.is_void() {
                self.by_entry.remove(&mended);
            } else {
                self.by_entry.insert(mended.clone(), mend);
                self.names.insert(entry.id.to_string(), mended);
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
        self.by_entry.insert(entry.into.to_string(), mend);
        self.names
            .insert(entry.id.to_string(), entry.into.to_string());
    }

    /// What mends the entry of this name and moment, if anything does: to be shown, not to be used up.
    pub fn of(&self, id: &str, when: Moment) -> Option<&Mend> {
        self.by_entry.get(id).filter(|mend| when <= mend.when)
    }

    /// The step as corrected; `None` if it is void.
    pub fn mend(&mut self, id: &str, step: Step, problems: &mut Problems) -> Option<Step> {
        let Some(mend) = self.by_entry.get_mut(id) else {
            return Some(step);
        };
        if mend.used {
            problems.add(Problem::new(
                StockFault::DuplicateEntry {
                    entry: id.to_string(),
                },
                step.at,
            ));
            return Some(step);
        }
        if step.when > mend.when {
            return Some(step);
        }
        mend.used = true;
        if mend.is_void() {
            return None;
        }
        let (place, room) = match mend.location() {
            Some(_) => (mend.place, mend.room),
            None => (step.place, step.room),
        };
        Some(Step {
            container: mend.container.or(step.container),
            amount: mend.amount.or(step.amount),
            place,
            room,
            minutes: mend.minutes.or(step.minutes),
            ..step
        })
    }

    /// Names every correction that found nothing to mend, or that contradicts another.
    pub fn unused(&self, problems: &mut Problems) {
        for problem in &self.twice {
            problems.add(problem.clone());
        }
        for (entry, mend) in &self.by_entry {
            if !mend.used {
                problems.add(Problem::new(
                    StockFault::CorrectsNothing {
                        entry: entry.clone(),
                    },
                    mend.at,
                ));
            }
        }
    }
}

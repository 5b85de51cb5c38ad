//! Corrections: a new entry that names a wrong one. What it fills in replaces that entry's; one that fills in nothing makes
//! the entry void, if its note says so.

use super::fault::StockFault;
use super::soiling_names::SoilingNames;
use super::step::Step;
use crate::quantity::{Amount, Moment};
use crate::record::{ContainerId, Entry, Location, PlaceId, RagSource, RoomId, What};
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

impl Correction {
    /// What it says, and where it says nothing, what the one before it says.
    fn over(self, before: Correction) -> Correction {
        let (place, room) = match self.location() {
            Some(_) => (self.place, self.room),
            None => (before.place, before.room),
        };
        Correction {
            container: self.container.or(before.container),
            amount: self.amount.or(before.amount),
            place,
            room,
            minutes: self.minutes.or(before.minutes),
            from: self.from.or(before.from),
            when: self.when,
            at: self.at,
            used: self.used,
        }
    }

    /// The first column that it fills in although an entry of this kind has nothing to say there.
    fn fills_other(&self, what: What) -> Option<&'static str> {
        let filled = [
            ("container", self.container.is_some()),
            ("amount", self.amount.is_some()),
            ("minutes", self.minutes.is_some()),
        ];
        if self.from.is_some() && !what.takes_from() {
            return Some("from");
        }
        let has_none = |column: &str| match what {
            What::Empty => true,
            What::Open => column != "container",
            What::Receive | What::Count | What::Move | What::Correct => column == "minutes",
            What::Use
            | What::Mix
            | What::Decant
            | What::Soil
            | What::Discard
            | What::Spread
            | What::Soak
            | What::Bin
            | What::Test => false,
        };
        let mut other = filled.iter().filter(|(column, is)| *is && has_none(column));
        other.next().map(|(column, _)| *column)
    }
}

/// What the corrections of one entry say together: a later one replaces what it fills in, and nothing else.
fn together(list: &[(String, Correction)]) -> Option<Correction> {
    let all = list.iter().map(|(_, correction)| correction.clone());
    all.reduce(|before, later| later.over(before))
}

/// All corrections, by the entry they correct.
#[derive(Debug, Default)]
pub(super) struct Corrections {
    /// With the name of each, in their order. Those before the last count alone again where it is taken back.
    by_entry: HashMap<String, Vec<(String, Correction)>>,
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
        // An emptied cell must not make an entry vanish: who takes one back says so.
        if correction.is_void() && !begins_with_void(entry.note) {
            self.twice
                .push(Problem::new(StockFault::CorrectsNotClear, entry.at));
            return;
        }
        // A correction of a correction: void takes it back, anything else is added to it.
        if let Some(corrected) = self.names.get(entry.into).cloned() {
            let list = self.by_entry.entry(corrected.clone()).or_default();
            if correction.is_void() {
                list.retain(|(name, _)| name != entry.into);
            } else {
                list.push((entry.id.to_string(), correction));
                self.names.insert(entry.id.to_string(), corrected);
            }
            return;
        }
        let list = self.by_entry.entry(entry.into.to_string()).or_default();
        if let Some((name, first)) = list.last() {
            let code = StockFault::CorrectsTwice {
                entry: entry.into.to_string(),
                by: name.clone(),
            };
            self.twice.push(Problem::between(code, entry.at, first.at));
            return;
        }
        list.push((entry.id.to_string(), correction));
        self.names
            .insert(entry.id.to_string(), entry.into.to_string());
    }

    /// The correction of the entry of this name and moment, if there is one: to be shown, not to be used up.
    pub fn shown_for(&self, id: &str, when: Moment) -> Option<Correction> {
        let correction = together(self.by_entry.get(id)?)?;
        (when <= correction.when).then_some(correction)
    }

    /// The step as corrected; `None` if it is void.
    pub fn correct(
        &mut self,
        id: &str,
        step: Step,
        soilings: &mut SoilingNames,
        problems: &mut Problems,
    ) -> Option<Step> {
        let Some(list) = self.by_entry.get_mut(id) else {
            return Some(step);
        };
        let correction = together(list);
        let Some(correction) = correction.filter(|it| !it.used && step.when <= it.when) else {
            return Some(step);
        };
        if let Some((_, last)) = list.last_mut() {
            last.used = true;
        }
        if correction.is_void() {
            return None;
        }
        if let Some(column) = correction.fills_other(step.what) {
            let what = step.what.word();
            let fault = StockFault::CorrectsOther { what, column };
            problems.add(Problem::new(fault, correction.at));
            return Some(step);
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
        for (entry, list) in &self.by_entry {
            if let Some((_, correction)) = list.last()
                && !correction.used
            {
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

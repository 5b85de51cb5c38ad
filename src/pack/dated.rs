//! Values by the day they took effect.

use super::document::{Section, WithSpan};
use crate::pack::PackFault;
use crate::quantity::Day;
use crate::text::{CellFault, Problem, Problems};

/// A value for each day it changed, oldest first; `None` marks the day it ended.
#[derive(Clone, Debug)]
pub struct Dated<T> {
    steps: Vec<(Day, Option<T>)>,
}

/// What holds on a day.
#[derive(Debug)]
pub enum InForce<'d, T> {
    /// This value, since that day.
    Now(Day, &'d T),
    /// Nothing yet; it begins on that day.
    NotYet(Day),
    /// Nothing any more; it ended on that day.
    Ended(Day),
}

impl<T> Dated<T> {
    /// What holds on a day; there is always at least one step.
    pub fn on(&self, day: Day) -> InForce<'_, T> {
        match self.steps.iter().rev().find(|(since, _)| *since <= day) {
            Some((since, Some(value))) => InForce::Now(*since, value),
            Some((since, None)) => InForce::Ended(*since),
            None => InForce::NotYet(self.steps.first().map_or(day, |(since, _)| *since)),
        }
    }

    /// Every value there ever was.
    pub fn values(&self) -> impl Iterator<Item = (Day, &T)> {
        self.steps
            .iter()
            .filter_map(|(day, value)| value.as_ref().map(|value| (*day, value)))
    }

    /// The first day of all.
    pub fn first(&self) -> Option<Day> {
        self.steps.first().map(|(day, _)| *day)
    }

    /// These values until a day, and the newer ones from then on.
    pub(super) fn replaced_by(&self, newer: Dated<T>, since: Day) -> Dated<T>
    where
        T: Clone,
    {
        let older = self.steps.iter().filter(|(day, _)| *day < since);
        Dated {
            steps: older.cloned().chain(newer.steps).collect(),
        }
    }

    /// The same days with another value each; `None` as soon as one has none.
    pub fn try_map<'d, U>(&'d self, mut with: impl FnMut(&'d T) -> Option<U>) -> Option<Dated<U>> {
        let mut steps = Vec::new();
        for (day, value) in &self.steps {
            let value = match value {
                Some(value) => Some(with(value)?),
                None => None,
            };
            steps.push((*day, value));
        }
        Some(Dated { steps })
    }

    /// The last value that holds or will hold.
    pub fn latest(&self) -> Option<(Day, &T)> {
        self.steps
            .iter()
            .rev()
            .find_map(|(day, value)| value.as_ref().map(|value| (*day, value)))
    }
}

/// Reads `[key.YYYY-MM-DD]` sections; `ended = true` alone marks an end. No step at all is a problem.
pub(super) fn read_dated<T>(
    parent: Option<Section<'_>>,
    problems: &mut Problems,
    mut read: impl FnMut(&Section<'_>, &mut Problems) -> Option<T>,
) -> Option<Dated<T>> {
    let parent = parent?;
    let (mut steps, mut tried) = (Vec::new(), false);
    for (WithSpan { value: key, at }, section) in parent.named(problems) {
        tried = true;
        let day = match Day::parse(&key) {
            Ok(day) => day,
            Err(fault) => {
                let code = CellFault::DayWrong {
                    column: key.clone(),
                    read: key,
                    fault,
                    moment: false,
                };
                problems.add(Problem::new(code, at));
                continue;
            }
        };
        let ended = section
            .truth("ended", problems)
            .is_some_and(|told| told.value);
        if ended {
            steps.push((day, None));
        } else if let Some(value) = read(&section, problems) {
            steps.push((day, Some(value)));
        }
        section.done(problems);
    }
    steps.sort_by_key(|(day, _)| *day);
    if steps.is_empty() {
        // A value that was there and is wrong has said so already.
        if !tried {
            problems.add(Problem::new(PackFault::NoLimit, parent.at()));
        }
        return None;
    }
    Some(Dated { steps })
}

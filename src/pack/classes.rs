//! `classes.toml`: the borders between classes of liquid, dated and cited like any value.

use super::about::SourceDocument;
use super::citation::{Citation, read_citation};
use super::dated::{Dated, read_dated};
use super::document::{Document, Section};
use crate::pack::PackFault;
use crate::quantity::{Dimension, Exact, Measure, Temperature};
use crate::text::{CellFault, Problem, Problems, Span};
use std::collections::BTreeMap;

/// A scheme of classes.
#[derive(Clone, Debug)]
pub struct Scheme {
    /// What a reader calls it.
    pub title: String,
    /// The classes; the last is for what does not flash.
    pub classes: Vec<Class>,
    /// Since when it holds, and where it is said.
    pub in_force: Dated<Citation>,
}

#[derive(Clone, Debug)]
pub struct Class {
    /// The word that rules use.
    pub name: String,
    /// The words that readers see.
    pub title: String,
    /// Flash points it takes; `None` if it takes only what does not flash.
    pub flash: Option<Band>,
    /// Boiling points it takes.
    pub boiling: Band,
    at: Span,
}

/// A band of temperatures; each end says whether it belongs to it.
#[derive(Clone, Copy, Debug, Default)]
pub struct Band {
    low: Option<(Temperature, bool)>,
    high: Option<(Temperature, bool)>,
}

impl Band {
    /// Does the temperature lie in it?
    pub fn takes(&self, at: Temperature) -> bool {
        self.low
            .is_none_or(|(low, with)| if with { at >= low } else { at > low })
            && self
                .high
                .is_none_or(|(high, with)| if with { at <= high } else { at < high })
    }

    /// Does it take every temperature?
    pub fn takes_all(&self) -> bool {
        self.low.is_none() && self.high.is_none()
    }

    fn borders(&self) -> impl Iterator<Item = Temperature> {
        self.low.iter().chain(&self.high).map(|(at, _)| *at)
    }
}

impl Scheme {
    /// Every border there is, flash first.
    pub fn borders(&self) -> (Vec<Temperature>, Vec<Temperature>) {
        let sorted = |mut list: Vec<Temperature>| {
            list.sort();
            list.dedup();
            list
        };
        let flash = self
            .classes
            .iter()
            .filter_map(|c| c.flash.as_ref())
            .flat_map(Band::borders)
            .collect();
        let boiling = self
            .classes
            .iter()
            .flat_map(|c| c.boiling.borders())
            .collect();
        (sorted(flash), sorted(boiling))
    }
}

pub(super) fn read_scheme(
    document: &Document<'_>,
    sources: &BTreeMap<String, SourceDocument>,
    problems: &mut Problems,
) -> Option<Scheme> {
    let top = document.top("classes.toml");
    let title = top.must("title", problems);
    let mut classes = Vec::new();
    for section in top.list("class", problems) {
        if let Some(class) = read_class(&section, problems) {
            let first = classes
                .iter()
                .find(|other: &&Class| other.name == class.name);
            if let Some(first) = first {
                let fault = PackFault::ClassTwice {
                    class: class.name.clone(),
                };
                problems.add(Problem::between(fault, class.at, first.at));
            }
            classes.push(class);
        }
        section.done(problems);
    }
    if !top.has("in_force") {
        top.missing("in_force", problems);
    }
    let in_force = read_dated(
        top.section("in_force", problems),
        problems,
        |section, problems| read_citation(section, sources, problems),
    );
    top.done(problems);
    let scheme = Scheme {
        title: title?.value,
        classes,
        in_force: in_force?,
    };
    check_cover(&scheme, problems);
    Some(scheme)
}

fn read_class(section: &Section<'_>, problems: &mut Problems) -> Option<Class> {
    let (name, title) = (
        section.must("name", problems),
        section.must("title", problems),
    );
    let flash = read_band(
        section,
        ["flash_from", "flash_above", "flash_below", "flash_up_to"],
        problems,
    );
    let boiling = read_band(
        section,
        [
            "boiling_from",
            "boiling_above",
            "boiling_below",
            "boiling_up_to",
        ],
        problems,
    );
    let name = name?;
    Some(Class {
        at: name.at,
        name: name.value,
        title: title?.value,
        flash: (!flash.takes_all()).then_some(flash),
        boiling,
    })
}

fn read_band(
    section: &Section<'_>,
    [from, above, below, up_to]: [&'static str; 4],
    problems: &mut Problems,
) -> Band {
    let mut end = |key, with| read_temperature(section, key, problems).map(|at| (at, with));
    Band {
        low: end(from, true).or(end(above, false)),
        high: end(up_to, true).or(end(below, false)),
    }
}

fn read_temperature(
    section: &Section<'_>,
    key: &'static str,
    problems: &mut Problems,
) -> Option<Temperature> {
    let told = section.text(key, problems)?;
    match Measure::parse_as(&told.value, Dimension::Temperature) {
        Ok(measure) => Some(measure.temperature()),
        Err(fault) => {
            let code = CellFault::Quantity {
                column: key.to_string(),
                read: told.value,
                fault,
                wanted: vec![Dimension::Temperature],
            };
            problems.add(Problem::new(code, told.at));
            None
        }
    }
}

/// Tries each border, and a point between each two: exactly one class must take each.
fn check_cover(scheme: &Scheme, problems: &mut Problems) {
    let Some(last) = scheme.classes.last() else {
        return;
    };
    let (flash, boiling) = scheme.borders();
    let mut told_gap = false;
    for at in with_between(&flash) {
        for boils in with_between(&boiling) {
            let taking: Vec<&Class> = scheme
                .classes
                .iter()
                .filter(|c| c.flash.is_some_and(|band| band.takes(at)) && c.boiling.takes(boils))
                .collect();
            let shown = format!("{} F", at.base().digits());
            match taking.as_slice() {
                [_] => {}
                [] if told_gap => {}
                [] => {
                    told_gap = true;
                    problems.add(Problem::new(PackFault::ClassGap { at: shown }, last.at));
                }
                [first, second, ..] => {
                    let (first_name, second_name) = (first.name.clone(), second.name.clone());
                    let code = PackFault::ClassOverlap {
                        at: shown,
                        first: first_name,
                        second: second_name,
                    };
                    problems.add(Problem::between(code, second.at, first.at));
                }
            }
        }
    }
}

fn with_between(borders: &[Temperature]) -> Vec<Temperature> {
    let step = Exact::constant(1, 6);
    let mut list = Vec::new();
    for border in borders {
        let base = border.base();
        for at in [base.minus(step), Ok(base), base.plus(step)]
            .into_iter()
            .flatten()
        {
            list.push(Temperature::from_base(at));
        }
    }
    if list.is_empty() {
        list.push(Temperature::from_base(Exact::ZERO));
    }
    list
}

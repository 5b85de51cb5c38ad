//! The classes of a liquid by the harmonized system: of fire by its flash point, of health and water by what it is made
//! of. Borders are those of `data/ghs/`; a share that meets its border exactly reaches it.

use super::class::Flash;
use super::makeup::Makeup;
use crate::pack::Seen;
use crate::quantity::Temperature;
use crate::trade::{Classed, Counted, Ghs, HazardClass, Limit, Pictogram, Signal};

/// Shares this close to a border reach it: what arithmetic in `f64` may lose.
const CLOSE: f64 = 1.0e-9;
/// Ingredients from which the sum of acute toxicity counts, per cent (UN GHS 3.1.3.3).
const RELEVANT: f64 = 1.0;
/// Unknown ingredients beyond this share shrink what the sum is a sum of, per cent (UN GHS 3.1.3.6.2.3).
const MOST_UNKNOWN: f64 = 10.0;
/// The routes of acute toxicity, as classes begin.
const ROUTES: [&str; 3] = ["acute-oral", "acute-dermal", "acute-vapour"];

/// A class that was met.
#[derive(Clone, Debug)]
pub struct Met<'g> {
    pub class: &'g HazardClass,
    /// The weakest way in which a part of it was seen.
    pub seen: Seen,
}

/// What a label says of hazards.
#[derive(Clone, Debug, Default)]
pub struct Labelled<'g> {
    /// Classes, in the order of the standard.
    pub met: Vec<Met<'g>>,
    /// What is unknown, in words; a label never leaves it out.
    pub gaps: Vec<String>,
    /// What a reader must know.
    pub said: Vec<String>,
}

/// The class of fire, exactly by the borders of the table. Where only the boiling point decides between two and is not
/// known, the graver one is taken, and it says so.
///
/// Units:  temperatures exact, in the base unit
/// Range:  any
/// Error:  none
/// Source: UN GHS table 2.6.1; Regulation (EC) 1272/2008, annex I, table 2.6.1
pub fn fire_class(
    ghs: &Ghs,
    flash: Flash,
    boils: Option<Temperature>,
) -> Option<(&HazardClass, Option<&'static str>)> {
    let Flash::At(at) = flash else {
        return None;
    };
    for class in ghs.classes.iter() {
        if !class.flash.is_some_and(|border| border.takes(at)) {
            continue;
        }
        match (class.boils, boils) {
            (None, _) => return Some((class, None)),
            (Some(border), Some(boils)) if border.takes(boils) => return Some((class, None)),
            (Some(_), Some(_)) => {}
            (Some(_), None) => {
                let why =
                    "the boiling point is unknown, so the more hazardous fire category is used";
                return Some((class, Some(why)));
            }
        }
    }
    None
}

/// The classes of health and water that a makeup meets.
///
/// Formula: each ingredient against its own limit where it has one, else against the general ones; sums Σ w M c against
///          their border; acute toxicity 100 / ATE = Σ c / ATE
/// Units:   per cent of the mass; doses in mg/kg, and mg/L of vapour
/// Range:   shares 0 to 100; what nothing is on record of is reported as a gap, never counted as harmless
/// Error:   as sure as the classes of the ingredients; tests of the mixture itself come first
/// Source:  UN GHS chapters 3.1 to 3.10 and 4.1, row by row in `data/ghs/limits.csv`
pub fn by_makeup<'g>(ghs: &'g Ghs, makeup: &Makeup) -> Labelled<'g> {
    let mut met: Vec<Met<'g>> = Vec::new();
    own_limits(ghs, makeup, &mut met);
    general_limits(ghs, makeup, &mut met);
    for route in ROUTES {
        acute(ghs, makeup, route, &mut met);
    }
    let mut labelled = Labelled {
        met,
        gaps: makeup.gaps.clone(),
        said: makeup.said.clone(),
    };
    if makeup.ingredients.is_empty() {
        labelled.gaps.push("what it is made of".into());
    }
    labelled.settle(ghs);
    labelled
}

/// What is on record of each ingredient, with its share.
fn on_record<'g>(ghs: &'g Ghs, makeup: &Makeup) -> impl Iterator<Item = (&'g [Classed], f64)> {
    let known = makeup.ingredients.iter().filter(|i| i.on_record);
    known.filter_map(|i| Some((ghs.substance(&i.name)?, i.most)))
}

fn reaches(share: f64, border: f64) -> bool {
    share >= border * (1.0 - CLOSE)
}

fn add<'g>(ghs: &'g Ghs, met: &mut Vec<Met<'g>>, class: &str, seen: Seen) {
    match met.iter_mut().find(|there| there.class.id == class) {
        Some(there) => there.seen = there.seen.min(seen),
        None => met.extend(ghs.class(class).map(|class| Met { class, seen })),
    }
}

fn own_limits<'g>(ghs: &'g Ghs, makeup: &Makeup, met: &mut Vec<Met<'g>>) {
    for (classes, share) in on_record(ghs, makeup) {
        for classed in classes {
            if let Some(own) = classed.at_least
                && reaches(share, own.estimate())
            {
                add(ghs, met, &classed.class, classed.seen);
            }
        }
    }
}

fn general_limits<'g>(ghs: &'g Ghs, makeup: &Makeup, met: &mut Vec<Met<'g>>) {
    let mut done: Vec<&str> = Vec::new();
    for limit in &ghs.limits {
        if limit.by == Counted::Each {
            each(ghs, makeup, limit, met);
        } else if !done.contains(&limit.class.as_str()) {
            done.push(&limit.class);
            sum(ghs, makeup, &limit.class, met);
        }
    }
}

fn each<'g>(ghs: &'g Ghs, makeup: &Makeup, limit: &Limit, met: &mut Vec<Met<'g>>) {
    for (classes, share) in on_record(ghs, makeup) {
        let of = classes
            .iter()
            .find(|c| c.class == limit.of && c.at_least.is_none());
        if let Some(classed) = of
            && reaches(share, limit.at_least.estimate())
        {
            add(ghs, met, &limit.class, classed.seen.max(limit.seen));
        }
    }
}

/// All rows of one class that are added: an ingredient that counts by several counts once, by the heaviest.
fn sum<'g>(ghs: &'g Ghs, makeup: &Makeup, class: &str, met: &mut Vec<Met<'g>>) {
    let rows: Vec<&Limit> = ghs
        .limits
        .iter()
        .filter(|limit| limit.class == class && limit.by == Counted::Sum)
        .collect();
    let Some(border) = rows.first().map(|row| row.at_least.estimate()) else {
        return;
    };
    let (mut total, mut seen) = (0.0, Seen::Text);
    for (classes, share) in on_record(ghs, makeup) {
        let counts = rows.iter().filter_map(|row| {
            let of = classes
                .iter()
                .find(|c| c.class == row.of && c.at_least.is_none())?;
            let factor = of.factor.map_or(1.0, |factor| factor.estimate());
            Some((row.weight.estimate() * factor, of.seen.max(row.seen)))
        });
        if let Some((weight, how)) = counts.max_by(|a, b| a.0.total_cmp(&b.0)) {
            total += weight * share;
            seen = seen.max(how);
        }
    }
    if total > 0.0 && reaches(total, border) {
        add(ghs, met, class, seen);
    }
}

fn acute<'g>(ghs: &'g Ghs, makeup: &Makeup, route: &str, met: &mut Vec<Met<'g>>) {
    let (mut doses, mut seen) = (Vec::new(), Seen::Text);
    for (classes, share) in on_record(ghs, makeup) {
        let classed = classes.iter().find(|c| c.class.starts_with(route));
        let Some(classed) = classed.filter(|_| share >= RELEVANT) else {
            continue;
        };
        let class = ghs.class(&classed.class);
        let dose = classed.estimate.or(class.and_then(|c| c.estimate));
        if let Some(dose) = dose {
            doses.push((share, dose.estimate()));
            let row = class.map_or(Seen::Memory, |c| c.seen);
            seen = seen.max(classed.seen).max(row);
        }
    }
    let Some(estimate) = acute_estimate(&doses, makeup.unknown()) else {
        return;
    };
    let category = ghs
        .classes
        .iter()
        .filter(|class| class.id.starts_with(route))
        .find(|class| {
            class
                .up_to
                .is_some_and(|up_to| estimate <= up_to.estimate() * (1.0 + CLOSE))
        });
    if let Some(class) = category {
        add(ghs, met, &class.id, seen);
    }
}

/// The acute toxicity estimate of a mixture.
///
/// Formula: (100 − u) / Σ (c / ATE), where u counts from more than 10 %
/// Units:   (c, ATE) pairs, c per cent; u `unknown` per cent of what nothing is known of; ATE in one unit of dose
/// Range:   c above 0 to 100, ATE above 0; without any pair, `None`
/// Error:   none of its own
/// Source:  UN GHS 3.1.3.6.1 and 3.1.3.6.2.3 (secondary)
pub fn acute_estimate(doses: &[(f64, f64)], unknown: f64) -> Option<f64> {
    let holds = doses
        .iter()
        .all(|(share, dose)| *share > 0.0 && *dose > 0.0);
    let load: f64 = doses.iter().map(|(share, dose)| share / dose).sum();
    let whole = if unknown > MOST_UNKNOWN {
        100.0 - unknown
    } else {
        100.0
    };
    (holds && load > 0.0)
        .then(|| whole / load)
        .and_then(super::finite)
}

impl<'g> Labelled<'g> {
    /// Takes in what another says too: the graver of each kind stays.
    pub fn join(&mut self, ghs: &'g Ghs, other: Labelled<'g>) {
        for met in other.met {
            add(ghs, &mut self.met, &met.class.id, met.seen);
        }
        for (list, more) in [(&mut self.gaps, other.gaps), (&mut self.said, other.said)] {
            list.extend(
                more.into_iter()
                    .filter(|text| !list.contains(text))
                    .collect::<Vec<_>>(),
            );
        }
        self.settle(ghs);
    }

    /// Adds the class of fire.
    pub fn burns(&mut self, ghs: &'g Ghs, class: &'g HazardClass, seen: Seen) {
        add(ghs, &mut self.met, &class.id, seen.max(class.seen));
        self.settle(ghs);
    }

    /// Drops what a graver class makes needless, and sorts by the order of the standard.
    fn settle(&mut self, ghs: &'g Ghs) {
        let covered: Vec<&str> = self
            .met
            .iter()
            .flat_map(|met| met.class.covers.iter().map(String::as_str))
            .collect();
        self.met
            .retain(|met| !covered.contains(&met.class.id.as_str()));
        let place = |met: &Met<'_>| ghs.classes.iter().position(|c| c.id == met.class.id);
        self.met.sort_by_key(place);
    }

    /// The signal word: the graver one alone.
    pub fn signal(&self) -> Option<Signal> {
        self.met.iter().filter_map(|met| met.class.signal).min()
    }

    /// The pictograms, by the standard's order of precedence: a skull or corrosion stands in for the exclamation mark,
    /// corrosion only where that speaks for skin and eyes.
    ///
    /// Source: UN GHS 1.4.10.5.3.1; Regulation (EC) 1272/2008, article 26 (secondary, both)
    pub fn pictograms(&self) -> Vec<Pictogram> {
        let has = |wanted| {
            self.met
                .iter()
                .any(|met| met.class.pictogram == Some(wanted))
        };
        let (skull, corrosion) = (has(Pictogram::Skull), has(Pictogram::Corrosion));
        let shown = |met: &&Met<'_>| match met.class.pictogram {
            Some(Pictogram::Exclamation) => {
                !(skull || corrosion && met.class.speaks_for == "skin-eye")
            }
            _ => true,
        };
        let mut list: Vec<Pictogram> = self
            .met
            .iter()
            .filter(shown)
            .filter_map(|met| met.class.pictogram)
            .collect();
        list.sort_unstable();
        list.dedup();
        list
    }

    /// Codes of the precautions, in the order in which labels show them, without those that another says too.
    pub fn precautions<'s>(&self, ghs: &'s Ghs) -> Vec<&'s crate::trade::Statement> {
        let mut list: Vec<&crate::trade::Statement> = self
            .met
            .iter()
            .flat_map(|met| &met.class.precautions)
            .filter_map(|code| ghs.statement(code))
            .collect();
        list.sort_by(|a, b| (a.rank, &a.code).cmp(&(b.rank, &b.code)));
        list.dedup_by(|a, b| a.code == b.code);
        let covered: Vec<&str> = list
            .iter()
            .flat_map(|statement| statement.covers.iter().map(String::as_str))
            .collect();
        list.retain(|statement| !covered.contains(&statement.code.as_str()));
        list
    }
}

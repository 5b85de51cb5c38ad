//! `data/ghs/`: the classes of the United Nations' harmonized system, its statements, the shares from which a mixture is
//! classed, the classes of generic substances, and the least sizes of labels. Every row says where it comes from.

use crate::pack::Seen;
use crate::quantity::{Exact, Length, Temperature, Volume};
use crate::text::words;
use std::collections::HashMap;

words! {
    /// A pictogram of the standard.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Pictogram {
        Flame = "flame",
        Skull = "skull",
        Corrosion = "corrosion",
        Health = "health",
        Exclamation = "exclamation",
        Environment = "environment",
    }
}

/// The signal word; the first outranks the second, and only one stands on a label.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Signal {
    /// The graver one.
    Danger,
    /// The lesser one.
    Warning,
}

impl Signal {
    /// As a label prints it.
    pub fn word(self) -> &'static str {
        match self {
            Signal::Danger => "DANGER",
            Signal::Warning => "WARNING",
        }
    }
}

/// Below or at a temperature.
#[derive(Clone, Copy, Debug)]
pub struct Under {
    pub(super) border: Temperature,
    pub(super) with: bool,
}

impl Under {
    /// Does the temperature lie under it?
    pub fn takes(&self, at: Temperature) -> bool {
        at < self.border || self.with && at == self.border
    }
}

/// A class with its category.
#[derive(Clone, Debug)]
pub struct HazardClass {
    /// Its name in the files.
    pub id: String,
    /// What readers call it.
    pub title: String,
    /// The code of its hazard statement.
    pub code: String,
    /// Its signal word, if it has one.
    pub signal: Option<Signal>,
    /// Its pictogram, if it has one.
    pub pictogram: Option<Pictogram>,
    /// What its pictogram speaks for, which decides whether a graver one stands in for it.
    pub speaks_for: String,
    /// Codes of its precautionary statements.
    pub precautions: Vec<String>,
    /// Classes that it makes needless.
    pub covers: Vec<String>,
    /// Flash points it takes; the first class of the file that takes one has it.
    pub flash: Option<Under>,
    /// Boiling points it takes.
    pub boils: Option<Under>,
    /// The dose that stands for the category in a sum, in mg/kg or mg/L.
    pub estimate: Option<Exact>,
    /// The dose up to which a mixture is of this category.
    pub up_to: Option<Exact>,
    /// How the row was seen.
    pub seen: Seen,
}

/// A statement of hazard or precaution.
#[derive(Clone, Debug)]
pub struct Statement {
    pub code: String,
    /// Its text as labels here show it, with blanks and choices filled in.
    pub text: String,
    /// The order in which precautions are shown.
    pub rank: u32,
    /// Codes that it makes needless.
    pub covers: Vec<String>,
    /// How it was seen.
    pub seen: Seen,
}

/// How the shares of ingredients count towards a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// One ingredient must reach the share by itself.
    Each,
    /// Ingredients are added.
    Sum,
}

/// A share of ingredients of one class from which a mixture is of a class.
#[derive(Clone, Debug)]
pub struct Limit {
    /// The class of the mixture.
    pub class: String,
    /// The class of the ingredient.
    pub of: String,
    /// Alone or added.
    pub by: Counted,
    /// How often its share counts.
    pub weight: Exact,
    /// Per cent of the mass.
    pub at_least: Exact,
    /// How it was seen.
    pub seen: Seen,
}

/// A class of a substance.
#[derive(Clone, Debug)]
pub struct Classed {
    /// The class; `none` says that it has none.
    pub class: String,
    /// The substance's own limit in a mixture, in place of the general one.
    pub at_least: Option<Exact>,
    /// Its own dose, in place of the one that stands for the category.
    pub estimate: Option<Exact>,
    /// How often it counts in water.
    pub factor: Option<Exact>,
    pub source: String,
    /// How it was seen.
    pub seen: Seen,
    /// What a reader must know about it.
    pub note: String,
}

/// The least a label may measure, by what the pack holds.
#[derive(Clone, Debug)]
pub struct LeastSize {
    /// Packs up to this size; the last row takes all.
    pub up_to: Option<Volume>,
    /// The shorter side of the label.
    pub short: Length,
    /// The longer side.
    pub long: Length,
    /// The side of each pictogram.
    pub pictogram: Length,
    /// The side of each pictogram where there is room for it.
    pub better: Length,
    /// The height of the letter x.
    pub letter: Length,
}

#[derive(Debug, Default)]
pub struct Ghs {
    /// Classes, graver ones of a kind first.
    pub classes: Vec<HazardClass>,
    /// Limits.
    pub limits: Vec<Limit>,
    /// Sizes, the smallest pack first.
    pub sizes: Vec<LeastSize>,
    pub(super) statements: HashMap<String, Statement>,
    pub(super) substances: HashMap<String, Vec<Classed>>,
}

impl Ghs {
    /// A class by its name.
    pub fn class(&self, id: &str) -> Option<&HazardClass> {
        self.classes.iter().find(|class| class.id == id)
    }

    /// A statement by its code.
    pub fn statement(&self, code: &str) -> Option<&Statement> {
        self.statements.get(code)
    }

    pub fn statements(&self) -> impl Iterator<Item = &Statement> {
        self.statements.values()
    }

    /// What is on record of a substance; nothing on record is not the same as no hazard.
    pub fn substance(&self, name: &str) -> Option<&[Classed]> {
        self.substances.get(&name.to_lowercase()).map(Vec::as_slice)
    }

    pub fn substances(&self) -> impl Iterator<Item = (&str, &[Classed])> {
        let list = self.substances.iter();
        list.map(|(name, classed)| (name.as_str(), classed.as_slice()))
    }

    /// The least size of a label for a pack of this size.
    pub fn least_size(&self, capacity: Volume) -> Option<&LeastSize> {
        let fits = |size: &&LeastSize| size.up_to.is_none_or(|up_to| capacity <= up_to);
        self.sizes.iter().find(fits)
    }
}

//! `data/materials.csv`: one value each row, with its source. The fallback where label and data sheet are silent.

use super::cut::{cut_named, named_as_cut};
use super::product::{Part, ProductKind, parse_parts};
use crate::pack::Seen;
use crate::quantity::{Density, Dimension, Exact, Measure, Temperature};
use crate::text::{FileId, Files, Problems, Shape, Span, Table};
use std::collections::HashMap;

const SHAPE: Shape = Shape {
    file: "materials.csv",
    must: &["material", "property", "value", "source", "seen"],
    may: &["note"],
};

/// A property of a material, by its word in the file.
pub type Property = &'static str;

/// Every property there is.
pub const PROPERTIES: [Property; 32] = [
    "alias",
    "cas",
    "kind",
    "family",
    "made_of",
    "flash_point",
    "boiling_point",
    "density",
    "molar_mass",
    "vapour_pressure",
    "antoine",
    "lel",
    "uel",
    "autoignition",
    "pel",
    "pel_ceiling",
    "pel_short",
    "rel",
    "rel_ceiling",
    "rel_short",
    "tlv",
    "tlv_short",
    "idlh",
    "evaporation",
    "odour",
    "drying_oil",
    "iodine_value",
    "incompatible",
    "hazard",
    "solids",
    "voc",
    "note",
];

/// Every word that the property `hazard` can hold. A share behind the word, as in `corrosive 25 %`, is the least of the material
/// that gives a mixture the same hazard.
pub const HAZARDS: [&str; 10] = [
    "aspiration",
    "corrosive",
    "gas",
    "irritant",
    "listed-oxidizer",
    "oxidizer",
    "peroxide-former",
    "sensitizer",
    "silica",
    "toxic",
];

/// One value as stated by one source.
#[derive(Clone, Debug)]
pub struct Stated {
    pub property: Property,
    /// The value as written.
    pub value: String,
    pub source: String,
    /// How it was seen.
    pub seen: Seen,
    /// What a reader must know about it.
    pub note: String,
    /// Where the row is.
    pub at: Span,
}

#[derive(Clone, Debug)]
pub struct Material {
    pub name: String,
    /// All that is stated of it, in the order of the file.
    pub stated: Vec<Stated>,
}

/// All generic materials, found by name or by another name, without regard to case.
#[derive(Debug, Default)]
pub struct Materials {
    list: Vec<Material>,
    by_name: HashMap<String, usize>,
}

impl Material {
    /// All that is stated of a property.
    pub fn all(&self, property: Property) -> impl Iterator<Item = &Stated> {
        self.stated
            .iter()
            .filter(move |stated| stated.property == property)
    }

    /// The first that is stated of a property.
    pub fn first(&self, property: Property) -> Option<&Stated> {
        self.all(property).next()
    }

    /// The first value of a property as a rough number in its base unit.
    pub fn estimate(&self, property: Property, dimension: Dimension) -> Option<f64> {
        let measure = Measure::parse_as(&self.first(property)?.value, dimension).ok()?;
        Some(measure.base.estimate())
    }

    pub fn density(&self) -> Option<Density> {
        Density::parse(&self.first("density")?.value).ok()
    }

    /// What it is made of, if that is stated.
    pub fn made_of(&self) -> Option<Vec<Part>> {
        parse_parts(&self.first("made_of")?.value)
    }

    /// What sort of thing it is.
    pub fn kind(&self) -> Option<ProductKind> {
        let word = &self.first("kind")?.value;
        ProductKind::WORDS
            .iter()
            .find(|(name, _)| name == word)
            .map(|(_, kind)| *kind)
    }

    /// The lowest temperature stated of a property, confirmed values first: the safer one governs.
    pub fn lowest(&self, property: Property) -> Option<(Temperature, &Stated)> {
        let read = |stated| temperature(stated).map(|at| (at, stated));
        let confirmed = self
            .all(property)
            .filter(|s| s.seen != Seen::Memory)
            .filter_map(read)
            .min_by_key(|(at, _)| *at);
        confirmed.or_else(|| {
            self.all(property)
                .filter_map(read)
                .min_by_key(|(at, _)| *at)
        })
    }

    /// Is it stated that the material does not flash?
    pub fn does_not_flash(&self) -> Option<&Stated> {
        self.all("flash_point")
            .find(|stated| stated.value == "none")
    }

    /// Is it stated to have this hazard, and from what share in a mixture on, if it has a share of its own? Only what was seen
    /// well enough counts.
    pub fn hazard(&self, word: &str, weakest: Seen) -> Option<Option<Exact>> {
        let mut counted = self.all("hazard").filter(|stated| stated.seen <= weakest);
        counted.find_map(|stated| {
            let (name, share) = match stated.value.split_once(' ') {
                Some((name, share)) => (name, Some(share)),
                None => (stated.value.as_str(), None),
            };
            let share = share.and_then(|share| Measure::parse_as(share, Dimension::Share).ok());
            (name == word).then(|| share.map(|measure| measure.base))
        })
    }

    /// Whether what is wet with it can self-heat; any yes governs.
    pub fn drying_oil(&self) -> Option<(bool, &Stated)> {
        let yes = self.all("drying_oil").find(|stated| stated.value == "yes");
        yes.map(|s| (true, s))
            .or_else(|| self.first("drying_oil").map(|s| (s.value == "yes", s)))
    }
}

fn temperature(stated: &Stated) -> Option<Temperature> {
    Measure::parse_as(&stated.value, Dimension::Temperature)
        .ok()
        .map(|m| m.temperature())
}

impl Materials {
    /// Finds a material by name or other name; a name with a comma also by what is before the comma, so that
    /// `shellac 2 lb cut, dewaxed garnet` is known as the cut it is.
    pub fn find(&self, name: &str) -> Option<&Material> {
        self.position(name)
            .or_else(|| self.any_cut(name))
            .or_else(|| self.before_comma(name))
            .and_then(|at| self.list.get(at))
    }

    /// By what is before a comma, unless another material, an oil or a varnish is named behind it.
    fn before_comma(&self, name: &str) -> Option<usize> {
        let (before, after) = name.split_once(',')?;
        let plain = |c: char| if c.is_alphanumeric() { c } else { ' ' };
        let after = format!(
            " {} ",
            after.to_lowercase().chars().map(plain).collect::<String>()
        );
        let other = ["oil", "oils", "varnish", "thinner", "stain"]
            .iter()
            .any(|word| after.contains(&format!(" {word} ")))
            || self
                .names()
                .any(|known| known.len() > 3 && after.contains(&format!(" {known} ")));
        if other {
            None
        } else {
            self.position(before.trim())
        }
    }

    /// Any cut of any flakes is shellac: the next thinner cut of the table, which holds more alcohol. What also names an oil
    /// or a varnish is none.
    fn any_cut(&self, name: &str) -> Option<usize> {
        let cut = named_as_cut(name)?;
        let lower = name.to_lowercase();
        let other = [
            "oil", "varnish", "thinner", "stain", "linseed", "tung", "lacquer", "wax ",
        ];
        if other.iter().any(|word| lower.contains(word)) {
            return None;
        }
        let shellacs = self.list.iter().enumerate();
        let mut cuts: Vec<(Exact, usize)> = shellacs
            .filter(|(_, material)| material.kind() == Some(ProductKind::Shellac))
            .filter_map(|(at, material)| Some((cut_named(&material.name)?, at)))
            .collect();
        cuts.sort_unstable();
        let thinner = cuts.iter().rev().find(|(known, _)| *known <= cut);
        thinner.or(cuts.first()).map(|(_, at)| *at)
    }

    fn position(&self, name: &str) -> Option<usize> {
        self.by_name
            .get(name)
            .or_else(|| self.by_name.get(&name.to_lowercase()))
            .copied()
    }

    /// Every name and other name.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.by_name.keys().map(String::as_str)
    }

    pub fn all(&self) -> &[Material] {
        &self.list
    }
}

/// Reads the built-in materials (or a test's own).
pub fn read_materials(files: &Files, file: FileId, problems: &mut Problems) -> Materials {
    let mut materials = Materials::default();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return materials;
    };
    while let Some(row) = table.next(problems) {
        let mut fields = super::row::Fields { row, problems };
        let properties = PROPERTIES.map(|p| (p, p));
        let seen = [Seen::WORDS.as_slice(), &[("computed", Seen::Secondary)]].concat();
        let (name, property) = (fields.must(0), fields.word(1, &properties));
        let (value, seen) = (fields.must(2), fields.word(4, &seen));
        let (Some(name), Some(property), Some(value), Some(seen)) = (name, property, value, seen)
        else {
            continue;
        };
        let at = *materials
            .by_name
            .entry(name.to_lowercase())
            .or_insert_with(|| {
                materials.list.push(Material {
                    name: name.to_string(),
                    stated: Vec::new(),
                });
                materials.list.len() - 1
            });
        if property == "alias" {
            materials.by_name.entry(value.to_lowercase()).or_insert(at);
        }
        let stated = Stated {
            property,
            value: value.to_string(),
            source: row.text(3).to_string(),
            seen,
            note: row.text(5).to_string(),
            at: row.span(),
        };
        if let Some(material) = materials.list.get_mut(at) {
            material.stated.push(stated);
        }
    }
    table.finish(problems);
    materials
}

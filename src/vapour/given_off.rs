//! What a litre of a product gives off: which substances, how much of each, and the limits that each has.
//!
//! Shares come from the shop's own products.csv, else from the generic materials. Where a share is a range, the part with
//! the tightest limit takes its high end first, so that an unknown share of methanol counts as the most there can be.

use super::against::{Against, Limits, PerLimit};
use super::conversion::{MolarVolume, mg_from_ppm};
use crate::pack::Seen;
use crate::quantity::{Density, Dimension, Measure, ShareBasis};
use crate::record::{
    Material, Part, ProductKind, Property, ShopTables, parse_parts, short_of_whole,
};

/// Minutes in which the film of a solvent with the relative rate of 1 (n-butyl acetate) gives off all but 37 %. A
/// judgment, no source: published rates order solvents and tell no minutes.
const DRYING_MINUTES_AT_RATE_1: f64 = 15.0;

/// One substance that evaporates.
#[derive(Clone, Debug)]
pub struct Vapour {
    pub name: String,
    /// Milligrams from a litre of the product.
    pub milligrams: f64,
    /// g/mol.
    pub molar: f64,
    /// Its strictest limits: the explosive one in % by volume, the others in mg/m³.
    pub limits: PerLimit,
    /// The same without those from memory: these alone can break a rule.
    pub confirmed: PerLimit,
    /// Minutes in which its film gives off all but 37 %.
    pub drying: f64,
}

impl Vapour {
    /// The level that counts as 1, mg/m³.
    pub(super) fn weight(&self, against: Against, limits: Limits) -> Option<f64> {
        let limit = match limits {
            Limits::All => self.limits.get(against),
            Limits::Confirmed => self.confirmed.get(against),
        }?;
        match against {
            Against::Lel => mg_from_ppm(limit * 10_000.0, self.molar, MolarVolume::Printed25),
            Against::Legal | Against::Guide | Against::Short | Against::ShortLegal => Some(limit),
        }
    }
}

/// All that a litre gives off.
#[derive(Clone, Debug, Default)]
pub struct GivenOff {
    /// Substance by substance.
    pub vapours: Vec<Vapour>,
    /// What a reader must know.
    pub said: Vec<String>,
    /// The weakest way in which a molar mass or density behind it was seen.
    pub seen: Option<Seen>,
    /// What is unknown of it: the vapours are then only some of all.
    pub gap: Option<String>,
    /// Kilograms in a litre, if that is known and it is no mixture.
    pub density: Option<f64>,
}

/// What a litre of a product gives off as its own row or the generic materials have it, or what has to be known for it.
pub(super) fn given_off(tables: &ShopTables, product: &str) -> Result<GivenOff, String> {
    let described = tables.product(product);
    let material = tables.materials.find(product);
    if matches!(
        tables.kind_of(product),
        Some(ProductKind::Flakes | ProductKind::Abrasive)
    ) {
        return Ok(GivenOff::default());
    }
    let (parts, density) = match (described.filter(|p| !p.made_of.is_empty()), material) {
        (Some(p), material) => (
            p.made_of.clone(),
            p.density
                .map(Density::estimate)
                .or(material.and_then(density)),
        ),
        (None, Some(material)) => (
            own_parts(material),
            described
                .and_then(|p| p.density)
                .map(Density::estimate)
                .or_else(|| density(material)),
        ),
        (None, None) => return Err(unknown(product)),
    };
    if parts.is_empty() {
        return match material {
            Some(material) if non_volatile(material) => Ok(GivenOff::default()),
            _ => Err(unknown(product)),
        };
    }
    let mut off = blend(tables, product, &parts, density);
    if let Some(total) = short_of_whole(&parts) {
        off.lacks(format!(
            "the parts of {product} add up to only {total} %; record the rest in products.csv"
        ));
    }
    Ok(off)
}

impl GivenOff {
    /// Adds so much of a substance.
    pub(super) fn add(&mut self, vapour: Vapour) {
        match self.vapours.iter_mut().find(|own| own.name == vapour.name) {
            Some(own) => own.milligrams += vapour.milligrams,
            None => self.vapours.push(vapour),
        }
    }

    /// Keeps the first thing that is unknown.
    pub(super) fn lacks(&mut self, why: String) {
        self.gap.get_or_insert(why);
    }
}

fn unknown(product: &str) -> String {
    format!(
        "the parts of {product} are unknown; record made_of in products.csv, from section 3 of its data sheet"
    )
}

/// The parts of a generic material: as stated, or itself where it is a substance of its own.
fn own_parts(material: &Material) -> Vec<Part> {
    if let Some(parts) = material.made_of() {
        return parts;
    }
    if material.first("molar_mass").is_some() || non_volatile(material) {
        return parse_parts(&format!("{} 100 mass %", material.name)).unwrap_or_default();
    }
    Vec::new()
}

/// Whether a material stays behind when a film dries.
pub(super) fn stays(material: &Material) -> bool {
    let solid = matches!(
        material.kind(),
        Some(
            ProductKind::Flakes
                | ProductKind::DryingOil
                | ProductKind::NonDryingOil
                | ProductKind::Abrasive
        )
    );
    solid || material.name == "varnish solids"
}

/// Whether nothing of it counts in the air: it stays behind, or is water.
fn non_volatile(material: &Material) -> bool {
    stays(material) || material.name == "water"
}

fn density(material: &Material) -> Option<f64> {
    material.density().map(Density::estimate)
}

fn lowest(
    material: &Material,
    property: Property,
    dimension: Dimension,
    which: Limits,
) -> Option<f64> {
    let counts = |s: &&crate::record::Stated| match which {
        Limits::All => true,
        Limits::Confirmed => s.seen != Seen::Memory,
    };
    let read = |s: &crate::record::Stated| {
        Measure::parse_as(&s.value, dimension)
            .ok()
            .map(|m| m.base.estimate())
    };
    material
        .all(property)
        .filter(counts)
        .filter_map(read)
        .min_by(f64::total_cmp)
}

/// A limit in mg/m³, from ppm where it is stated so.
fn limit(material: &Material, property: Property, molar: f64, which: Limits) -> Option<f64> {
    let by_mass = lowest(material, property, Dimension::MassInAir, which);
    let by_ppm = lowest(material, property, Dimension::Ppm, which)
        .and_then(|ppm| mg_from_ppm(ppm, molar, MolarVolume::Printed25));
    match (by_ppm, by_mass) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

/// The strictest limit of one kind.
fn strictest(material: &Material, against: Against, molar: f64, which: Limits) -> Option<f64> {
    let properties = against.properties().iter();
    let limits = properties.filter_map(|property| match against {
        Against::Lel => lowest(material, property, Dimension::Share, which),
        Against::Legal | Against::Guide | Against::Short | Against::ShortLegal => {
            limit(material, property, molar, which)
        }
    });
    limits.min_by(f64::total_cmp)
}

/// A part with its generic material and the share of it that counts, in per cent.
struct CountedPart<'m> {
    material: &'m Material,
    percent: f64,
    basis: ShareBasis,
    part: &'m Part,
}

/// A substance without its limits and amount.
fn vapour(material: &Material, molar: f64, milligrams: f64) -> Vapour {
    let rates = material.all("evaporation");
    let rates = rates.filter_map(|s| s.value.parse::<f64>().ok());
    let rate = rates.filter(|rate| *rate > 0.0).max_by(f64::total_cmp);
    let limits = |which| PerLimit::each(|against| strictest(material, against, molar, which));
    // How much of it evaporates is as sure as its molar mass.
    let is_remembered = material
        .first("molar_mass")
        .is_some_and(|stated| stated.seen == Seen::Memory);
    let confirmed = match is_remembered {
        true => PerLimit::default(),
        false => limits(Limits::Confirmed),
    };
    Vapour {
        name: material.name.clone(),
        milligrams,
        molar,
        limits: limits(Limits::All),
        confirmed,
        drying: DRYING_MINUTES_AT_RATE_1 / rate.unwrap_or(1.0),
    }
}

/// What the parts give off; a part of which something is missing leaves a gap, and the others count.
fn blend(
    tables: &ShopTables,
    product: &str,
    parts: &[Part],
    density_of_whole: Option<f64>,
) -> GivenOff {
    let mut off = GivenOff::default();
    let counted = shares(tables, product, parts, &mut off);
    let litre = density_of_whole.or_else(|| mixed_density(&counted));
    off.density = litre;
    for part in &counted {
        if non_volatile(part.material) || part.percent <= 0.0 {
            continue;
        }
        let name = &part.material.name;
        let Some(molar) = part.material.estimate("molar_mass", Dimension::MolarMass) else {
            off.lacks(format!("the molar mass of {name} in {product} is unknown"));
            continue;
        };
        let per_litre = match part.basis {
            ShareBasis::Volume => density(part.material),
            ShareBasis::Mass | ShareBasis::NotSaid => litre,
        };
        let Some(per_litre) = per_litre else {
            off.lacks(format!(
                "the density of {product} is unknown; record it in products.csv"
            ));
            continue;
        };
        let milligrams = part.percent / 100.0 * per_litre * 1.0e6;
        off.vapours.push(vapour(part.material, molar, milligrams));
        let seen = part.material.first("molar_mass").map(|s| s.seen);
        off.seen = off.seen.max(seen);
    }
    off
}

/// The share of each part: low ends first, then the rest of the whole to the parts with the tightest limits.
fn shares<'m>(
    tables: &'m ShopTables,
    product: &str,
    parts: &'m [Part],
    off: &mut GivenOff,
) -> Vec<CountedPart<'m>> {
    let mut counted = Vec::new();
    let mut room = 100.0;
    for part in parts {
        let percent = part.low.percent.estimate();
        room -= percent;
        let Some(material) = tables.materials.find(&part.name) else {
            off.lacks(format!(
                "{product} contains {}, which is not in the built-in list; describe it in products.csv",
                part.name
            ));
            continue;
        };
        counted.push(CountedPart {
            material,
            percent,
            basis: part.basis(),
            part,
        });
    }
    let tightness = |material: &Material| {
        let molar = material
            .estimate("molar_mass", Dimension::MolarMass)
            .unwrap_or(100.0);
        limit(material, "pel", molar, Limits::All).unwrap_or(f64::MAX)
    };
    let mut order: Vec<usize> = (0..counted.len()).collect();
    order.sort_by(|a, b| {
        tightness(counted[*a].material).total_cmp(&tightness(counted[*b].material))
    });
    for at in order {
        let Some(counted) = counted.get_mut(at) else {
            continue;
        };
        let (low, high) = (counted.part.low.percent, counted.part.high.percent);
        let (low, high) = (low.estimate(), high.estimate());
        let more = (high - low).min(room.max(0.0));
        if more > 0.0 {
            counted.percent += more;
            room -= more;
            off.said.push(format!(
                "{product} holds {low} to {high} % {}. The estimate uses {} %.",
                counted.part.name, counted.percent
            ));
        }
    }
    if parts.iter().any(|part| part.basis() == ShareBasis::NotSaid) {
        off.said.push(format!(
            "products.csv does not say whether the shares of {product} are by mass or volume. The estimate uses mass."
        ));
    }
    counted
}

/// The density of the whole from its parts, volumes added.
fn mixed_density(parts: &[CountedPart<'_>]) -> Option<f64> {
    let mut volume = 0.0;
    let mut mass = 0.0;
    for part in parts {
        let density = density(part.material)?;
        match part.basis {
            ShareBasis::Volume => {
                volume += part.percent;
                mass += part.percent * density;
            }
            ShareBasis::Mass | ShareBasis::NotSaid => {
                volume += part.percent / density;
                mass += part.percent;
            }
        }
    }
    (volume > 0.0).then(|| mass / volume)
}

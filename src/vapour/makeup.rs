//! What a product is made of, down to the substances that a label's classes are on record for, as shares of its mass.
//!
//! Shares come from the shop's own products.csv, else from the generic materials; a part that is a mixture itself is
//! taken apart. Every share is the most there can be, since a label must not understate.

use crate::quantity::{Density, ShareBasis};
use crate::record::{Part, ShopTables, short_of_whole};
use crate::trade::Ghs;

/// Mixtures within mixtures are taken apart this deep.
const DEEPEST: usize = 4;

/// One substance of a product.
#[derive(Clone, Debug)]
pub struct Ingredient {
    /// Its name; of a generic material, the material's.
    pub name: String,
    /// The most it can be, per cent of the mass.
    pub most: f64,
    /// Is anything on record of its classes? If not, the label must say so.
    pub on_record: bool,
}

/// All that a product is made of.
#[derive(Clone, Debug, Default)]
pub struct Makeup {
    /// Substance by substance, in the order met; empty where nothing is known.
    pub ingredients: Vec<Ingredient>,
    /// What is unknown of it, in words.
    pub gaps: Vec<String>,
    /// What a reader must know of how it was counted.
    pub said: Vec<String>,
}

/// Takes a product apart.
///
/// Formula: of shares by mass, the high end, but no more than the low ends of the others leave; of shares by volume,
///          h ρ / (h ρ + Σ l ρ) with the low ends l of the others
/// Units:   per cent of the mass
/// Range:   any list of parts; without densities the shares by volume are taken as shares by mass, and it says so
/// Error:   never too low, but for what the densities of generic materials are off: 1 %
/// Source:  the definitions; UN GHS 1.3.3.2 counts liquids by mass
pub fn makeup(tables: &ShopTables, ghs: &Ghs, product: &str) -> Makeup {
    let mut made = Makeup::default();
    take_apart(tables, ghs, (product, 100.0), DEEPEST, &mut made);
    made
}

/// Takes a mixture of products apart, each with the share of the volume that it is at least and at most.
///
/// Formula: each product h ρ / (h ρ + Σ l ρ) with the low ends l of the others, then as `makeup`
/// Units, source: as `makeup`
/// Range:   any list; without the densities the shares by volume are taken as shares by mass, and it says so
/// Error:   as `makeup`
pub fn mixed_makeup(tables: &ShopTables, ghs: &Ghs, portions: &[(&str, f64, f64)]) -> Makeup {
    let mut made = Makeup::default();
    let densities: Option<Vec<f64>> = portions
        .iter()
        .map(|(name, _, _)| density(tables, name, DEEPEST))
        .collect();
    let weights = densities.unwrap_or_else(|| {
        made.say("A density of what was poured together is unknown. Shares by volume are used as shares by mass.".into());
        vec![1.0; portions.len()]
    });
    let weighed = || portions.iter().zip(&weights);
    let all: f64 = weighed()
        .map(|((_, least, _), weight)| least * weight)
        .sum();
    for ((name, least, most), weight) in weighed() {
        let (others, most) = (all - least * weight, most * weight);
        if most > 0.0 {
            let share = 100.0 * most / (most + others.max(0.0));
            take_apart(tables, ghs, (name, share), DEEPEST, &mut made);
        }
    }
    made
}

fn take_apart(
    tables: &ShopTables,
    ghs: &Ghs,
    (name, share): (&str, f64),
    deeper: usize,
    made: &mut Makeup,
) {
    let described = tables.product(name).is_some_and(|p| !p.made_of.is_empty());
    let material = tables.materials.find(name);
    if let Some(material) = material.filter(|_| !described)
        && ghs.substance(&material.name).is_some()
    {
        add(made, &material.name, share, true);
        return;
    }
    let parts = tables.parts_of(name);
    let itself = |part: &Part| part.name.eq_ignore_ascii_case(name);
    if parts.is_empty() || deeper == 0 || parts.iter().any(itself) {
        add(
            made,
            material.map_or(name, |m| m.name.as_str()),
            share,
            false,
        );
        return;
    }
    if let Some(total) = short_of_whole(&parts) {
        made.gap(format!("the rest of `{name}`, of which {total} % is named"));
    }
    for (part, most) in parts.iter().zip(shares(tables, name, &parts, made)) {
        let part = (part.name.as_str(), share * most / 100.0);
        take_apart(tables, ghs, part, deeper - 1, made);
    }
}

impl Makeup {
    fn gap(&mut self, text: String) {
        if !self.gaps.contains(&text) {
            self.gaps.push(text);
        }
    }

    fn say(&mut self, text: String) {
        if !self.said.contains(&text) {
            self.said.push(text);
        }
    }

    /// The share of what nothing is on record of.
    pub fn unknown(&self) -> f64 {
        let unknown = self.ingredients.iter().filter(|i| !i.on_record);
        unknown.map(|i| i.most).sum::<f64>().min(100.0)
    }
}

fn add(made: &mut Makeup, name: &str, share: f64, on_record: bool) {
    if !on_record {
        made.gap(format!("`{name}`"));
    }
    match made
        .ingredients
        .iter_mut()
        .find(|i| i.name.eq_ignore_ascii_case(name))
    {
        Some(there) => there.most = (there.most + share).min(100.0),
        None => made.ingredients.push(Ingredient {
            name: name.to_string(),
            most: share,
            on_record,
        }),
    }
}

/// The most that each part can be, per cent of the mass.
fn shares(tables: &ShopTables, name: &str, parts: &[Part], made: &mut Makeup) -> Vec<f64> {
    let by_volume = |part: &Part| part.basis() == ShareBasis::Volume;
    let all_by_volume = parts.iter().all(by_volume);
    if !all_by_volume && parts.iter().any(by_volume) {
        made.gap(format!(
            "the shares of `{name}`, some by mass and some by volume"
        ));
    }
    let densities: Option<Vec<f64>> = parts
        .iter()
        .map(|part| density(tables, &part.name, DEEPEST))
        .collect();
    let weights = match densities {
        Some(densities) if all_by_volume => densities,
        _ => {
            if all_by_volume {
                made.say(format!(
                    "A density of the parts of {name} is unknown. Shares by volume are used as shares by mass."
                ));
            }
            vec![1.0; parts.len()]
        }
    };
    let low: Vec<f64> = parts
        .iter()
        .zip(&weights)
        .map(|(part, weight)| part.low.percent.estimate() * weight)
        .collect();
    let all_low: f64 = low.iter().sum();
    let most = |at: usize, part: &Part, weight: f64| {
        let high = part.high.percent.estimate() * weight;
        let others = all_low - low.get(at).copied().unwrap_or(0.0);
        if all_by_volume {
            100.0 * high / (high + others).max(1.0e-9)
        } else {
            high.min((100.0 - others).max(0.0))
        }
    };
    let each = parts.iter().zip(&weights).enumerate();
    each.map(|(at, (part, weight))| most(at, part, *weight).clamp(0.0, 100.0))
        .collect()
}

fn density(tables: &ShopTables, name: &str, deeper: usize) -> Option<f64> {
    if let Some(density) = tables.product(name).and_then(|p| p.density) {
        return Some(density.estimate());
    }
    let material = tables.materials.find(name);
    if let Some(material) = material.filter(|m| m.first("density").is_some()) {
        return material.density().map(Density::estimate);
    }
    let parts = tables.parts_of(name);
    let deeper = deeper.checked_sub(1)?;
    let (mut mass, mut volume) = (0.0, 0.0);
    for part in &parts {
        let share = (part.low.percent.estimate() + part.high.percent.estimate()) / 2.0;
        let density = density(tables, &part.name, deeper)?;
        match part.basis() {
            ShareBasis::Volume => {
                volume += share;
                mass += share * density;
            }
            ShareBasis::Mass | ShareBasis::NotSaid => {
                mass += share;
                volume += share / density;
            }
        }
    }
    super::finite(mass / volume).filter(|density| *density > 0.0)
}

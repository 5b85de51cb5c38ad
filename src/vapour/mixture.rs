//! Mixtures: shares of mass or volume to moles, the lower explosive limit of a vapour, pressures over a liquid, VOC.
//!
//! It must not know substances by name, nor what a share that was not stated might be: it reports the rest, and the
//! caller decides. Resin does not evaporate and is no part of the moles.

use super::{finite, within};

/// How far a Le Chatelier limit may be off for the solvents of a finishing room, the components' own limits aside.
pub const LEL_ERROR: f64 = 0.1;

/// What the shares are shares of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Shares of the mass.
    Mass,
    /// Shares of the volumes before mixing.
    Volume,
}

/// One liquid that evaporates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixturePart {
    /// Its share, of 1.
    pub share: f64,
    /// Molar mass, g/mol.
    pub molar: f64,
    /// Density, kg/L.
    pub density: f64,
}

/// A blend, its parts in the order given.
#[derive(Clone, Debug, PartialEq)]
pub struct Blend {
    /// Mole fractions among the parts; they add to 1.
    pub moles: Vec<f64>,
    /// Mass fractions among the parts; they add to 1.
    pub masses: Vec<f64>,
    /// Fractions of volume before mixing, among the parts; they add to 1.
    pub volumes: Vec<f64>,
    /// Density of the parts together, kg/L, if volumes add up.
    pub density: f64,
    /// The mean molar mass of the parts, g/mol.
    pub molar: f64,
    /// The share, of 1, that was not given to a part: resin, or not known.
    pub rest: f64,
}

/// Shares of mass or volume to moles, masses, volumes, density and molar mass.
///
/// Formula: n = m / M, v = m / ρ, ρ = Σ m / Σ v, M = Σ m / Σ n
/// Units:   shares of 1; M in g/mol; ρ in kg/L
/// Range:   shares 0 to 1 that add to more than 0 and at most 1, M 10 to 1000, ρ 0.3 to 3; outside it, `None`
/// Error:   fractions none; density up to 4 % too low for ethanol with water, which shrink on mixing, else 1 %
/// Source:  the definitions
pub fn blend(parts: &[MixturePart], basis: Basis) -> Option<Blend> {
    let holds = parts.iter().all(|part| {
        within(&[
            (part.share, 0.0..=1.0),
            (part.molar, 10.0..=1000.0),
            (part.density, 0.3..=3.0),
        ])
    });
    let given: f64 = parts.iter().map(|part| part.share).sum();
    if !(holds && given > 1.0e-9 && given <= 1.0 + 1.0e-9) {
        return None;
    }
    let mass: Vec<f64> = parts
        .iter()
        .map(|part| match basis {
            Basis::Mass => part.share,
            Basis::Volume => part.share * part.density,
        })
        .collect();
    let by = |divide: fn(&MixturePart) -> f64| -> Vec<f64> {
        parts
            .iter()
            .zip(&mass)
            .map(|(part, mass)| mass / divide(part))
            .collect()
    };
    let (moles, volumes) = (by(|part| part.molar), by(|part| part.density));
    let (all_mass, all_moles, all_volume) = (total(&mass), total(&moles), total(&volumes));
    Some(Blend {
        moles: moles.iter().map(|n| n / all_moles).collect(),
        masses: mass.iter().map(|m| m / all_mass).collect(),
        volumes: volumes.iter().map(|v| v / all_volume).collect(),
        density: all_mass / all_volume,
        molar: all_mass / all_moles,
        rest: (1.0 - given).max(0.0),
    })
}

fn total(values: &[f64]) -> f64 {
    values.iter().sum()
}

/// The limit of flammability of a vapour that holds several, lower or upper.
///
/// Formula: L = Σ y / Σ (y / L), over the flammable ones only (Le Chatelier)
/// Units:   (y, L) pairs, y in any one unit of moles or volume; L in % by volume, or all as shares
/// Range:   y 0 to 1e6 with a sum above 0, L above 0 to 100; outside it, `None`
/// Error:   10 % for lower limits; upper limits are much less sure
/// Source:  Crowl and Louvar, Chemical Process Safety, 2nd ed., sample problem, through the docstring of
///          `fire_mixing` in `chemicals` (secondary); Mashuga and Crowl 2000
pub fn le_chatelier(vapours: &[(f64, f64)]) -> Option<f64> {
    let holds = vapours
        .iter()
        .all(|(y, limit)| within(&[(*y, 0.0..=1.0e6), (*limit, 1.0e-6..=100.0)]));
    let all: f64 = vapours.iter().map(|(y, _)| y).sum();
    let weighted: f64 = vapours.iter().map(|(y, limit)| y / limit).sum();
    (holds && all > 1.0e-12)
        .then(|| all / weighted)
        .and_then(finite)
}

/// Several levels, each as a share of its own limit, added: over 1 the limit for the mixture is passed.
///
/// Formula: E = Σ C / L
/// Units:   (C, L) pairs, each pair in one unit
/// Range:   C 0 to 1e9, L 1e-9 to 1e9; outside it, `None`
/// Error:   that of the levels; for exposure it takes the effects to add up
/// Source:  29 CFR 1910.1000(d)(2)(i) (text); for vapour below its explosive limit the same sum is Le Chatelier's rule
pub fn sum_of_shares(levels: &[(f64, f64)]) -> Option<f64> {
    let holds = levels
        .iter()
        .all(|(level, limit)| within(&[(*level, 0.0..=1.0e9), (*limit, 1.0e-9..=1.0e9)]));
    holds
        .then(|| levels.iter().map(|(level, limit)| level / limit).sum())
        .and_then(finite)
}

/// The exposure over a shift of eight hours from periods at a steady level.
///
/// Formula: E = Σ C T / 8
/// Units:   (C, T) pairs, T in hours; E in the unit of C
/// Range:   C 0 to 1e9, T 0 to 24, together at most 24 h; outside it, `None`
/// Error:   that of the levels
/// Source:  29 CFR 1910.1000(d)(1)(i) (text)
pub fn eight_hour_exposure(periods: &[(f64, f64)]) -> Option<f64> {
    let holds = periods
        .iter()
        .all(|(level, hours)| within(&[(*level, 0.0..=1.0e9), (*hours, 0.0..=24.0)]));
    let hours: f64 = periods.iter().map(|(_, hours)| hours).sum();
    (holds && hours <= 24.0).then(|| {
        periods
            .iter()
            .map(|(level, hours)| level * hours)
            .sum::<f64>()
            / 8.0
    })
}

/// Partial pressures over an ideal mixture.
///
/// Formula: p = x P (Raoult)
/// Units:   (x, P) pairs, x mole fraction in the liquid, P vapour pressure of the pure liquid; p in the unit of P
/// Range:   x 0 to 1 adding to at most 1, P 0 to 1e9; outside it, `None`
/// Error:   5 % within a family; too low, by a factor of two and more, for alcohol in hydrocarbon and the like
/// Source:  Raoult's law; where it holds is the question of `flash::mixes_ideally`
pub fn raoult(parts: &[(f64, f64)]) -> Option<Vec<f64>> {
    let holds = parts
        .iter()
        .all(|(x, pressure)| within(&[(*x, 0.0..=1.0), (*pressure, 0.0..=1.0e9)]));
    let all: f64 = parts.iter().map(|(x, _)| x).sum();
    (holds && all <= 1.0 + 1.0e-9).then(|| parts.iter().map(|(x, pressure)| x * pressure).collect())
}

/// What evaporates of a finish, per litre of it.
///
/// Formula: VOC = 1000 ρ (1 − s − e)
/// Units:   ρ `density` of the finish in kg/L; s `solids` and e `exempt` (water, acetone) as shares of its mass; g/L
/// Range:   ρ 0.3 to 3, s and e 0 to 1 and together at most 1; outside it, `None`
/// Error:   that of the label's figures
/// Source:  40 CFR 59 subpart D, the definition without its rule for water and exempt volume (memory)
pub fn voc_per_litre(density: f64, solids: f64, exempt: f64) -> Option<f64> {
    let holds = within(&[
        (density, 0.3..=3.0),
        (solids, 0.0..=1.0),
        (exempt, 0.0..=1.0),
    ]);
    let left = 1.0 - solids - exempt;
    (holds && left >= -1.0e-12).then(|| 1000.0 * density * left.max(0.0))
}

/// VOC of finishes and thinners poured together.
///
/// Formula: VOC = Σ (V c) / Σ V
/// Units:   (V, c) pairs, V in any one unit of volume; c and VOC in any one unit of mass by volume
/// Range:   V 0 to 1e6 with a sum above 0, c 0 to 1e6; outside it, `None`
/// Error:   as far as volumes do not add up
/// Source:  Metal Finishing guidebook, appendix B, Calculation of VOC in coatings (text)
pub fn voc_together(poured: &[(f64, f64)]) -> Option<f64> {
    let holds = poured
        .iter()
        .all(|(volume, voc)| within(&[(*volume, 0.0..=1.0e6), (*voc, 0.0..=1.0e6)]));
    let all: f64 = poured.iter().map(|(volume, _)| volume).sum();
    let voc: f64 = poured.iter().map(|(volume, voc)| volume * voc).sum();
    (holds && all > 1.0e-12).then(|| voc / all).and_then(finite)
}

/// VOC on the coating turned into VOC on its solids.
///
/// Formula: S = c / (1 − c / ρ)
/// Units:   c `voc` per volume of coating less water; ρ `solvent` density in the same unit; S per volume of solids
/// Range:   c 0 to 1e6 and under 0.99 ρ; outside it, `None`
/// Error:   the conventional 7.36 lb/gal for the solvent may be 10 % off
/// Source:  Colorado 5 CCR 1001-29, appendix E, citing EPA-340/1-86-016 (text)
pub fn voc_on_solids(voc: f64, solvent: f64) -> Option<f64> {
    let holds = within(&[(voc, 0.0..=1.0e6), (solvent, 1.0e-6..=1.0e6)]) && voc <= 0.99 * solvent;
    holds.then(|| voc / (1.0 - voc / solvent)).and_then(finite)
}

//! The flash point of a mixture, where it can be estimated, and what can be said where it cannot.
//!
//! It must not know substances by name; a part brings its family, its own flash point and its pressure curve. An
//! estimate never replaces a data sheet's figure.

use super::pressure::Antoine;
use super::release::ZERO_CELSIUS;
use super::within;

/// How far an ideal estimate may be off, °C: the choice of the parts' own flash points moves it by 2, the rest by 1.
pub const IDEAL_ERROR: f64 = 3.0;
/// How far under its lowest part a mixture that is not ideal may flash, °C.
pub const PERHAPS_LOWER: f64 = 10.0;
/// How far the ethanol and water reading may be off, °C.
pub const ETHANOL_WATER_ERROR: f64 = 3.0;
/// How far below its fitted range a pressure curve may be used for a ratio of pressures, degrees.
const REACH: f64 = 45.0;

/// What kind of liquid a part is, as far as mixing goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Methanol, ethanol, propanols, butanols.
    Alcohol,
    /// Hexane, naphtha, mineral spirits, also turpentine and limonene.
    Aliphatic,
    /// Toluene, xylenes.
    Aromatic,
    /// Acetone, MEK, MIBK.
    Ketone,
    /// Ethyl and butyl acetate.
    Ester,
    /// 2-Butoxyethanol, PGME.
    GlycolEther,
    /// Dichloromethane.
    Chlorinated,
    /// Water, ammonia in water, acetic acid.
    Watery,
}

/// Whether two families mix nearly ideally, so that Raoult's law may be used for a flash point.
///
/// Formula: none; a closed list
/// Units:   none
/// Range:   every pair
/// Error:   the listed pairs keep within `IDEAL_ERROR`
/// Source:  ethanol with methanol: 0.75 °C between ideal and UNIFAC (computed); MEK with toluene: measured lower flash
///          points agree with Raoult (secondary); within a family: Astbury, IChemE Symp. Ser. 150 (2004) (secondary).
///          Barred: alcohol with hydrocarbon, Liaw 2002 and Vidal 2006 (secondary); all else for want of a source
pub fn mixes_ideally(one: Family, other: Family) -> bool {
    match (one, other) {
        (Family::Alcohol, Family::Alcohol)
        | (Family::Aliphatic, Family::Aliphatic)
        | (Family::Aromatic, Family::Aromatic)
        | (Family::Ketone, Family::Ketone | Family::Aromatic)
        | (Family::Aromatic, Family::Ketone)
        | (Family::Ester, Family::Ester) => true,
        (
            Family::Alcohol
            | Family::Aliphatic
            | Family::Aromatic
            | Family::Ketone
            | Family::Ester
            | Family::GlycolEther
            | Family::Chlorinated
            | Family::Watery,
            _,
        ) => false,
    }
}

/// A flammable part of a liquid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlashPart {
    /// Mole fraction among the parts.
    pub moles: f64,
    /// Its own flash point, closed cup, °C.
    pub flash: f64,
    /// Its vapour pressure, T in kelvin; P in any unit.
    pub pressure: Antoine,
    /// What it mixes with.
    pub family: Family,
}

/// What can be said of a mixture's flash point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MixtureFlash {
    /// An estimate, °C, within `IDEAL_ERROR`.
    About(f64),
    /// Not ideal, so the worst part is taken: no higher than `celsius`, and perhaps lower by `lower_by`.
    NoHigherThan {
        /// The lowest flash point of the parts, °C.
        celsius: f64,
        /// How much lower it may yet be, °C.
        lower_by: f64,
        /// The first two families that do not mix ideally.
        because: (Family, Family),
    },
}

/// The flash point of a mixture of flammable liquids.
///
/// Formula: Σ x P(T) / P(Tflash) = 1, solved for T (Liaw, with activity coefficients of 1)
/// Units:   mole fractions; °C
/// Range:   one to twenty parts, fractions above 0 adding to 1 within 1e-6, flash points −60 to 120 °C and at most 45
///          below each fitted pressure; outside it, `None`. Alcohol with hydrocarbon, and every pair that
///          `mixes_ideally` does not list, is refused: `NoHigherThan`
/// Error:   3 °C, most of it the choice of the parts' own flash points
/// Source:  Liaw et al., J. Loss Prev. Process Ind. 15 (2002) 429 (secondary)
pub fn flash_point(parts: &[FlashPart]) -> Option<MixtureFlash> {
    let all: f64 = parts.iter().map(|part| part.moles).sum();
    let holds = (1..=20).contains(&parts.len())
        && (all - 1.0).abs() <= 1.0e-6
        && parts
            .iter()
            .all(|part| within(&[(part.moles, 1.0e-9..=1.0), (part.flash, -60.0..=120.0)]));
    if !holds {
        return None;
    }
    let lowest = parts
        .iter()
        .map(|part| part.flash)
        .fold(f64::INFINITY, f64::min);
    if let Some(because) = pair_apart(parts) {
        return Some(MixtureFlash::NoHigherThan {
            celsius: lowest,
            lower_by: PERHAPS_LOWER,
            because,
        });
    }
    let highest = parts
        .iter()
        .map(|part| part.flash)
        .fold(f64::NEG_INFINITY, f64::max);
    let curves: Option<Vec<(f64, Antoine, f64)>> = parts
        .iter()
        .map(|part| {
            let curve = part.pressure.reaching_colder(REACH)?;
            let at_flash = curve
                .pressure(part.flash + ZERO_CELSIUS)
                .filter(|p| *p > 0.0)?;
            curve.pressure(lowest + ZERO_CELSIUS)?;
            curve.pressure(highest + ZERO_CELSIUS)?;
            Some((part.moles, curve, at_flash))
        })
        .collect();
    let curves = curves?;
    let sum = |celsius: f64| {
        let shares = curves.iter().map(|(x, curve, at_flash)| {
            curve
                .pressure(celsius + ZERO_CELSIUS)
                .map(|pressure| x * pressure / at_flash)
        });
        shares.sum::<Option<f64>>()
    };
    let (mut low, mut high) = (lowest, highest);
    for _ in 0..60 {
        let middle = low + (high - low) / 2.0;
        if sum(middle)? < 1.0 {
            low = middle
        } else {
            high = middle
        }
    }
    Some(MixtureFlash::About(low))
}

/// The first two families that do not mix ideally.
fn pair_apart(parts: &[FlashPart]) -> Option<(Family, Family)> {
    parts.iter().enumerate().find_map(|(place, one)| {
        let later = parts.iter().skip(place + 1);
        let other = later
            .map(|part| part.family)
            .find(|other| !mixes_ideally(one.family, *other));
        other.map(|other| (one.family, other))
    })
}

/// Flash point, °C, over % ethanol in water, as published twice; pure ethanol from IEC 60079-20-1 closes the table.
const ETHANOL_WATER: [(f64, f64); 12] = [
    (5.0, 62.0),
    (10.0, 49.0),
    (20.0, 36.0),
    (30.0, 29.0),
    (40.0, 26.0),
    (50.0, 24.0),
    (60.0, 22.0),
    (70.0, 21.0),
    (80.0, 20.0),
    (90.0, 17.0),
    (96.0, 17.0),
    (100.0, 12.0),
];

/// Density of ethanol with water at 20 °C, kg/L, over % of mass.
const ETHANOL_WATER_DENSITY: [(f64, f64); 11] = [
    (0.0, 0.9982),
    (10.0, 0.9819),
    (20.0, 0.9686),
    (30.0, 0.9538),
    (40.0, 0.9352),
    (50.0, 0.9138),
    (60.0, 0.8911),
    (70.0, 0.8677),
    (80.0, 0.8434),
    (90.0, 0.8180),
    (100.0, 0.7893),
];

/// The flash point of ethanol in water.
///
/// Formula: the published table, straight lines between its rows, read as % by volume
/// Units:   `volume_percent` of ethanol at 20 °C, after `ethanol_volume_percent` for a share of mass; °C
/// Range:   5 to 100; outside it, `None`: under 5 % the table says nothing, and nothing is not "none"
/// Error:   3 °C. The basis is disputed (mass or volume); read as volume the answer is the lower one, by up to 5 °C at
///          10 %. At 100 % it is the 12 °C of pure ethanol
/// Source:  a table published in two places with the same numbers (secondary, basis disputed); the end: IEC 60079-20-1
///          (2010) through `chemicals` 1.5.2 (secondary)
pub fn ethanol_water_flash(volume_percent: f64) -> Option<f64> {
    between_rows(&ETHANOL_WATER, volume_percent)
}

/// % by volume of ethanol in water from % by mass, at 20 °C.
///
/// Formula: φ = w ρ(w) / 0.7893
/// Units:   % of mass in, % of volume out
/// Range:   0 to 100; outside it, `None`
/// Error:   0.2 % by volume
/// Source:  densities at 20 °C from memory of the alcoholometric tables; to 60 % within 0.05 % of CoolProp 8.0.0,
///          INCOMP::MEA (see the tests); above that unconfirmed
pub fn ethanol_volume_percent(mass_percent: f64) -> Option<f64> {
    let density = between_rows(&ETHANOL_WATER_DENSITY, mass_percent)?;
    Some((mass_percent * density / 0.7893).min(100.0))
}

fn between_rows(rows: &[(f64, f64)], at: f64) -> Option<f64> {
    rows.iter()
        .zip(rows.iter().skip(1))
        .find_map(|(here, next)| {
            let along = (at - here.0) / (next.0 - here.0);
            (0.0..=1.0)
                .contains(&along)
                .then_some(here.1 + along * (next.1 - here.1))
        })
}

//! The flash point of a mixture, where it can be estimated, and what can be said where it cannot.
//!
//! It must not know substances by name; a part brings its family, its own flash point and its pressure curve. An
//! estimate never replaces a data sheet's figure.

use super::conversion::ZERO_CELSIUS;
use super::{finite, within};

/// How far an ideal estimate may be off, °C: the choice of the parts' own flash points moves it by 2, the rest by 1.
pub(super) const IDEAL_ERROR: f64 = 3.0;
/// How far under its lowest part a mixture that is not ideal may flash, °C.
const PERHAPS_LOWER: f64 = 10.0;
/// How far below its fitted range a pressure curve may be used for a ratio of pressures, degrees.
const REACH: f64 = 45.0;

/// Antoine's coefficients for log10 P = A − B / (T + C), in the units they were printed in, with the range they fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Antoine {
    pub a: f64,
    /// B.
    pub b: f64,
    /// C.
    pub c: f64,
    /// The lowest temperature fitted.
    pub coldest: f64,
    /// The highest temperature fitted.
    pub warmest: f64,
}

impl Antoine {
    /// The vapour pressure.
    ///
    /// Formula: log10 P = A − B / (T + C)
    /// Units:   T in the unit of C (kelvin for the library's coefficients), P in the unit of A (Pa there)
    /// Range:   `coldest` to `warmest`, at most 1e9; outside it, `None`
    /// Error:   1 to 2 % inside the fitted range
    /// Source:  Poling, Prausnitz and O'Connell, The Properties of Gases and Liquids (2001), through `chemicals` 1.5.2
    pub fn pressure(&self, t: f64) -> Option<f64> {
        let holds = within(&[(t, self.coldest..=self.warmest)]) && t + self.c > 0.0;
        let pressure = holds.then(|| 10.0_f64.powf(self.a - self.b / (t + self.c)))?;
        finite(pressure).filter(|p| *p <= 1.0e9)
    }

    /// The same fit with its range widened downwards: several solvents are fitted only from above room temperature. Up to
    /// 50 degrees this adds up to 15 % to the error (n-butyl acetate at 20 °C), and the caller says so.
    pub fn reaching_colder(&self, by: f64) -> Antoine {
        Antoine {
            coldest: self.coldest - by,
            ..*self
        }
    }
}

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
            let curve = part.pressure.reaching_colder(REACH);
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

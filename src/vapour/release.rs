//! Liquid that evaporates, as a volume of vapour, and vapour in air, as ppm or mg/m³.
//!
//! It must not know rooms or time. Vapour is taken as an ideal gas at one atmosphere.

use super::{finite, within};

/// The gas constant, J/(mol K): CODATA 2018, exact.
pub const GAS_CONSTANT: f64 = 8.314_462_618_153_24;
/// One atmosphere, kPa, exact.
pub const ATMOSPHERE: f64 = 101.325;
/// 0 °C in kelvin, exact.
pub const ZERO_CELSIUS: f64 = 273.15;
/// Litres in a US gallon, exact.
pub const LITRES_PER_GALLON: f64 = 3.785_411_784;
/// Litres in a cubic foot, exact.
pub const LITRES_PER_CUBIC_FOOT: f64 = 28.316_846_592;
/// Grams in a pound, exact.
pub const GRAMS_PER_POUND: f64 = 453.592_37;
/// How far a vapour volume may be off for a substance whose density and molar mass are known: density by temperature,
/// and the vapour's own departure from an ideal gas.
pub const VAPOUR_VOLUME_ERROR: f64 = 0.03;

/// Which volume of a mole of vapour is meant: exposure tables are printed with a rounded one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MolarVolume {
    /// 24.45 L at 25 °C, as exposure limits are printed.
    Printed25,
    /// 24.06 L at 20 °C, as printed in European tables.
    Printed20,
    /// That of an ideal gas at a temperature in °C.
    Ideal(f64),
}

impl MolarVolume {
    /// Litres in a mole.
    ///
    /// Formula: Vm = R T / P
    /// Units:   T in °C; Vm in L/mol, at 101.325 kPa
    /// Range:   −50 to 150 °C; outside it, `None`
    /// Error:   the printed volumes lie 0.06 % (25 °C) and 0.02 % (20 °C) from the ideal gas
    /// Source:  ideal gas with the CODATA 2018 constant; 24.45: exposure conversion sheets (secondary copy); 24.06: the
    ///          same at 20 °C
    pub fn litres(self) -> Option<f64> {
        match self {
            MolarVolume::Printed25 => Some(24.45),
            MolarVolume::Printed20 => Some(24.06),
            MolarVolume::Ideal(celsius) => {
                let holds = within(&[(celsius, -50.0..=150.0)]);
                holds.then(|| GAS_CONSTANT * (celsius + ZERO_CELSIUS) / ATMOSPHERE)
            }
        }
    }
}

/// Cubic feet in a pound-mole, the "387" of airflow formulas at 70 °F.
///
/// Formula: v = R T / P, brought to ft³ and pounds
/// Units:   T in °C; v in ft³/lb-mol, at 101.325 kPa
/// Range:   −50 to 150 °C; outside it, `None`
/// Error:   0.1 % against the printed 387 at 70 °F
/// Source:  ideal gas; the 387: University of Toledo, Industrial Ventilation formulas page (secondary)
pub fn cubic_feet_per_pound_mole(celsius: f64) -> Option<f64> {
    let litres = MolarVolume::Ideal(celsius).litres()?;
    Some(litres * GRAMS_PER_POUND / LITRES_PER_CUBIC_FOOT)
}

/// Vapour that a litre of liquid becomes.
///
/// Formula: v = Vm ρ / M
/// Units:   ρ `density` in kg/L; M `molar` in g/mol; `celsius` in °C; v in m³ of vapour per litre of liquid
/// Range:   ρ 0.3 to 3, M 10 to 1000, −50 to 150 °C; outside it, `None`
/// Error:   3 %; a mixture by its printed molar mass range more
/// Source:  ideal gas; held against 29 CFR 1910.94(c)(6)(ii), table G-11 (from memory, unconfirmed) within 0.4 ft³/gal
pub fn vapour_per_litre(density: f64, molar: f64, celsius: f64) -> Option<f64> {
    let litres = MolarVolume::Ideal(celsius).litres()?;
    within(&[(density, 0.3..=3.0), (molar, 10.0..=1000.0)]).then(|| litres * density / molar)
}

/// The same in the units of the US table: cubic feet of vapour per US gallon.
///
/// Formula: 1000 v × 3.785411784 / 28.316846592, v of `vapour_per_litre`
/// Units:   ft³/gal
/// Range, error, source: as `vapour_per_litre`
pub fn us_cubic_feet_per_gallon(density: f64, molar: f64, celsius: f64) -> Option<f64> {
    let cubic_metres = vapour_per_litre(density, molar, celsius)?;
    Some(cubic_metres * 1000.0 * LITRES_PER_GALLON / LITRES_PER_CUBIC_FOOT)
}

/// mg/m³ from ppm.
///
/// Formula: C = ppm M / Vm
/// Units:   ppm by volume; M `molar` in g/mol; Vm in L/mol; C in mg/m³
/// Range:   0 to 1e6 ppm, M 1 to 1000; outside it, `None`
/// Error:   0.1 % between the printed and the ideal molar volume; limits printed in mg/m³ are rounded further
/// Source:  the definition; ACGIH, Industrial Ventilation, as cited by the `chemicals` library, module safety
pub fn mg_from_ppm(ppm: f64, molar: f64, volume: MolarVolume) -> Option<f64> {
    let litres = volume.litres()?;
    within(&[(ppm, 0.0..=1.0e6), (molar, 1.0..=1000.0)]).then(|| ppm * molar / litres)
}

/// ppm from mg/m³.
///
/// Formula: ppm = C Vm / M
/// Units:   C in mg/m³; M `molar` in g/mol; Vm in L/mol
/// Range:   C 0 to 1e9, M 1 to 1000; `None` outside it, and where more than 1e6 ppm would come out
/// Error, source: as `mg_from_ppm`
pub fn ppm_from_mg(mg: f64, molar: f64, volume: MolarVolume) -> Option<f64> {
    let litres = volume.litres()?;
    let holds = within(&[(mg, 0.0..=1.0e9), (molar, 1.0..=1000.0)]);
    holds
        .then(|| mg * litres / molar)
        .filter(|ppm| *ppm <= 1.0e6)
}

/// ppm in air that stands over the liquid until it takes up no more.
///
/// Formula: ppm = 1e6 p / 101.325
/// Units:   p `pressure` in kPa
/// Range:   0 to 101.325 kPa (a liquid under its boiling point); outside it, `None`
/// Error:   that of the vapour pressure, 2 to 5 %
/// Source:  Procedures for Working with Chemicals in Laboratories, p. 196, eq. 1 (text, title unconfirmed)
pub fn saturated_ppm(pressure: f64) -> Option<f64> {
    within(&[(pressure, 0.0..=ATMOSPHERE)]).then(|| 1.0e6 * pressure / ATMOSPHERE)
}

/// ppm of a share of the lower explosive limit.
///
/// Formula: ppm = 10 000 LEL s
/// Units:   LEL `lel` in % by volume; s `share`, of 1
/// Range:   LEL 0.1 to 100, s 0 to 1; outside it, `None`
/// Error:   none beyond that of the limit
/// Source:  NIOSH, IDLH documentation, toluene (10 % of 1.1 % is 1100 ppm) (text)
pub fn ppm_of_lel(lel: f64, share: f64) -> Option<f64> {
    let holds = within(&[(lel, 0.1..=100.0), (share, 0.0..=1.0)]);
    holds.then_some(10_000.0 * lel * share).and_then(finite)
}

//! Liquid that evaporates, as a volume of vapour, and vapour in air, as ppm or mg/m³.
//!
//! It must not know rooms or time. Vapour is taken as an ideal gas at one atmosphere.

use super::within;

/// The gas constant, J/(mol K): CODATA 2018, exact.
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;
/// One atmosphere, kPa, exact.
pub const ATMOSPHERE: f64 = 101.325;
/// 0 °C in kelvin, exact.
pub const ZERO_CELSIUS: f64 = 273.15;
/// Litres in a US gallon, exact.
pub const LITRES_PER_GALLON: f64 = 3.785_411_784;
/// Litres in a cubic foot, exact.
pub const LITRES_PER_CUBIC_FOOT: f64 = 28.316_846_592;

/// Which volume of a mole of vapour is meant: exposure tables are printed with a rounded one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MolarVolume {
    /// 24.45 L at 25 °C, as exposure limits are printed.
    Printed25,
    /// That of an ideal gas at a temperature in °C.
    Ideal(f64),
}

impl MolarVolume {
    /// Litres in a mole.
    ///
    /// Formula: Vm = R T / P
    /// Units:   T in °C; Vm in L/mol, at 101.325 kPa
    /// Range:   −50 to 150 °C; outside it, `None`
    /// Error:   the printed volume lies 0.06 % from the ideal gas
    /// Source:  ideal gas with the CODATA 2018 constant; 24.45: exposure conversion sheets (secondary copy)
    pub fn litres(self) -> Option<f64> {
        match self {
            MolarVolume::Printed25 => Some(24.45),
            MolarVolume::Ideal(celsius) => {
                let holds = within(&[(celsius, -50.0..=150.0)]);
                holds.then(|| GAS_CONSTANT * (celsius + ZERO_CELSIUS) / ATMOSPHERE)
            }
        }
    }
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

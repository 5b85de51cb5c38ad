//! How much air thins what evaporates: for fire by the federal dilution formula, for health by the 403 formula.
//!
//! It must not know which limit applies or which of the two governs; that is for the one who asks.

use super::release::MolarVolume;
use super::{finite, within};

/// How far an air volume may be off, the vapour volume and the limit together; the mixing factor comes on top.
pub const AIR_ERROR: f64 = 0.05;

/// Air that brings the vapour of one measure of liquid to a share of its lower explosive limit.
///
/// Formula: A = (100 − LEL) v / (s LEL); with s = 0.25 this is the rule's 4 (100 − LEL) v / LEL
/// Units:   v `vapour` in volume of vapour per measure of liquid (m³/L, or ft³/gal); LEL `lel` in % by volume;
///          s `share` of the limit aimed at; A in the same volume of air per measure of liquid
/// Range:   v 0 to 1000, LEL 0.1 to 50, s 0.01 to 1; outside it, `None`
/// Error:   thinning to exactly s LEL would take (100 − s LEL) in place of (100 − LEL): 2.6 % more air at LEL 3.3 and
///          s 0.25; the vapour volume 3 %; the limit by its source
/// Source:  29 CFR 1910.94(c)(6)(ii) (the formula: secondary and memory; its toluene example 8564 ft³/gal: memory)
pub fn air_for_fire(vapour: f64, lel: f64, share: f64) -> Option<f64> {
    let holds = within(&[
        (vapour, 0.0..=1000.0),
        (lel, 0.1..=50.0),
        (share, 0.01..=1.0),
    ]);
    holds
        .then(|| (100.0 - lel) * vapour / (share * lel))
        .and_then(finite)
}

/// Airflow that the air per measure of liquid comes to.
///
/// Formula: Q = 60 A w K
/// Units:   A `air` in m³ per litre; w `litres_per_minute` evaporating; K `mixing`, 1 to 10; Q in m³/h
/// Range:   A 0 to 1e7, w 0 to 1e4, K 1 to 10; outside it, `None`
/// Error:   K is a judgment; the rule's own formula has K = 1
/// Source:  29 CFR 1910.94(c)(6)(ii) for A w; K as in the 403 formula
pub fn airflow_for_fire(air: f64, litres_per_minute: f64, mixing: f64) -> Option<f64> {
    let holds = within(&[
        (air, 0.0..=1.0e7),
        (litres_per_minute, 0.0..=1.0e4),
        (mixing, 1.0..=10.0),
    ]);
    holds
        .then_some(60.0 * air * litres_per_minute * mixing)
        .and_then(finite)
}

/// The 403 formula as printed: airflow that keeps a steady evaporation at a concentration.
///
/// Formula: Q = 403e6 K SG ER / (M C)
/// Units:   SG `gravity`, 1 for water; ER `pints_per_minute`, US pints; M `molar` in g/mol; C `ppm`;
///          K `mixing`; Q in cfm
/// Range:   SG 0.3 to 3, ER 0 to 1e4, M 10 to 1000, C 0.001 to 1e6, K 1 to 10; outside it, `None`
/// Error:   the constant is rounded by 0.12 %; K is a judgment
/// Source:  ACGIH, Industrial Ventilation, as given by the University of Toledo formulas page (secondary)
pub fn us_airflow_for_health(
    gravity: f64,
    pints_per_minute: f64,
    molar: f64,
    ppm: f64,
    mixing: f64,
) -> Option<f64> {
    let holds = within(&[
        (gravity, 0.3..=3.0),
        (pints_per_minute, 0.0..=1.0e4),
        (molar, 10.0..=1000.0),
        (ppm, 0.001..=1.0e6),
        (mixing, 1.0..=10.0),
    ]);
    holds
        .then(|| 403.0e6 * mixing * gravity * pints_per_minute / (molar * ppm))
        .and_then(finite)
}

/// The same without the rounded constant: airflow in m³/h that keeps a steady evaporation at a concentration.
///
/// Formula: Q = 60 K q / (C 1e-6), q = G Vm / (1000 M)
/// Units:   G `grams_per_minute`; M `molar` in g/mol; Vm in L/mol; C `ppm`; K `mixing`; Q in m³/h
/// Range:   G 0 to 1e6, M 10 to 1000, C 0.001 to 1e6, K 1 to 10; outside it, `None`
/// Error:   3 % before K; K is a judgment
/// Source:  the mass balance at rest; worked in Abulencia and Theodore, Fluid Flow for the Practicing Chemical
///          Engineer, example 20.2 (secondary)
pub fn airflow_for_health(
    grams_per_minute: f64,
    molar: f64,
    volume: MolarVolume,
    ppm: f64,
    mixing: f64,
) -> Option<f64> {
    let litres = volume.litres()?;
    let holds = within(&[
        (grams_per_minute, 0.0..=1.0e6),
        (molar, 10.0..=1000.0),
        (ppm, 0.001..=1.0e6),
        (mixing, 1.0..=10.0),
    ]);
    holds
        .then(|| 60.0 * mixing * (grams_per_minute * litres / (1000.0 * molar)) / (ppm * 1.0e-6))
        .and_then(finite)
}

/// Airflow for a number of air changes.
///
/// Formula: Q = n V
/// Units:   n `changes_per_hour` in 1/h; V `volume` in m³; Q in m³/h
/// Range:   n 0 to 1000, V 0.1 to 1e6; outside it, `None`
/// Error:   none
/// Source:  the definition; six an hour for an inside storage room: 29 CFR 1910.106(d)(4)(iv) (text)
pub fn airflow_for_changes(changes_per_hour: f64, volume: f64) -> Option<f64> {
    let holds = within(&[(changes_per_hour, 0.0..=1000.0), (volume, 0.1..=1.0e6)]);
    holds.then_some(changes_per_hour * volume)
}

/// Airflow by floor area, and never under a least one.
///
/// Formula: Q = max(least, q A)
/// Units:   any one unit of airflow for `least` and Q; `per_area` in it per unit of `area`
/// Range:   all 0 to 1e6; outside it, `None`
/// Error:   none
/// Source:  1 cfm per ft², not under 150 cfm: IFC 2018 (text, section 1206); NFPA 30 (unconfirmed)
pub fn airflow_for_floor(per_area: f64, area: f64, least: f64) -> Option<f64> {
    let holds = within(&[
        (per_area, 0.0..=1.0e6),
        (area, 0.0..=1.0e6),
        (least, 0.0..=1.0e6),
    ]);
    holds.then(|| (per_area * area).max(least)).and_then(finite)
}

//! The formulas for planned work: how much air thins what evaporates, and what all of the liquid on the floor comes to.
//!
//! Vapour of every solvent here is heavier than air and runs along the floor, so the mean over a room is the lowest figure
//! of a spill. This module must not know which limit applies or which airflow governs.

use super::conversion::MolarVolume;
use super::{finite, within};

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
/// Formula: Q = 60 A w
/// Units:   A `air` in m³ per litre; w `litres_per_minute` evaporating; Q in m³/h
/// Range:   A 0 to 1e7, w 0 to 1e4; outside it, `None`
/// Error:   that of A; the rule's own formula has no mixing factor
/// Source:  29 CFR 1910.94(c)(6)(ii)
pub fn airflow_for_fire(air: f64, litres_per_minute: f64) -> Option<f64> {
    let holds = within(&[(air, 0.0..=1.0e7), (litres_per_minute, 0.0..=1.0e4)]);
    holds.then_some(60.0 * air * litres_per_minute)
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

/// The share of the lower explosive limit in a room once all of the liquid hangs in its air; 1 and more can explode
/// throughout the room.
///
/// Formula: s = 100 v W / (V LEL)
/// Units:   W `litres` of liquid; v `vapour` in m³ per litre; V `room` in m³; LEL `lel` in % by volume; s a share of 1
/// Range:   W 0 to 1e5, v 0 to 2, V 0.1 to 1e6, LEL 0.1 to 50; `None` outside it, and where there is more vapour than room
/// Error:   3 % as a mean over the room; at the floor it may be many times that
/// Source:  the definition; worked both ways in published room-fill examples (see the tests)
pub fn share_of_lel_if_all(litres: f64, vapour: f64, room: f64, lel: f64) -> Option<f64> {
    let holds = within(&[
        (litres, 0.0..=1.0e5),
        (vapour, 0.0..=2.0),
        (room, 0.1..=1.0e6),
        (lel, 0.1..=50.0),
    ]);
    let percent = holds.then(|| 100.0 * litres * vapour / room);
    percent
        .filter(|percent| *percent <= 100.0)
        .map(|percent| percent / lel)
}

/// How high over the floor the vapour would stand if it lay there in one layer at just the lower explosive limit.
///
/// Formula: h = 100 v W / (LEL A)
/// Units:   W `litres`; v `vapour` in m³ per litre; A `floor` in m²; LEL `lel` in %; h in metres
/// Range:   W 0 to 1e5, v 0 to 2, A 0.1 to 1e5, LEL 0.1 to 50; outside it, `None`
/// Error:   an upper bound for an even layer in still air; a real one is richer below and thinner above
/// Source:  the definition
pub fn layer_at_lel(litres: f64, vapour: f64, floor: f64, lel: f64) -> Option<f64> {
    let holds = within(&[
        (litres, 0.0..=1.0e5),
        (vapour, 0.0..=2.0),
        (floor, 0.1..=1.0e5),
        (lel, 0.1..=50.0),
    ]);
    holds
        .then(|| 100.0 * litres * vapour / (lel * floor))
        .and_then(finite)
}

//! A container on the floor: how fast the pool gives off vapour, and what all of it does to the room.
//!
//! Vapour of every solvent here is heavier than air: it lies and runs along the floor, to a pilot light in the next
//! room. The mean over the room is therefore the kindest figure; the layer at the floor stands beside it.

use super::release::{ATMOSPHERE, GRAMS_PER_POUND, ZERO_CELSIUS};
use super::{finite, within};

/// How far the pool equation may be off: within about two of measured drying, and above it for fast liquids, which
/// chill themselves.
pub const POOL_ERROR: f64 = 1.0;
/// Square feet in a square metre, from the exact foot of 0.3048 m.
const SQUARE_FEET: f64 = 1.0 / (0.3048 * 0.3048);
/// Millimetres of mercury in a kilopascal.
const MM_MERCURY: f64 = 760.0 / ATMOSPHERE;

/// Evaporation from a pool.
///
/// Formula: E = 0.284 U^0.78 M^(2/3) A p / (82.05 T), in lb/min with A in ft² and p in mmHg
/// Units:   U `wind` in m/s; M `molar` in g/mol; A `area` in m²; p `pressure` in kPa; `celsius` in °C; E in kg/min
/// Range:   U 0.05 to 10, M 10 to 500, A 0 to 1e4, p 0 to 101.325, −30 to 60 °C; outside it, `None`
/// Error:   a factor of two; too high by 1.5 to 2.3 for acetone, alcohols and MEK. Indoors U is about 0.1 m/s
/// Source:  EPA 550-B-99-009, Risk Management Program Guidance for Offsite Consequence Analysis, appendix D (secondary;
///          its factors for acrylonitrile from memory)
pub fn pool_evaporation(
    wind: f64,
    molar: f64,
    area: f64,
    pressure: f64,
    celsius: f64,
) -> Option<f64> {
    let holds = within(&[
        (wind, 0.05..=10.0),
        (molar, 10.0..=500.0),
        (area, 0.0..=1.0e4),
        (pressure, 0.0..=ATMOSPHERE),
        (celsius, -30.0..=60.0),
    ]);
    let pounds = holds.then(|| {
        0.284 * wind.powf(0.78) * molar.powf(2.0 / 3.0) * area * SQUARE_FEET * pressure * MM_MERCURY
            / (82.05 * (celsius + ZERO_CELSIUS))
    })?;
    finite(pounds * GRAMS_PER_POUND / 1000.0)
}

/// The floor a spill covers.
///
/// Formula: A = V / h
/// Units:   V `litres`; h `depth_mm`; A in m²
/// Range:   V 0 to 1e5, h 0.1 to 100 mm; outside it, `None`
/// Error:   a smooth floor spreads thinner than the 10 mm of the guidance, a rough one holds more
/// Source:  EPA 550-B-99-009: a pool 1 cm deep (secondary)
pub fn pool_area(litres: f64, depth_mm: f64) -> Option<f64> {
    within(&[(litres, 0.0..=1.0e5), (depth_mm, 0.1..=100.0)]).then(|| litres / depth_mm)
}

/// Per cent of vapour in the room once all of the liquid hangs in its air.
///
/// Formula: c = 100 v W / V
/// Units:   W `litres` of liquid; v `vapour` in m³ per litre; V `room` in m³; c in % by volume
/// Range:   W 0 to 1e5, v 0 to 2, V 0.1 to 1e6; `None` outside it, and above 100 %
/// Error:   3 % as a mean over the room; at the floor it may be many times that
/// Source:  the definition; worked both ways in published room-fill examples (see the tests)
pub fn percent_if_all(litres: f64, vapour: f64, room: f64) -> Option<f64> {
    let holds = within(&[
        (litres, 0.0..=1.0e5),
        (vapour, 0.0..=2.0),
        (room, 0.1..=1.0e6),
    ]);
    holds
        .then(|| 100.0 * litres * vapour / room)
        .filter(|percent| *percent <= 100.0)
}

/// The share of the lower explosive limit that this is; 1 and more can explode throughout the room.
///
/// Formula: s = c / LEL, c of `percent_if_all`
/// Units:   as there; LEL `lel` in % by volume; s a share of 1
/// Range:   as there, LEL 0.1 to 50; outside it, `None`
/// Error, source: as there
pub fn share_of_lel_if_all(litres: f64, vapour: f64, room: f64, lel: f64) -> Option<f64> {
    let percent = percent_if_all(litres, vapour, room)?;
    within(&[(lel, 0.1..=50.0)]).then(|| percent / lel)
}

/// Liquid whose vapour fills the room to a share of the lower explosive limit.
///
/// Formula: W = s LEL V / (100 v)
/// Units:   s `share`; LEL `lel` in %; V `room` in m³; v `vapour` in m³ per litre; W in litres
/// Range:   s 0 to 1, LEL 0.1 to 50, V 0.1 to 1e6, v 0.01 to 2; outside it, `None`
/// Error:   3 % as a mean over the room
/// Source:  the definition; Recommended ventilation for various sized tanks (text)
pub fn litres_to_share_of_lel(share: f64, lel: f64, room: f64, vapour: f64) -> Option<f64> {
    let holds = within(&[
        (share, 0.0..=1.0),
        (lel, 0.1..=50.0),
        (room, 0.1..=1.0e6),
        (vapour, 0.01..=2.0),
    ]);
    holds
        .then(|| share * lel * room / (100.0 * vapour))
        .and_then(finite)
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

/// Minutes until a pool is gone that gives off as much at the end as at the beginning.
///
/// Formula: t = m / E
/// Units:   m `kilograms`; E in kg/min of `pool_evaporation`; t in minutes
/// Range:   m 0 to 1e6, E 1e-9 to 1e6; outside it, `None`
/// Error:   a pool shrinks and chills, so it lasts longer
/// Source:  the definition; state agency spill example, 11 340 kg at 2981 g/s in 3804 s (secondary)
pub fn pool_minutes(kilograms: f64, evaporation: f64) -> Option<f64> {
    let holds = within(&[(kilograms, 0.0..=1.0e6), (evaporation, 1.0e-9..=1.0e6)]);
    holds.then(|| kilograms / evaporation).and_then(finite)
}

//! A room whose air is stirred to one level everywhere: its air changes, its clearing, and what is let into it.
//!
//! What this model cannot know: the breathing zone at the bench, dead corners, vapour that runs along the floor. The
//! mixing factor K stands in for the first two; nothing here stands in for the third. It must not know substances.

use super::{finite, within};

/// The longest a release, a film or a window may last: a week, in minutes.
pub const WEEK: f64 = 10_080.0;

/// Air changes an hour under which a room counts as closed.
const LEAST_CHANGES: f64 = 1.0e-9;

/// Air changes an hour.
///
/// Formula: n = Q / V
/// Units:   Q `air` in m³/h; V `volume` in m³; n in 1/h
/// Range:   Q 0 to 1e6, V 0.1 to 1e6, n at most 1000; outside it, `None`
/// Error:   that of the two measurements
/// Source:  the definition; CDC, Guidelines for Environmental Infection Control in Health-Care Facilities (2003),
///          appendix B
pub fn air_changes(air: f64, volume: f64) -> Option<f64> {
    let holds = within(&[(air, 0.0..=1.0e6), (volume, 0.1..=1.0e6)]);
    holds.then(|| air / volume).filter(|n| *n <= 1000.0)
}

/// Minutes until the share `removed` of what hangs in the air is gone, once nothing more is given off.
///
/// Formula: t = −60 ln(1 − r) / n
/// Units:   n `changes_per_hour` in 1/h; r `removed`, a share of 1; t in minutes
/// Range:   n 0.1 to 100, r 0 to 0.9999; outside it, `None`
/// Error:   none in a perfectly mixed room; a real one takes 1 to 10 times as long
/// Source:  MMWR 43 (RR-13), 1994, table S3-1 (also for the 1 to 10); CDC guidelines (2003), appendix B, table B.1
pub fn clearing_minutes(changes_per_hour: f64, removed: f64) -> Option<f64> {
    let holds = within(&[(changes_per_hour, 0.1..=100.0), (removed, 0.0..=0.9999)]);
    holds.then(|| -60.0 * (-removed).ln_1p() / changes_per_hour)
}

/// Minutes until a steady release into a closed room, or one with air, has brought the level to `target`.
///
/// Formula: t = −ln(1 − C n V / G) / n, and C V / G when n = 0
/// Units:   V in m³ and n in 1/min from the room; G `rate` in mg/min; C `target` in mg/m³; t in minutes
/// Range:   G above 0 to 1e12, C 0 to 1e12; `None` outside it, and when the level is never reached
/// Error:   none in a perfectly mixed room with a steady release
/// Source:  the mass balance of a well-mixed room, solved
pub fn minutes_to_reach(room: &WellMixedRoom, rate: f64, target: f64) -> Option<f64> {
    if !within(&[(rate, f64::MIN_POSITIVE..=1.0e12), (target, 0.0..=1.0e12)]) {
        return None;
    }
    let still = target * room.volume / rate;
    let x = still * room.changes;
    if x >= 1.0 {
        return None;
    }
    let stretch = if x == 0.0 { 1.0 } else { -(-x).ln_1p() / x };
    finite(still * stretch)
}

/// The level that a steady release ends at.
///
/// Formula: C = G / (n V)
/// Units:   V in m³ and n in 1/min from the room; G `rate` in mg/min; C in mg/m³
/// Range:   G 0 to 1e12; `None` outside it, and in a room without air, where the level never settles
/// Error:   none in a perfectly mixed room
/// Source:  the mass balance of a well-mixed room, at rest
pub fn steady_level(room: &WellMixedRoom, rate: f64) -> Option<f64> {
    let holds = within(&[(rate, 0.0..=1.0e12)]) && room.changes > 0.0;
    holds
        .then(|| rate / (room.changes * room.volume))
        .and_then(finite)
}

/// A room: its volume, and the air changes that count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WellMixedRoom {
    volume: f64,
    changes: f64,
}

impl WellMixedRoom {
    /// Formula: n = Q / (60 K V)
    /// Units:   V `volume` in m³; Q `air` in m³/h; K `mixing`, 1 for perfect, to 10 for poor; n in 1/min
    /// Range:   V 0.1 to 1e6, Q 0 to 1e6, K 1 to 10, Q/V at most 1000 an hour, and under 1e-9 as none;
    ///          outside it, `None`
    /// Error:   K is a judgment: the level may be off by its whole range
    /// Source:  MMWR 43 (RR-13), 1994, table S3-1, for K of 1 to 10 multiplying the time; K as a divisor of the air is
    ///          the same in the mass balance
    pub fn new(volume: f64, air: f64, mixing: f64) -> Option<WellMixedRoom> {
        let changes = air_changes(air, volume)?;
        let counts = if changes < LEAST_CHANGES {
            0.0
        } else {
            changes / (60.0 * mixing)
        };
        let holds = within(&[(mixing, 1.0..=10.0)]);
        holds.then_some(WellMixedRoom {
            volume,
            changes: counts,
        })
    }

    pub fn volume(&self) -> f64 {
        self.volume
    }

    /// Air changes that count, an hour: those measured, divided by the mixing factor.
    pub fn changes_per_hour(&self) -> f64 {
        self.changes * 60.0
    }

    /// The same in 1/min, for the solver.
    pub(super) fn changes_per_minute(&self) -> f64 {
        self.changes
    }
}

/// Something put on evenly from `start` for `minutes`, that then dries: what leaves the film in a minute is the film's
/// content over `drying`. A `drying` of 0 lets it into the air as it is put on, the cautious reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Release {
    /// When the work begins, in minutes on any clock common to all releases.
    pub start: f64,
    /// How long it is put on, minutes; 0 is all at once.
    pub minutes: f64,
    /// How much evaporates in all, mg.
    pub mass: f64,
    /// The time constant of the drying film, minutes.
    pub drying: f64,
}

impl Release {
    /// Whether the numbers lie where the model holds: start within ±1e8 min, work up to a week, mass 0 to 1e12 mg,
    /// drying 0, or 0.001 min to a week.
    pub fn holds(&self) -> bool {
        let dries = self.drying == 0.0 || (0.001..=WEEK).contains(&self.drying);
        let ranges = [
            (self.start, -1.0e8..=1.0e8),
            (self.minutes, 0.0..=WEEK),
            (self.mass, 0.0..=1.0e12),
        ];
        dries && within(&ranges)
    }
}

//! A room whose air is stirred to one level everywhere: its air changes, its clearing, and what is let into it.
//!
//! What this model cannot know: the breathing zone at the bench, dead corners, vapour that runs along the floor. The
//! mixing factor K covers the first two; nothing here covers the third. It must not know substances.

use super::within;

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
pub(super) fn air_changes(air: f64, volume: f64) -> Option<f64> {
    let holds = within(&[(air, 0.0..=1.0e6), (volume, 0.1..=1.0e6)]);
    holds.then(|| air / volume).filter(|n| *n <= 1000.0)
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

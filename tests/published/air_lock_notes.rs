//! An air lock of 5 × 8 × 9 ft: nrctraining.com, air-lock page. Seen: secondary.

use crate::prints;
use sandarac::vapour::dilution::airflow_for_changes;
use sandarac::vapour::history::History;
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

#[test]
fn six_cfm_to_an_air_change() {
    prints(
        airflow_for_changes(1.0, 5.0 * 8.0 * 9.0).map(|per_hour| per_hour / 60.0),
        "6",
    );
}

/// A mixing factor of 2 makes 2 minutes into 4.
#[test]
fn the_mixing_factor_multiplies_the_time() {
    let clear = |mixing| {
        let room = WellMixedRoom::new(360.0, 60.0 * 360.0, mixing).unwrap();
        let emission = Release {
            start: 0.0,
            minutes: 0.0,
            mass: 360.0,
            drying: 0.0,
        };
        History::new(&room, &[emission])
            .unwrap()
            .clear_from((-2.0_f64).exp())
    };
    prints(clear(1.0), "2");
    prints(clear(2.0), "4");
}

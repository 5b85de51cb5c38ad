//! Recommended ventilation for various sized tanks (single page, scribd 136701635), one coating. Seen: text. The cell
//! 13 378 ft³ for 100 000 gal is a misprint of 13 368; its own 1 % cell, 133.6, is right.

use crate::near;
use sandarac::vapour::conversion::{LITRES_PER_CUBIC_FOOT, LITRES_PER_GALLON};
use sandarac::vapour::dilution::share_of_lel_if_all;
use sandarac::vapour::history::History;
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

/// Gallons of tank, ft³, ft³ of vapour at 1 %, gallons of coating to 1 %, gallons an hour, minutes to 1 %, cfm, minutes
/// for one air change.
const ROWS: [[f64; 8]; 5] = [
    [5_000.0, 668.0, 6.7, 0.26, 5.0, 3.0, 1000.0, 0.668],
    [10_000.0, 1336.0, 13.4, 0.52, 5.0, 6.0, 2000.0, 0.668],
    [25_000.0, 3342.0, 33.4, 1.3, 10.0, 8.0, 2000.0, 1.7],
    [50_000.0, 6684.0, 66.8, 2.6, 10.0, 16.0, 3000.0, 2.2],
    [100_000.0, 13_368.0, 133.6, 5.2, 10.0, 31.0, 5000.0, 2.7],
];
/// ft³ of vapour a gallon of that coating gives, as the rows imply: 25.69 to 25.77.
const VAPOUR: f64 = 25.7;

#[test]
fn every_row() {
    for [
        gallons,
        cubic_feet,
        one_percent,
        coating,
        per_hour,
        minutes,
        cfm,
        change,
    ] in ROWS
    {
        let volume = gallons * LITRES_PER_GALLON / 1000.0;
        near(
            Some(volume * 1000.0 / LITRES_PER_CUBIC_FOOT),
            cubic_feet,
            0.0007,
        );
        let vapour = VAPOUR * LITRES_PER_CUBIC_FOOT / LITRES_PER_GALLON / 1000.0;
        // to 1 % of the air: the limit is taken as 1 %, all of it
        near(
            share_of_lel_if_all(coating * LITRES_PER_GALLON, vapour, volume, 1.0),
            1.0,
            0.005,
        );
        near(Some(coating * VAPOUR), one_percent, 0.005);
        // the printed minutes to 1 %, in a tank without air, in ft³ of vapour for mg
        let tank = WellMixedRoom::new(cubic_feet, 0.0, 1.0).unwrap();
        let hour = Release {
            start: 0.0,
            minutes: 60.0,
            mass: per_hour * VAPOUR,
            drying: 0.0,
        };
        let history = History::new(&tank, &[hour]).unwrap();
        let level = |minute: f64| history.level_at(minute).unwrap();
        assert!(level(minutes - 0.51) < 0.01, "{minutes}");
        assert!(level(minutes + 0.51) > 0.01, "{minutes}");
        near(Some(cubic_feet / cfm), change, 0.02);
    }
}

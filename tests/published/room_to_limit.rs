//! Hazardous-materials statement, City of Everett WA, public record 2008361, p. 15: grams of vapour that bring
//! 13 440 ft³ to a limit. Seen: text. (Its count of 5 mL doses for acetone does not reproduce and is left out.)

use crate::prints;
use sandarac::vapour::conversion::LITRES_PER_CUBIC_FOOT;
use sandarac::vapour::history::History;
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

#[test]
fn grams_that_fill_the_room_to_a_limit() {
    let volume = 13_440.0 * LITRES_PER_CUBIC_FOOT / 1000.0;
    prints(Some(volume * 1000.0), "380578");
    let room = WellMixedRoom::new(volume, 0.0, 1.0).unwrap();
    for (mg_per_litre, grams) in [(0.50, "190"), (0.38, "145"), (0.40, "152")] {
        let mass = mg_per_litre * 1000.0 * volume;
        prints(Some(mass / 1000.0), grams);
        for drying in [0.0, 15.0] {
            let all = [Release {
                start: 0.0,
                minutes: 20.0,
                mass,
                drying,
            }];
            let peak = History::new(&room, &all).unwrap().peak();
            assert!((peak.level / (mg_per_litre * 1000.0) - 1.0).abs() < 1.0e-12);
        }
    }
}

//! A finishing note (en.nbchao.com/k/570): 10 000 ft³ of fresh air a gallon of solvent, printed as 280 m³ per 3.79 L;
//! and epm.uk.com, What does LEL mean: 25 % of 3.3 % as 0.8 %. Seen: secondary; rules of thumb.

use crate::near;
use sandarac::vapour::conversion::LITRES_PER_CUBIC_FOOT;
use sandarac::vapour::dilution::air_for_fire;

/// Two figures only: 283 was printed as 280. The rule's own formula gives the same size for every solvent of a room.
#[test]
fn ten_thousand_cubic_feet_a_gallon() {
    near(Some(10.0 * LITRES_PER_CUBIC_FOOT), 280.0, 0.02);
    for (vapour, lel) in [(55.3, 3.3), (43.9, 2.5), (30.4, 1.1), (20.4, 0.8)] {
        let air = air_for_fire(vapour, lel, 0.25).unwrap();
        assert!((5_000.0..20_000.0).contains(&air), "{air}");
    }
}

#[test]
fn a_quarter_of_the_limit_of_ethanol() {
    // one measure of vapour in the air that it gets
    let percent = 100.0 / air_for_fire(1.0, 3.3, 0.25).unwrap();
    assert!((0.8..0.9).contains(&percent), "{percent}");
}

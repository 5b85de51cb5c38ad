//! 2-Butoxyethanol: Carpenter et al., AMA Arch. Ind. Health, abstract at hero.epa.gov reference 66464: 0.76 mmHg at
//! 20 °C is of the order of 1000 ppm. Seen: text. The formula: Procedures for Working with Chemicals in Laboratories,
//! p. 196, eq. 1. Seen: text, title unconfirmed; it prints no example, and toluene at 21 mmHg is computed.

use crate::near;
use sandarac::vapour::release::{ATMOSPHERE, saturated_ppm};

#[test]
fn air_over_the_liquid() {
    near(saturated_ppm(0.76 / 760.0 * ATMOSPHERE), 1000.0, 1.0e-12);
    near(saturated_ppm(21.0 / 760.0 * ATMOSPHERE), 27_631.6, 1.0e-5);
    assert_eq!(saturated_ppm(102.0), None);
}

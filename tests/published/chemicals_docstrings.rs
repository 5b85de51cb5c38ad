//! The `chemicals` library, module safety, docstring tests. Seen: text for the library. `ppmv_to_mgm3` cites ACGIH,
//! Industrial Ventilation, 23rd ed.; `fire_mixing` cites the sample problem of Crowl and Louvar, Chemical Process
//! Safety, 2nd ed. (the book itself: secondary).

use crate::near;
use sandarac::vapour::conversion::{MolarVolume, mg_from_ppm, ppm_from_mg};
use sandarac::vapour::dilution::le_chatelier;

#[test]
fn one_ppm_of_molar_mass_40() {
    let ours = mg_from_ppm(1.0, 40.0, MolarVolume::Ideal(25.0));
    // older constant in the docstring: 9 digits agree
    near(ours, 1.634_961_780_943_044_6, 1.0e-9);
    near(
        ppm_from_mg(ours.unwrap(), 40.0, MolarVolume::Ideal(25.0)),
        1.0,
        1.0e-15,
    );
}

/// Hexane, methane and ethylene; the shares are those of the whole air and are made relative to the flammable ones.
#[test]
fn crowl_and_louvar_mixture() {
    let lower = le_chatelier(&[(0.0024, 0.012), (0.0061, 0.053), (0.0015, 0.031)]);
    near(lower, 0.027_511_721_366_376_42, 1.0e-14);
    let upper = le_chatelier(&[(0.0024, 0.075), (0.0061, 0.15), (0.0015, 0.32)]);
    near(upper, 0.129_275_518_448_693_78, 1.0e-14);
}

//! The constants 403 and 387: University of Toledo, Industrial Ventilation formulas page, after the ACGIH manual; 387
//! also at nrctraining.com. Seen: secondary.

use crate::near;
use sandarac::vapour::conversion::{LITRES_PER_CUBIC_FOOT, LITRES_PER_GALLON, MolarVolume};
use sandarac::vapour::dilution::{airflow_for_health, us_airflow_for_health};

/// 70 °F.
const WARM: f64 = 190.0 / 9.0;
/// Exact.
const GRAMS_PER_POUND: f64 = 453.592_37;

/// Cubic feet in a pound-mole of vapour.
fn cubic_feet_per_pound_mole(celsius: f64) -> Option<f64> {
    let litres = MolarVolume::Ideal(celsius).litres()?;
    Some(litres * GRAMS_PER_POUND / LITRES_PER_CUBIC_FOOT)
}

#[test]
fn cubic_feet_of_a_pound_mole() {
    near(cubic_feet_per_pound_mole(WARM), 386.786_489, 1.0e-6);
    assert_eq!(cubic_feet_per_pound_mole(WARM).map(f64::round), Some(387.0));
}

/// The exact constant is 403.49, so the printed one asks 0.12 % less air.
#[test]
fn the_constant_403() {
    // 8.345404 lb is a US gallon of water at 1 kg/L
    let exact = cubic_feet_per_pound_mole(WARM).unwrap() * 8.345_404 / 8.0;
    near(Some(exact), 403.0, 0.0013);
    near(Some(exact), 403.486_189, 1.0e-6);
}

/// The printed formula and the mass balance in metric give the same air for a pint of toluene an hour to 100 ppm.
#[test]
fn both_forms_agree() {
    let cfm = us_airflow_for_health(0.867, 1.0 / 60.0, 92.14, 100.0, 5.0).unwrap();
    let grams = 867.0 * LITRES_PER_GALLON / 8.0 / 60.0;
    let metric = airflow_for_health(grams, 92.14, MolarVolume::Ideal(WARM), 100.0, 5.0).unwrap();
    near(
        Some(cfm * LITRES_PER_CUBIC_FOOT / 1000.0 * 60.0),
        metric,
        0.0015,
    );
}

//! EPA 550-B-99-009, Risk Management Program Guidance for Offsite Consequence Analysis: the pool equation. Seen:
//! secondary; the factors for acrylonitrile (0.018, 0.11, 307 lb/min) are from memory, unconfirmed, two figures. The
//! emptying time: a state agency's spill example. Seen: secondary.

use crate::{near, prints};
use sandarac::vapour::release::{ATMOSPHERE, GRAMS_PER_POUND};
use sandarac::vapour::spill::{pool_area, pool_evaporation, pool_minutes};

const SQUARE_FOOT: f64 = 0.3048 * 0.3048;

fn pounds(wind: f64, molar: f64, square_feet: f64, mm: f64, celsius: f64) -> Option<f64> {
    let kilograms = pool_evaporation(
        wind,
        molar,
        square_feet * SQUARE_FOOT,
        mm / 760.0 * ATMOSPHERE,
        celsius,
    )?;
    Some(kilograms * 1000.0 / GRAMS_PER_POUND)
}

#[test]
fn acrylonitrile_factors_from_memory() {
    near(pounds(1.0, 53.06, 1.0, 108.0, 25.0), 0.018, 0.02);
    // the boiling factor lies past the range of a pool at room temperature
    assert_eq!(pounds(1.0, 53.06, 1.0, 760.0, 77.3), None);
    near(pounds(1.5, 53.06, 1.0, 108.0, 25.0), 0.018 * 1.4, 0.05);
    near(
        pounds(1.5, 53.06, 20_000.0 * 0.61, 108.0, 25.0),
        307.0,
        0.05,
    );
}

/// Ethanol at 25 °C, 7.886 kPa, per ft²: computed by other means.
#[test]
fn ethanol_per_square_foot() {
    for (wind, printed) in [
        (0.1, "0.00146"),
        (0.25, "0.00299"),
        (0.5, "0.00514"),
        (1.5, "0.01211"),
    ] {
        prints(
            pool_evaporation(wind, 46.068, SQUARE_FOOT, 7.886, 25.0)
                .map(|kg| kg * 1000.0 / GRAMS_PER_POUND),
            printed,
        );
    }
}

#[test]
fn a_pool_emptied() {
    near(
        pool_minutes(11_340.0, 2.981 * 60.0).map(|minutes| minutes * 60.0),
        3803.0,
        0.001,
    );
    near(pool_area(11_340.0 / 0.66, 25.0), 687.3, 1.0e-4);
}

//! Abulencia and Theodore, Fluid Flow for the Practicing Chemical Engineer, examples 20.2 (p. 269) and 20.4 (p. 271),
//! as worked in the FOSSEE textbook companion. Seen: secondary. The hood of 20.4 is no matter of dilution and left out.

use crate::{near, prints};
use sandarac::vapour::conversion::MolarVolume;
use sandarac::vapour::dilution::airflow_for_health;

const LITRES_PER_CUBIC_FOOT: f64 = 28.316_846_592;

/// 20.2: toluene, 3/8 gal/h of adhesive with 40 % of it by volume, to 80 ppm with K 5 at 293 K.
#[test]
fn toluene_from_an_adhesive() {
    let pounds_per_hour = 0.375 * 0.4 * 0.87 * 8.34;
    prints(Some(pounds_per_hour), "1.09");
    let grams_per_minute: f64 = pounds_per_hour * 454.0 / 60.0;
    prints(Some((grams_per_minute * 100.0).round() / 100.0), "8.24");
    // q is the airflow to a million ppm with K 1
    let vapour = airflow_for_health(
        grams_per_minute,
        92.0,
        MolarVolume::Ideal(19.85),
        1.0e6,
        1.0,
    );
    prints(vapour.map(|q| q * 1000.0 / 60.0), "2.15");
    let air = airflow_for_health(grams_per_minute, 92.0, MolarVolume::Ideal(19.85), 80.0, 5.0);
    // 134 375 L/min with q rounded to 2.15 first, 134 516 without; the printed last line is unconfirmed
    near(air.map(|q| q * 1000.0 / 60.0), 134_375.0, 0.0015);
    near(air.map(|q| q * 1000.0 / 60.0), 134_515.548_785, 1.0e-4);
}

/// 20.4: 10 g/min to 1 ppm at 298 K, with factor 10. The companion has MW 78 for vinyl chloride, whose true MW is
/// 62.5: a check of arithmetic and never a source for the molar mass.
#[test]
fn ten_grams_a_minute_to_one_ppm() {
    let cfm = |molar, ppm, mixing| {
        airflow_for_health(10.0, molar, MolarVolume::Ideal(24.85), ppm, mixing)
            .map(|q| q * 1000.0 / 60.0 / LITRES_PER_CUBIC_FOOT)
    };
    prints(cfm(78.0, 1.0e6, 1.0), "0.1107");
    near(cfm(78.0, 1.0, 1.0), 110_700.0, 2.0e-4);
    near(cfm(78.0, 1.0, 10.0), 1_107_000.0, 2.0e-4);
    near(cfm(62.5, 1.0, 10.0), 1_381_729.0, 1.0e-4);
}

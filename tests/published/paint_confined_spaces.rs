//! A paint maker's information sheet 1431, Safety in confined spaces and health safety, October 1999, p. 2/5.
//! Seen: text.

use sandarac::vapour::dilution::airflow_for_fire;

/// 100 L of paint at 60 m³/L and 5 L of thinner at 130 m³/L in 45 minutes: 147.7 m³/min, cut and not rounded.
#[test]
fn paint_and_thinner_to_a_tenth_of_the_limit() {
    let paint = airflow_for_fire(60.0, 100.0 / 45.0).unwrap();
    let thinner = airflow_for_fire(130.0, 5.0 / 45.0).unwrap();
    let per_minute = (paint + thinner) / 60.0;
    assert!((per_minute - 147.7).abs() < 0.1, "{per_minute}");
}

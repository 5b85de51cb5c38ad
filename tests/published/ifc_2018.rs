//! International Fire Code 2018: 1 cfm per ft², and 150 cfm = 4 m³/min as the least (section 1206). Seen: text, an
//! unofficial copy; that NFPA 30 has the same floor is unconfirmed.

use crate::{near, prints};
use sandarac::vapour::conversion::LITRES_PER_CUBIC_FOOT;
use sandarac::vapour::dilution::airflow_for_floor;

#[test]
fn one_cfm_per_square_foot_and_not_under_150() {
    prints(airflow_for_floor(1.0, 149.0, 150.0), "150");
    prints(airflow_for_floor(1.0, 150.0, 150.0), "150");
    prints(airflow_for_floor(1.0, 151.0, 150.0), "151");
}

#[test]
fn printed_in_metric() {
    near(
        Some(LITRES_PER_CUBIC_FOOT / 1000.0 / 60.0 / 0.3048 / 0.3048),
        0.005_08,
        1.0e-9,
    );
    prints(Some(150.0 * LITRES_PER_CUBIC_FOOT / 1000.0), "4");
}

//! 29 CFR 1910.106(d)(4)(iv), six air changes an hour in an inside storage room. Seen: text, a copy of the rule. The
//! rule prints no example; 100 cfm for 10 × 10 × 10 ft is computed.

use crate::prints;
use sandarac::vapour::dilution::airflow_for_changes;

#[test]
fn a_thousand_cubic_feet_six_times_an_hour() {
    prints(
        airflow_for_changes(6.0, 1000.0).map(|per_hour| per_hour / 60.0),
        "100",
    );
}

//! CDC, Guidelines for Environmental Infection Control in Health-Care Facilities (2003), appendix B, table B.1: whole
//! minutes for 99 and 99.9 % removed, for an empty room with no source. Seen: secondary, the copy in
//! PMC7178924, table 2.

use crate::minutes_to_clear;

#[test]
fn table_b1_whole_minutes() {
    let table = [
        (2.0, 138.0, 207.0),
        (4.0, 69.0, 104.0),
        (6.0, 46.0, 69.0),
        (8.0, 35.0, 52.0),
        (10.0, 28.0, 41.0),
        (12.0, 23.0, 35.0),
        (15.0, 18.0, 28.0),
        (20.0, 14.0, 21.0),
        (50.0, 6.0, 8.0),
    ];
    for (changes, for_99, for_99_9) in table {
        assert_eq!(
            minutes_to_clear(changes, 0.01).map(f64::round),
            Some(for_99),
            "{changes}"
        );
        assert_eq!(
            minutes_to_clear(changes, 0.001).map(f64::round),
            Some(for_99_9),
            "{changes}"
        );
    }
}

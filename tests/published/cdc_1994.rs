//! MMWR 43 (RR-13), 28 October 1994, p. 72, table S3-1: minutes to remove 90, 99 and 99.9 % of what is in the air, in
//! whole minutes, 63 cells. Seen: text, a single-page copy. The Canadian reprint (CCDR 22S1, appendix F) misprints 13 changes
//! at 99.9 % as 3.

use crate::minutes_to_clear;

const TABLE: [(f64, [f64; 3]); 21] = [
    (1.0, [138.0, 276.0, 414.0]),
    (2.0, [69.0, 138.0, 207.0]),
    (3.0, [46.0, 92.0, 138.0]),
    (4.0, [35.0, 69.0, 104.0]),
    (5.0, [28.0, 55.0, 83.0]),
    (6.0, [23.0, 46.0, 69.0]),
    (8.0, [17.0, 35.0, 52.0]),
    (9.0, [15.0, 31.0, 46.0]),
    (10.0, [14.0, 28.0, 41.0]),
    (11.0, [13.0, 25.0, 38.0]),
    (12.0, [12.0, 23.0, 35.0]),
    (13.0, [11.0, 21.0, 32.0]),
    (15.0, [9.0, 18.0, 28.0]),
    (16.0, [9.0, 17.0, 26.0]),
    (17.0, [8.0, 16.0, 24.0]),
    (18.0, [8.0, 15.0, 23.0]),
    (20.0, [7.0, 14.0, 21.0]),
    (25.0, [6.0, 11.0, 17.0]),
    (30.0, [5.0, 9.0, 14.0]),
    (40.0, [3.0, 7.0, 10.0]),
    (50.0, [3.0, 6.0, 8.0]),
];
const REMOVED: [f64; 3] = [0.9, 0.99, 0.999];

#[test]
fn all_63_cells() {
    for (changes, printed) in TABLE {
        for (removed, minutes) in REMOVED.into_iter().zip(printed) {
            let ours = minutes_to_clear(changes, 1.0 - removed).map(f64::round);
            assert_eq!(ours, Some(minutes), "{changes} an hour, {removed} removed");
        }
    }
}

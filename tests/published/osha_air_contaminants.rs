//! 29 CFR 1910.1000(d)(1)(ii) and (d)(2)(ii), the printed examples. Seen: text, a copy of the rule.

use crate::prints;
use sandarac::vapour::history::History;
use sandarac::vapour::mixture::{eight_hour_exposure, sum_of_shares};
use sandarac::vapour::well_mixed::{Release, WellMixedRoom};

#[test]
fn two_hours_at_150_two_at_75_four_at_50() {
    assert_eq!(
        eight_hour_exposure(&[(150.0, 2.0), (75.0, 2.0), (50.0, 4.0)]),
        Some(81.25)
    );
}

/// The same by the solver. A puff brings the air to a level; in a closed room it stays, so levels are built up from the
/// least: 50 for 4 h, 75 for 2 h, 150 for 2 h. The shift begins with the first.
#[test]
fn the_same_levels_in_a_closed_room() {
    let room = WellMixedRoom::new(10.0, 0.0, 1.0).unwrap();
    let emission = |start, level| Release {
        start,
        minutes: 0.0,
        mass: 10.0 * level,
        drying: 0.0,
    };
    let history = History::new(
        &room,
        &[
            emission(0.0, 50.0),
            emission(240.0, 25.0),
            emission(360.0, 75.0),
        ],
    )
    .unwrap();
    prints(history.mean(0.0, 480.0), "81.25");
}

#[test]
fn a_mixture_at_0_925_of_its_limit() {
    prints(
        sum_of_shares(&[(500.0, 1000.0), (45.0, 200.0), (40.0, 200.0)]),
        "0.925",
    );
}

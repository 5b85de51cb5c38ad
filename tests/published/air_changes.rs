//! Air changes of a laboratory, from a page of HVAC lessons (hvacclassesnearme.com); seen: secondary. The 13.8 minutes
//! for 99 % at 20 changes: HVAC course notes, author not established; seen: secondary.

use crate::{minutes_to_clear, prints};
use sandarac::vapour::well_mixed::WellMixedRoom;

#[test]
fn six_hundred_cfm_in_three_thousand_cubic_feet() {
    // cubic feet an hour and cubic feet stand in for metres: the ratio is the same
    let room = WellMixedRoom::new(20.0 * 15.0 * 10.0, 600.0 * 60.0, 1.0);
    prints(room.map(|room| room.changes_per_hour()), "12");
}

#[test]
fn a_room_is_purged_to_a_hundredth() {
    prints(minutes_to_clear(20.0, 0.01), "13.8");
    prints(minutes_to_clear(1.0, 0.01), "276");
}

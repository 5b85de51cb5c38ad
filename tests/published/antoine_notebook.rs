//! J. Kantor, University of Notre Dame, CBE20255, notebook 07.03: methanol by Antoine's equation. Seen: text.

use crate::near;
use sandarac::vapour::flash::Antoine;

#[test]
fn methanol_at_0_and_20_celsius() {
    let methanol = Antoine {
        a: 7.897_50,
        b: 1474.08,
        c: 229.13,
        coldest: -14.0,
        warmest: 65.0,
    };
    near(methanol.pressure(0.0), 29.115_320_056_155_82, 1.0e-14);
    near(methanol.pressure(20.0), 95.628_897_806_861_3, 1.0e-14);
    assert_eq!(methanol.pressure(66.0), None);
}

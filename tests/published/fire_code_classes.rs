//! International Fire Code 2018, chapter 2: classes of flammable and combustible liquids. Seen: text, an unofficial copy.

use crate::shop::{class, pack};
use sandarac::vapour::class::ClassNeeds;

/// Flash point, boiling point, class: just under, at and just over each border.
const BORDERS: [(&str, &str, &str); 24] = [
    // 73 °F with a liquid that boils low: IA, then IC
    ("72.999999 F", "99 F", "ia"),
    ("73 F", "99 F", "ic"),
    ("73.000001 F", "99 F", "ic"),
    // 73 °F with one that boils high: IB, then IC
    ("72.999999 F", "173 F", "ib"),
    ("73 F", "173 F", "ic"),
    ("73.000001 F", "173 F", "ic"),
    // 73.4 °F, a border of the workplace rules, is none here
    ("73.399999 F", "173 F", "ic"),
    ("73.4 F", "173 F", "ic"),
    ("73.400001 F", "173 F", "ic"),
    // boiling at 100 °F belongs to IB
    ("0 F", "99.999999 F", "ia"),
    ("0 F", "100 F", "ib"),
    ("0 F", "100.00001 F", "ib"),
    // boiling at 95 °F, a border of the workplace rules, is none here
    ("0 F", "95 F", "ia"),
    ("0 F", "95.000001 F", "ia"),
    // 100 °F belongs to II, 140 °F to IIIA, 200 °F to IIIB
    ("99.999999 F", "300 F", "ic"),
    ("100 F", "300 F", "ii"),
    ("100.00001 F", "300 F", "ii"),
    ("139.99999 F", "300 F", "ii"),
    ("140 F", "300 F", "iiia"),
    ("140.00001 F", "300 F", "iiia"),
    ("199.4 F", "400 F", "iiia"),
    ("199.99999 F", "400 F", "iiia"),
    ("200 F", "400 F", "iiib"),
    ("200.00001 F", "400 F", "iiib"),
];

#[test]
fn each_border_under_at_and_over() {
    let scheme = pack("us-fire-code").scheme.unwrap();
    for (flash, boils, expected) in BORDERS {
        assert_eq!(
            class(&scheme, flash, Some(boils)),
            Ok(expected),
            "{flash}, {boils}"
        );
    }
    assert_eq!(class(&scheme, "none", None), Ok("none"));
}

#[test]
fn the_boiling_point_is_asked_for_only_where_it_decides() {
    let scheme = pack("us-fire-code").scheme.unwrap();
    assert_eq!(class(&scheme, "72 F", None), Err(ClassNeeds::BoilingPoint));
    assert_eq!(class(&scheme, "73 F", None), Ok("ic"));
}

/// The metric steps 22.8 and 37.8 °C, as another code prints them (memory), fall just above the Fahrenheit borders.
#[test]
fn metric_steps_lie_on_the_upper_side() {
    let scheme = pack("us-fire-code").scheme.unwrap();
    assert_eq!(class(&scheme, "22.8 C", Some("78 C")), Ok("ic"));
    assert_eq!(class(&scheme, "37.8 C", Some("78 C")), Ok("ii"));
    assert_eq!(class(&scheme, "60 C", Some("178 C")), Ok("iiia"));
}

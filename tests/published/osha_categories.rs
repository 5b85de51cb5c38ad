//! 29 CFR 1910.106(a)(19), categories of flammable liquids, in force since 2012. Seen: secondary, an article that
//! restates the definitions; that category 3 parts at 100 °F in many paragraphs: text, a copy of (d)(4).

use crate::shop::{class, pack};
use sandarac::vapour::class::ClassNeeds;

/// Flash point, boiling point, class: just under, at and just over each border.
const BORDERS: [(&str, &str, &str); 24] = [
    // 73.4 °F with a liquid that boils low: category 1, then 3
    ("73.399999 F", "95 F", "cat-1"),
    ("73.4 F", "95 F", "cat-3-low"),
    ("73.400001 F", "95 F", "cat-3-low"),
    // 73.4 °F with one that boils high: category 2, then 3
    ("73.399999 F", "173 F", "cat-2"),
    ("73.4 F", "173 F", "cat-3-low"),
    ("23 C", "173 F", "cat-3-low"),
    ("22.99999 C", "173 F", "cat-2"),
    // 73 °F, a border of the fire code, is none here
    ("72.999999 F", "173 F", "cat-2"),
    ("73 F", "173 F", "cat-2"),
    ("73.000001 F", "173 F", "cat-2"),
    // boiling at 95 °F belongs to category 1
    ("0 F", "94.999999 F", "cat-1"),
    ("0 F", "95 F", "cat-1"),
    ("0 F", "35 C", "cat-1"),
    ("0 F", "95.000001 F", "cat-2"),
    // boiling at 100 °F, a border of the fire code, is none here
    ("0 F", "100 F", "cat-2"),
    // 100 °F parts category 3
    ("99.999999 F", "300 F", "cat-3-low"),
    ("100 F", "300 F", "cat-3-high"),
    ("100.00001 F", "300 F", "cat-3-high"),
    // 140 °F still belongs to category 3
    ("139.99999 F", "300 F", "cat-3-high"),
    ("140 F", "300 F", "cat-3-high"),
    ("140.00001 F", "300 F", "cat-4"),
    // 199.4 °F still belongs to category 4; past it there is none
    ("199.39999 F", "400 F", "cat-4"),
    ("199.4 F", "400 F", "cat-4"),
    ("199.40001 F", "400 F", "none"),
];

#[test]
fn each_border_under_at_and_over() {
    let scheme = pack("us-workplace").scheme.unwrap();
    for (flash, boils, expected) in BORDERS {
        assert_eq!(
            class(&scheme, flash, Some(boils)),
            Ok(expected),
            "{flash}, {boils}"
        );
    }
    assert_eq!(class(&scheme, "60 C", None), Ok("cat-3-high"));
    assert_eq!(class(&scheme, "93 C", None), Ok("cat-4"));
    assert_eq!(class(&scheme, "200 F", None), Ok("none"));
    assert_eq!(class(&scheme, "none", None), Ok("none"));
}

/// Without a boiling point category 1 and 2 cannot be told apart, and no guess is made.
#[test]
fn the_boiling_point_is_asked_for_only_where_it_decides() {
    let scheme = pack("us-workplace").scheme.unwrap();
    assert_eq!(
        class(&scheme, "73.399999 F", None),
        Err(ClassNeeds::BoilingPoint)
    );
    assert_eq!(class(&scheme, "73.4 F", None), Ok("cat-3-low"));
}

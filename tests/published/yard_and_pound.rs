//! The international yard and pound (agreement of 1 July 1959; Federal Register 24, 5348): the yard is 0.9144 m and the
//! pound 0.453 592 37 kg, both exactly. Seen: memory; NIST Handbook 44, appendix C, prints the same (text, in a copy).

use crate::shop::base;
use sandarac::quantity::{Density, Exact};

#[test]
fn the_yard_and_what_follows() {
    assert_eq!(base("1 yd").digits(), "0.9144");
    assert_eq!(base("1 ft").times(Exact::whole(3)), Ok(base("1 yd")));
    assert_eq!(base("1 in").times(Exact::whole(12)), Ok(base("1 ft")));
    assert_eq!(base("1 in").digits(), "0.0254");
    assert_eq!(base("1 ft2").digits(), "0.09290304");
    assert_eq!(base("1 ft").times(base("1 ft")), Ok(base("1 ft2")));
    // A cubic inch in litres: 0.0254³ m³, and 1000 L to the m³.
    let cube = base("1 in")
        .times(base("1 in"))
        .and_then(|square| square.times(base("1 in")))
        .and_then(|cube| cube.times(base("1 m3")));
    assert_eq!(cube, Ok(base("1 in3")));
}

#[test]
fn the_pound_and_what_follows() {
    assert_eq!(base("1 lb").digits(), "0.45359237");
    assert_eq!(base("1 oz").times(Exact::whole(16)), Ok(base("1 lb")));
    assert_eq!(base("1 oz").digits(), "0.028349523125");
}

/// Pounds a gallon end in no decimal of kg/L, so the pair is kept and nothing is divided.
#[test]
fn pounds_a_gallon_stay_a_pair() {
    let density = Density::parse("6.6 lb/gal").unwrap();
    assert_eq!(density.mass.base(), base("6.6 lb"));
    assert_eq!(density.volume.base(), base("1 gal"));
}

/// Celsius to Fahrenheit is exact (× 1.8 + 32), so the metric borders of the categories are the Fahrenheit ones.
#[test]
fn celsius_ends_in_fahrenheit() {
    for (celsius, fahrenheit) in [
        ("23 C", "73.4"),
        ("35 C", "95"),
        ("60 C", "140"),
        ("93 C", "199.4"),
        ("37.8 C", "100.04"),
        ("-40 C", "-40"),
    ] {
        assert_eq!(base(celsius).digits(), fahrenheit, "{celsius}");
    }
}

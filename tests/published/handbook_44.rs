//! NIST Handbook 44, appendix C, general tables of units: what is marked exact there is exact here to the last digit.
//! Seen: text, in a copy (pages 381 and 382). The metric decimals of the US measures all end; they are the same
//! definitions multiplied out, as pages of exact decimals print them (secondary).

use crate::shop::base;
use sandarac::quantity::{Exact, Unit, in_unit, unit};

/// 231 in³ to the gallon, and each measure below it.
#[test]
fn exact_by_definition() {
    for (many, small, one) in [
        (231, "in3", "gal"),
        (4, "qt", "gal"),
        (2, "pt", "qt"),
        (16, "fl oz", "pt"),
        (2, "cup", "pt"),
        (8, "fl oz", "cup"),
        (2, "tbsp", "fl oz"),
        (3, "tsp", "tbsp"),
        (1728, "in3", "ft3"),
    ] {
        let sum = base(&format!("1 {small}")).times(Exact::whole(many));
        assert_eq!(
            sum,
            Ok(base(&format!("1 {one}"))),
            "{many} {small} = 1 {one}"
        );
    }
}

/// Litres, every digit there is.
#[test]
fn every_digit_in_litres() {
    for (one, litres) in [
        ("1 gal", "3.785411784"),
        ("1 qt", "0.946352946"),
        ("1 pt", "0.473176473"),
        ("1 cup", "0.2365882365"),
        ("1 fl oz", "0.0295735295625"),
        ("1 tbsp", "0.01478676478125"),
        ("1 tsp", "0.00492892159375"),
        ("1 in3", "0.016387064"),
        ("1 ft3", "28.316846592"),
        ("60 gal", "227.12470704"),
        ("120 gal", "454.24941408"),
        ("1 1/2 pt", "0.7097647095"),
    ] {
        assert_eq!(base(one).digits(), litres, "{one}");
    }
}

/// The tables of equivalents print few decimals. A cubic foot is printed as 28.316 dm³, which is cut off, not rounded.
#[test]
fn as_printed_in_short() {
    let known = |symbol: &str| -> &'static Unit { unit::find(symbol).unwrap() };
    for (one, shown, printed) in [
        ("1 ft3", "gal", "7.481"),
        ("1 in3", "mL", "16.39"),
        ("1 cup", "mL", "236.6"),
        ("1 fl oz", "mL", "29.57"),
        ("1 gal", "L", "3.785"),
    ] {
        assert_eq!(
            in_unit(base(one), known(shown)),
            format!("{printed} {shown}"),
            "{one}"
        );
    }
    let cubic_foot = base("1 ft3");
    assert!(cubic_foot > Exact::constant(28_316, 3) && cubic_foot < Exact::constant(28_317, 3));
}

/// Moving air: no table prints it, it follows from the foot and the hour (computed).
#[test]
fn cubic_feet_a_minute() {
    assert_eq!(base("1 cfm").digits(), "1.69901079552");
    let hour = Exact::whole(60);
    let by_definition = base("1 ft3").times(hour);
    let ours = base("1 cfm").times(base("1 m3"));
    assert_eq!(ours, by_definition, "60 ft³ an hour, in litres");

    assert_eq!(base("1 cfm/ft2").digits(), "18.288");
    assert_eq!(
        base("1 cfm/ft2").times(base("1 ft2")),
        Ok(base("1 cfm")),
        "by the square foot"
    );
}

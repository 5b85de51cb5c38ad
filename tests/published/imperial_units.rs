//! The imperial gallon, 4.546 09 L exactly (UK Units of Measurement Regulations). Seen: memory. Its ratio to the US
//! gallon: pages of exact decimals (secondary).

use crate::shop::base;
use sandarac::quantity::Exact;

#[test]
fn every_digit() {
    assert_eq!(base("1 imp gal").digits(), "4.54609");
    assert_eq!(
        base("1 imp pt").times(Exact::whole(8)),
        Ok(base("1 imp gal"))
    );
    assert_eq!(
        base("1 imp fl oz").times(Exact::whole(20)),
        Ok(base("1 imp pt"))
    );
    assert_eq!(base("1 imp pt").digits(), "0.56826125");
    assert_eq!(base("1 imp fl oz").digits(), "0.0284130625");
}

/// Printed: a US gallon is 0.8326741846 imperial gallons. Held between this figure and the next, without dividing.
/// The page goes on to 133.227869536 imperial fluid ounces, which is 160 times its own rounded figure: the true decimals
/// are 133.2278695406…, so only ten of its twelve digits hold.
#[test]
fn the_us_gallon_in_imperial() {
    let gallon = base("1 gal");
    let times = |digits: u64, behind: u32, one: &str| {
        base(one).times(Exact::constant(digits, behind)).unwrap()
    };
    assert!(times(8_326_741_846, 10, "1 imp gal") < gallon);
    assert!(times(8_326_741_847, 10, "1 imp gal") > gallon);
    assert!(times(1_332_278_695, 7, "1 imp fl oz") < gallon);
    assert!(times(1_332_278_696, 7, "1 imp fl oz") > gallon);
}

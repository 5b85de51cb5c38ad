//! Amounts as people read them.

use super::{
    about_share, beside, in_unit, natural, sensible, sensible_beside, sensible_down, sensible_up,
    unit_of_shop,
};
use crate::quantity::{Amount, Exact, Measure, Volume, unit};

#[test]
fn never_shown_across_its_limit() {
    let gal = unit::find("gal").unwrap();
    let limit = Measure::parse("60 gal").unwrap().base;
    let hair_over = limit.plus(Exact::constant(1, 6)).unwrap();
    let (over, shown_limit) = beside(hair_over, limit, gal);
    assert_eq!(shown_limit, "60 gal");
    assert_eq!(over, "60.0000003 gal");
    let hair_under = limit.minus(Exact::constant(1, 6)).unwrap();
    assert_eq!(beside(hair_under, limit, gal).0, "59.9999997 gal");
    assert_eq!(beside(limit, limit, gal).0, "60 gal");
}

#[test]
fn a_sentence_gets_sensible_digits_and_never_crosses_the_limit() {
    let gal = unit::find("gal").unwrap();
    let gallons = |text: &str| Measure::parse(text).unwrap().base;
    assert_eq!(sensible(gallons("0.3461 gal"), gal), "0.35 gal");
    assert_eq!(sensible(gallons("598.44 gal"), gal), "598 gal");
    // Below a tenth, two figures are kept, however small the number is.
    assert_eq!(sensible(gallons("0.0123456 gal"), gal), "0.012 gal");
    assert_eq!(sensible_up(gallons("1.041 gal"), gal), "1.05 gal");
    assert_eq!(sensible_down(gallons("0.3461 gal"), gal), "0.34 gal");
    let pair = |observed: &str| sensible_beside(gallons(observed), gallons("60 gal"), gal);
    assert_eq!(pair("59.999 gal"), ("59.999 gal".into(), "60 gal".into()));
    assert_eq!(pair("61.04 gal").0, "61 gal");
    // A metric shop reads a limit in gallons in liters, on the same side of what it holds.
    let litres = unit_of_shop(gallons("60 gal"), gal, false);
    let shown = sensible_beside(gallons("226 L"), gallons("60 gal"), litres);
    assert_eq!(shown, ("226 L".into(), "227 L".into()));
    assert_eq!(unit_of_shop(gallons("60 gal"), gal, true).symbol, "gal");
}

#[test]
fn a_sum_does_not_look_like_a_limit_that_it_only_comes_near() {
    let sum = |text: &str| {
        let measure = Measure::parse(text).unwrap();
        super::natural_sum(measure.amount().unwrap(), true)
    };
    assert_eq!(sum("60.0003 gal"), "60.0003 gal");
    assert_eq!(sum("59.99998 gal"), "59.99998 gal");
    assert_eq!(sum("60 gal"), "60 gal");
    assert_eq!(sum("20 L"), "5.283 gal");
}

#[test]
fn short_where_short_is_exact() {
    let pint = Measure::parse("1 1/2 pt").unwrap();
    assert_eq!(in_unit(pint.base, unit::find("pt").unwrap()), "1.5 pt");
    assert_eq!(
        natural(
            Amount::Volume(Volume::from_base(Exact::constant(25, 2))),
            false
        ),
        "250 mL"
    );
    assert_eq!(
        natural(Amount::Volume(Volume::from_base(pint.base)), true),
        "24 fl oz"
    );
}

#[test]
fn what_may_be_bought_is_never_rounded_up() {
    let gallons = |text: &str| Measure::parse(text).unwrap().amount().unwrap();
    assert_eq!(super::at_most(gallons("1.9999 gal"), true), "1.99 gal");
    assert_eq!(super::at_most(gallons("2 gal"), true), "2 gal");
    let third = super::shared(gallons("1 L"), Exact::whole(3)).unwrap();
    assert_eq!(third.base().digits(), "0.333333333333");
    assert_eq!(
        super::about_ratio(Exact::whole(10), Exact::whole(3)).as_deref(),
        Some("3.3")
    );
    assert_eq!(super::about_ratio(Exact::ONE, Exact::ZERO), None);
}

#[test]
fn a_share_is_not_rounded_onto_the_whole() {
    let limit = Exact::whole(1000);
    assert_eq!(
        about_share(Exact::whole(999), limit).as_deref(),
        Some("just under 100 %")
    );
    assert_eq!(about_share(limit, limit).as_deref(), Some("100 %"));
    assert_eq!(
        about_share(Exact::whole(250), limit).as_deref(),
        Some("25 %")
    );
}

//! Mixing loses nothing and makes nothing: resin in is resin out, volumes add with the gain, and nothing is below nothing.

use crate::few;
use proptest::prelude::{Strategy, prop_assert, prop_assert_eq, proptest};
use sandarac::quantity::{Exact, RESIN_GALLONS_A_POUND, Ratio, unit};
use sandarac::trade::mixing::{
    Cut, Unmixable, resin_in, thinned, thinned_to_make, to_make, with_alcohol,
};

fn factor(symbol: &str) -> Ratio {
    Ratio::from_exact(unit::find(symbol).unwrap().factor)
}

/// Hundredths of a pound, up to the thickest.
fn cuts() -> impl Strategy<Value = Cut> {
    (1_u64..=800).prop_map(|hundredths| Cut::new(Exact::constant(hundredths, 2)).unwrap())
}

/// So many in any unit of volume that a shop pours by.
fn volumes() -> impl Strategy<Value = Ratio> {
    let units = ["gal", "qt", "pt", "cup", "fl oz", "L", "mL"];
    (1_u64..=99_999, 0_u32..=3, 0..units.len()).prop_map(move |(digits, behind, unit)| {
        Ratio::from_exact(Exact::constant(digits, behind))
            .times(factor(units[unit]))
            .unwrap()
    })
}

proptest! {
    #![proptest_config(few(500))]

    /// What comes to the wanted amount is flakes and alcohol whose volumes add to it, at the cut that was asked for.
    #[test]
    fn a_mixture_is_its_parts(cut in cuts(), made in volumes()) {
        let mixture = to_make(cut, made).unwrap();
        prop_assert_eq!(mixture.made, made);
        let pounds = mixture.flakes.by(factor("lb")).unwrap();
        let gallons = mixture.alcohol.by(factor("gal")).unwrap();
        prop_assert_eq!(pounds.by(gallons).unwrap(), Ratio::from_exact(cut.pounds()));
        let gained = pounds.times(Ratio::from_exact(RESIN_GALLONS_A_POUND)).unwrap();
        prop_assert_eq!(gallons.plus(gained).unwrap(), made.by(factor("gal")).unwrap());
        prop_assert!(mixture.flakes > Ratio::ZERO && mixture.alcohol > Ratio::ZERO && mixture.alcohol < made);
        prop_assert_eq!(with_alcohol(cut, mixture.alcohol), Ok(mixture));
        prop_assert_eq!(resin_in(cut, made), Ok(mixture.flakes));
    }

    /// Letting down keeps the resin and adds the alcohol, and it does not matter from which end it is reckoned.
    #[test]
    fn letting_down_keeps_the_resin(a in cuts(), b in cuts(), stock in volumes()) {
        let (from, to) = (a.max(b), a.min(b));
        if from == to {
            prop_assert_eq!(thinned(from, to, stock), Err(Unmixable::NotThinner));
            return Ok(());
        }
        prop_assert_eq!(thinned(to, from, stock), Err(Unmixable::NotThinner));
        let thinning = thinned(from, to, stock).unwrap();
        prop_assert_eq!(resin_in(from, stock), resin_in(to, thinning.made));
        prop_assert_eq!(stock.plus(thinning.alcohol), Ok(thinning.made));
        prop_assert!(thinning.alcohol > Ratio::ZERO && thinning.parts < thinning.thumb_parts);
        prop_assert_eq!(thinned_to_make(from, to, thinning.made), Ok(thinning));
        // The rule of thumb pours too much, so that it comes out thinner, and yet not below nothing.
        prop_assert!(thinning.thumb_cut < Ratio::from_exact(to.pounds()) && thinning.thumb_cut > Ratio::ZERO);
    }

    /// The thinner the end, the more alcohol; and in two steps it takes as much as in one.
    #[test]
    fn thinner_takes_more(a in cuts(), b in cuts(), c in cuts(), stock in volumes()) {
        let mut three = [a, b, c];
        three.sort();
        let [thin, middle, thick] = three;
        if thin == middle || middle == thick {
            return Ok(());
        }
        let straight = thinned(thick, thin, stock).unwrap();
        let first = thinned(thick, middle, stock).unwrap();
        prop_assert!(first.alcohol < straight.alcohol);
        let then = thinned(middle, thin, first.made).unwrap();
        prop_assert_eq!(first.alcohol.plus(then.alcohol), Ok(straight.alcohol));
        prop_assert_eq!(then.made, straight.made);
    }

    /// Quotients are held against whole numbers crossed over.
    #[test]
    fn quotients_order_and_add(a in -9999_i64..=9999, b in 1_i64..=9999, c in -9999_i64..=9999, d in 1_i64..=9999) {
        let ratio = |over, under| Ratio::whole(over).by(Ratio::whole(under)).unwrap();
        let (x, y) = (ratio(a, b), ratio(c, d));
        prop_assert_eq!(x.cmp(&y), (a * d).cmp(&(c * b)));
        prop_assert_eq!(x.plus(y), Ok(ratio(a * d + c * b, b * d)));
        prop_assert_eq!(x.times(y), Ok(ratio(a * c, b * d)));
        prop_assert_eq!(x.plus(y).and_then(|sum| sum.minus(y)), Ok(x));
        let up = i128::from(x.whole_up().unwrap()) * i128::from(b);
        prop_assert!(up >= i128::from(a) && up - i128::from(b) < i128::from(a));
    }
}

//! The volume that dissolved shellac takes up: one figure for the book and for mixing.
//!
//! A convention of the trade. Published mixing notes: 2 lb of flakes in 1 US gal of alcohol come to 1.2 gal, 3 lb to about
//! 1.3, 4 lb to about 1.4. It means a resin of 1.198 kg/L, at the top of the published range; 1.035 kg/L would take 0.116
//! gal a pound.

use super::number::Exact;

/// US gallons that a pound of dissolved resin adds to the alcohol.
pub const RESIN_GALLONS_A_POUND: Exact = Exact::constant(1, 1);

/// The same in litres a kilogram, to five figures: what the book adds for every mixture must end in decimals.
pub const RESIN_LITRES_A_KILOGRAM: Exact = Exact::constant(83_454, 5);

#[cfg(test)]
mod tests {
    use super::{RESIN_GALLONS_A_POUND, RESIN_LITRES_A_KILOGRAM};
    use crate::quantity::{Ratio, unit};

    #[test]
    fn one_figure_in_two_units() {
        let factor = |symbol| Ratio::from_exact(unit::find(symbol).unwrap().factor);
        let exact = Ratio::from_exact(RESIN_GALLONS_A_POUND)
            .times(factor("gal"))
            .and_then(|litres| litres.by(factor("lb")))
            .and_then(|exact| exact.rounded(5));
        assert_eq!(exact, Ok(RESIN_LITRES_A_KILOGRAM));
    }
}

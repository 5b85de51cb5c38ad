//! VOC arithmetic. Metal Finishing guidebook, appendix B, and p. 830 (text); a coating maker's FAQ (secondary); VOC
//! Emission Calculation Examples, Mecklenburg County NC (text); a student's summary of TCEQ guidance (secondary, its half
//! gallon inferred). What evaporates of a litre is what the program takes a product to give off.

use crate::planned::with_products;
use crate::prints;
use sandarac::quantity::Density;
use sandarac::vapour::own_alcohol::given_off_mixed;

/// g/L in 1 lb/gal.
fn grams_per_litre() -> f64 {
    Density::parse("1 lb/gal").unwrap().estimate() * 1000.0
}

/// Pounds a gallon of products poured together give off, each with its row of products.csv and its volume.
fn pounds_per_gallon(poured: &[(&str, &str, f64)]) -> Option<f64> {
    let rows: String = poured
        .iter()
        .map(|(name, row, _)| format!("{name},solvent,{row}\n"))
        .collect();
    let all: f64 = poured.iter().map(|(_, _, volume)| volume).sum();
    let portions: Vec<(&str, f64)> = poured
        .iter()
        .map(|(name, _, volume)| (*name, volume / all))
        .collect();
    let off = given_off_mixed(&with_products(&rows).tables, "paint", &portions);
    assert_eq!(off.gap, None);
    let milligrams: f64 = off.vapours.iter().map(|vapour| vapour.milligrams).sum();
    Some(milligrams / 1000.0 / grams_per_litre())
}

/// 1 gal with 2.5 lb/gal, thinned with a quart of solvent of 6.8 lb/gal.
#[test]
fn a_thinned_enamel() {
    let enamel = "varnish solids 75 mass %; mineral spirits 25 mass %,100 F,10 lb/gal";
    let thinner = "mineral spirits 100 mass %,100 F,6.8 lb/gal";
    let poured = [("enamel", enamel, 1.0), ("thinner", thinner, 0.25)];
    prints(pounds_per_gallon(&poured), "3.36");
}

/// 5 gal with 0.5 lb/gal and half a gallon of an exempt solvent. Water stands in for that: the program exempts nothing
/// else that evaporates.
#[test]
fn a_mixture_with_exempt_solvent() {
    let coating = "varnish solids 95 mass %; mineral spirits 5 mass %,100 F,10 lb/gal";
    let exempt = "water 100 mass %,none,8.34 lb/gal";
    let poured = [("coating", coating, 5.0), ("exempt", exempt, 0.5)];
    prints(pounds_per_gallon(&poured), "0.45");
}

/// 6.55 lb/gal with 50.67 % VOC: 3.32 lb/gal.
#[test]
fn from_weight_per_cent() {
    let paint = "varnish solids 49.33 mass %; mineral spirits 50.67 mass %,100 F,6.55 lb/gal";
    prints(pounds_per_gallon(&[("paint", paint, 1.0)]), "3.32");
}

#[test]
fn pounds_a_gallon_in_grams_a_litre() {
    prints(Some(grams_per_litre()), "119.8");
    prints(Some(grams_per_litre()), "119.83");
    prints(Some(1.0 / grams_per_litre()), "0.008345");
}

//! Pound cuts: the flake chart, what a gallon comes to, the chart for letting a cut down with its misprints, weight and VOC.
//!
//! Sources, each beside its table: *Shellac Mixing Chart*, rev. 11/13 (text); a retailer's *Mixing shellac* note
//! (secondary); *Woodcraft Magazine* 42, *Scaling down pound-cuts* (text); a *Fine Woodworking* note as quoted on a forum
//! (secondary); a magazine's conversion chart (common practice, no source); ASTM D360-89 (secondary); and figures worked
//! out from the definition of the cut in TT-S-300A by other means (computed).

use crate::{near, prints};
use sandarac::quantity::{Density, Exact, Measure, Ratio};
use sandarac::trade::mixing::{
    Cut, Mixture, evaporates, resin_by_volume, resin_by_weight, resin_in, thinned, to_make,
    with_alcohol,
};

fn cut(pounds: &str) -> Cut {
    Cut::read(pounds).unwrap()
}

fn amount(text: &str) -> Ratio {
    Ratio::from_exact(Measure::parse(text).unwrap().base)
}

/// A quotient in a unit.
fn inside(ratio: Ratio, unit: &str) -> Ratio {
    ratio.by(amount(&format!("1 {unit}"))).unwrap()
}

/// As a float, to compare with a printed figure.
fn float(ratio: Ratio) -> Option<f64> {
    Some(ratio.rounded(12).unwrap().estimate())
}

fn poured(pounds: &str, alcohol: &str) -> Mixture {
    with_alcohol(cut(pounds), amount(alcohol)).unwrap()
}

/// *Shellac Mixing Chart*: ounces of flakes by the alcohol that is poured. All twenty cells, exact.
#[test]
fn the_flake_chart() {
    let cuts = ["1", "1.5", "2", "3"];
    for (alcohol, ounces) in [
        ("1 gal", ["16", "24", "32", "48"]),
        ("1/2 gal", ["8", "12", "16", "24"]),
        ("1 qt", ["4", "6", "8", "12"]),
        ("1 pt", ["2", "3", "4", "6"]),
        ("1 cup", ["1", "1.5", "2", "3"]),
    ] {
        for (pounds, printed) in cuts.into_iter().zip(ounces) {
            let flakes = poured(pounds, alcohol).flakes;
            assert_eq!(
                flakes,
                amount(&format!("{printed} oz")),
                "{pounds} lb, {alcohol}"
            );
        }
    }
}

/// The retailer's note prints two of them again; the magazine's shortcut is one ounce to the cup for a 1 lb cut.
#[test]
fn the_same_elsewhere() {
    assert_eq!(poured("3", "1 pt").flakes, amount("6 oz"));
    assert_eq!(poured("1", "1 pt").flakes, amount("2 oz"));
    assert_eq!(poured("1", "1 cup").flakes, amount("1 oz"));
}

/// The note: 2 lb in a gallon come to 1.2 gal, so a gallon of it holds 1.66 lb (cut off, not rounded); 3 lb to about 1.3,
/// 4 lb to 1.4.
#[test]
fn what_a_gallon_comes_to() {
    for (pounds, gallons) in [("2", "1.2"), ("3", "1.3"), ("4", "1.4")] {
        let made = inside(poured(pounds, "1 gal").made, "gal");
        assert_eq!(made.rounded(6).unwrap().digits(), gallons);
    }
    let held = inside(resin_in(cut("2"), amount("1 gal")).unwrap(), "lb");
    assert!(
        held >= Ratio::from_exact(Exact::constant(166, 2))
            && held < Ratio::from_exact(Exact::constant(167, 2))
    );
}

/// Worked out from the definition with 0.1 gal a pound (computed): flakes to a pint and to 100 mL of alcohol, gallons
/// from one, pounds in a finished gallon, and the share of alcohol.
#[test]
fn the_table_of_cuts() {
    for (pounds, to_a_pint, to_100_ml, gallons, in_a_gallon, alcohol) in [
        ("1/2", "1", "6.0", "1.05", "0.48", "95"),
        ("1", "2", "12.0", "1.10", "0.91", "91"),
        ("1 1/2", "3", "18.0", "1.15", "1.30", "87"),
        ("2", "4", "24.0", "1.20", "1.67", "83"),
        ("3", "6", "35.9", "1.30", "2.31", "77"),
        ("4", "8", "47.9", "1.40", "2.86", "71"),
        ("5", "10", "59.9", "1.50", "3.33", "67"),
    ] {
        let ounces = inside(poured(pounds, "1 pt").flakes, "oz");
        assert_eq!(ounces.rounded(9).unwrap().digits(), to_a_pint, "{pounds}");
        prints(
            float(inside(poured(pounds, "100 mL").flakes, "g")),
            to_100_ml,
        );
        prints(float(inside(poured(pounds, "1 gal").made, "gal")), gallons);
        let held = resin_in(cut(pounds), amount("1 gal")).unwrap();
        prints(float(inside(held, "lb")), in_a_gallon);
        let resin = resin_by_volume(cut(pounds)).unwrap();
        prints(float(Ratio::whole(100).minus(resin).unwrap()), alcohol);
    }
    // A finished pint of a 2 lb cut: about 95 g and 395 mL (computed).
    let pint = to_make(cut("2"), amount("1 pt")).unwrap();
    near(float(inside(pint.flakes, "g")), 95.0, 0.01);
    near(float(inside(pint.alcohol, "mL")), 395.0, 0.01);
    // Pounds a gallon in grams a litre: 119.8 (*Metal Finishing* guidebook, page 830, text).
    prints(float(inside(poured("1", "1 L").flakes, "g")), "119.8");
}

/// Rows of the conversion chart that the definition does not reproduce within a tenth. The whole 2 lb row was worked with
/// the volume of a 4 lb cut; 5 to 3 is a misprint, 7/8 for 7/16; 1 1/2 to 1 and 3 to 2 are rounded coarsely to 1/3.
const MISPRINTS: [(&str, &str); 7] = [
    ("2", "0.25"),
    ("2", "0.5"),
    ("2", "1"),
    ("2", "1.5"),
    ("5", "3"),
    ("1.5", "1"),
    ("3", "2"),
];

/// From, to, printed parts of alcohol to one part, and what the definition gives (computed).
const CHART: [(&str, &str, f64, &str); 27] = [
    ("0.5", "0.25", 1.0, "0.952"),
    ("1", "0.25", 3.0, "2.727"),
    ("1", "0.5", 0.875, "0.909"),
    ("1.5", "0.25", 4.5, "4.348"),
    ("1.5", "0.5", 1.667, "1.739"),
    ("1.5", "1", 0.3333, "0.435"),
    ("2", "0.25", 5.0, "5.833"),
    ("2", "0.5", 2.0, "2.500"),
    ("2", "1", 0.6667, "0.833"),
    ("2", "1.5", 0.25, "0.278"),
    ("3", "0.25", 8.75, "8.462"),
    ("3", "0.5", 3.75, "3.846"),
    ("3", "1", 1.5, "1.538"),
    ("3", "1.5", 0.75, "0.769"),
    ("3", "2", 0.3333, "0.385"),
    ("4", "0.25", 11.0, "10.714"),
    ("4", "0.5", 5.0, "5.000"),
    ("4", "1", 2.0, "2.143"),
    ("4", "1.5", 1.25, "1.190"),
    ("4", "2", 0.75, "0.714"),
    ("4", "3", 0.25, "0.238"),
    ("5", "0.25", 12.75, "12.667"),
    ("5", "0.5", 5.75, "6.000"),
    ("5", "1", 2.75, "2.667"),
    ("5", "1.5", 1.5, "1.556"),
    ("5", "2", 1.0, "1.000"),
    ("5", "3", 0.875, "0.444"),
];

#[test]
fn the_conversion_chart_and_its_misprints() {
    for (from, to, printed, computed) in CHART {
        let parts = thinned(cut(from), cut(to), Ratio::ONE).unwrap().parts;
        let ours = float(parts).unwrap();
        prints(Some(ours), computed);
        let within = (ours - printed).abs() <= 0.1 * printed;
        assert_eq!(
            within,
            !MISPRINTS.contains(&(from, to)),
            "{from} to {to}: {ours}, {printed}"
        );
    }
    // The 2 lb row again, with the 4 lb cut's volume in place of its own: what was printed, to the fraction used.
    for (to, printed) in [("0.25", 5.0), ("0.5", 2.0), ("1", 0.6667), ("1.5", 0.25)] {
        let thumb = thinned(cut("2"), cut(to), Ratio::ONE).unwrap().thumb_parts;
        near(Some(float(thumb).unwrap() / 1.4), printed, 0.075);
    }
}

/// A page that uses the rule of thumb: 3 to 1 takes two parts, 3 to 2 a half; its mixes come out at 0.83 and 1.82 lb
/// (secondary; the cuts computed).
#[test]
fn the_rule_of_thumb() {
    for (to, parts, really) in [("1", "2", "0.83"), ("2", "0.5", "1.82")] {
        let thinning = thinned(cut("3"), cut(to), amount("1 pt")).unwrap();
        assert_eq!(thinning.thumb_parts.rounded(9).unwrap().digits(), parts);
        prints(float(thinning.thumb_cut), really);
    }
}

/// Weight of resin by the definition (computed, 190 proof at 6.79 lb/gal, 200 proof at 0.7893 kg/L), its share of the
/// volume at a resin of 1.20 kg/L, and VOC (computed with 0.1 gal a pound, whole grams).
#[test]
fn weight_and_what_evaporates() {
    let proof_190 = Density::parse("6.79 lb/gal").unwrap();
    let proof_200 = Density::parse("0.7893 kg/L").unwrap();
    for (pounds, wet, dry, by_volume, density, voc) in [
        ("0.5", "6.9", "7.1", 4.8, 0.809, 752.0),
        ("1", "12.8", "13.2", 9.1, 0.827, 718.0),
        ("1.5", "18.1", "18.5", 13.0, 0.843, 686.0),
        ("2", "22.8", "23.3", 16.6, 0.857, 658.0),
        ("2.5", "26.9", "27.5", 20.0, 0.871, 631.0),
        ("3", "30.6", "31.3", 23.1, 0.884, 607.0),
        ("4", "37.1", "37.8", 28.5, 0.906, 564.0),
        ("4.5", "39.9", "40.6", 31.0, 0.916, 544.0),
        ("5", "42.4", "43.2", 33.3, 0.926, 526.0),
        ("6", "46.9", "47.7", 37.5, 0.943, 493.0),
        ("8", "54.1", "54.8", 44.4, 0.971, 438.0),
    ] {
        let weight = |alcohol| float(resin_by_weight(cut(pounds), alcohol).unwrap());
        prints(weight(proof_190), wet);
        prints(weight(proof_200), dry);
        let volume = float(resin_by_volume(cut(pounds)).unwrap()).unwrap();
        assert!((volume - by_volume).abs() < 0.1, "{pounds}: {volume}");
        let ours = float(evaporates(cut(pounds), proof_200).unwrap());
        assert!((ours.unwrap() - voc).abs() <= 0.5, "{pounds}: {ours:?}");
        // By the other way: density of the solution and its solids.
        let solids = weight(proof_200).unwrap() / 100.0;
        near(ours, 1000.0 * density * (1.0 - solids), 0.002);
    }
}

/// ASTM D360-89, least share of non-volatile matter by weight, orange shellac (secondary): at each cut 93 to 94 % of what
/// the definition gives with 190 proof alcohol.
#[test]
fn the_standard_for_shellac_varnish() {
    let alcohol = Density::parse("6.79 lb/gal").unwrap();
    for (pounds, least) in [
        ("3", 28.5),
        ("4", 35.0),
        ("4.5", 37.5),
        ("5", 40.0),
        ("6", 44.0),
        ("8", 51.0),
    ] {
        let ours = float(resin_by_weight(cut(pounds), alcohol).unwrap()).unwrap();
        let share = least / ours;
        assert!((0.925..0.9475).contains(&share), "{pounds}: {share}");
    }
}

/// 40 CFR 59 subpart D, table 1: clear shellac at most 730 g/L (memory). Mixed with 200 proof alcohol a cut is over it
/// below about 0.8 lb (computed).
#[test]
fn the_line_for_clear_shellac() {
    let alcohol = Density::parse("0.789 kg/L").unwrap();
    let voc = |pounds| float(evaporates(cut(pounds), alcohol).unwrap()).unwrap();
    assert!(voc("0.8") > 730.0 && voc("0.85") < 730.0);
}

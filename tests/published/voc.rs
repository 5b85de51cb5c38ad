//! VOC arithmetic. Metal Finishing guidebook, appendix B, and p. 830 (text); a coating maker's FAQ (secondary);
//! Colorado 5 CCR 1001-29, appendix E, citing EPA-340/1-86-016 (text); VOC Emission Calculation Examples, Mecklenburg
//! County NC (text); a student's summary of TCEQ guidance (secondary, its half gallon inferred).

use crate::{near, prints};
use sandarac::vapour::mixture::{voc_on_solids, voc_per_litre, voc_together};
use sandarac::vapour::release::{GRAMS_PER_POUND, LITRES_PER_GALLON};

const GRAMS_PER_LITRE: f64 = GRAMS_PER_POUND / LITRES_PER_GALLON;

#[test]
fn a_thinned_enamel() {
    prints(voc_together(&[(1.0, 2.5), (0.25, 6.8)]), "3.36");
}

#[test]
fn a_mixture_with_exempt_solvent() {
    prints(voc_together(&[(5.0, 0.5), (0.5, 0.0)]), "0.45");
}

#[test]
fn per_gallon_of_paint_and_of_solids() {
    prints(voc_together(&[(100.0, 33.2 / 100.0)]), "0.332");
    prints(voc_together(&[(33.06, 33.2 / 33.06)]), "1.004");
}

/// The printed kg/L column is reproduced to about 2 % only, the pounds to two figures.
#[test]
fn from_coating_to_solids() {
    for (coating, solids) in [
        (2.8, "4.5"),
        (4.2, "9.8"),
        (3.7, "7.4"),
        (2.6, "4.0"),
        (3.8, "7.9"),
    ] {
        prints(voc_on_solids(coating, 7.36), solids);
    }
    for (coating, kilograms) in [
        (2.8, 0.55),
        (4.2, 1.19),
        (3.7, 0.88),
        (2.6, 0.48),
        (3.8, 0.93),
    ] {
        near(
            voc_on_solids(coating, 7.36).map(|pounds| pounds * GRAMS_PER_LITRE / 1000.0),
            kilograms,
            0.02,
        );
    }
}

#[test]
fn from_weight_per_cent() {
    // 6.55 lb/gal with 50.67 % VOC: 3.32 lb/gal
    let grams = voc_per_litre(6.55 * GRAMS_PER_LITRE / 1000.0, 0.4933, 0.0);
    prints(grams.map(|grams| grams / GRAMS_PER_LITRE), "3.32");
}

#[test]
fn pounds_a_gallon_in_grams_a_litre() {
    prints(Some(GRAMS_PER_LITRE), "119.8");
    prints(Some(GRAMS_PER_LITRE), "119.83");
    prints(Some(1.0 / GRAMS_PER_LITRE), "0.008345");
}

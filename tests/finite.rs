//! No number that is not a number leaves a public function of the physics, whatever goes in; and inside the range the
//! answers are in order. No published figures here.
#![allow(
    clippy::float_arithmetic,
    clippy::panic,
    reason = "tests of the physics"
)]
#![allow(clippy::unwrap_used)]

use proptest::prelude::{
    ProptestConfig, Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest,
};
use sandarac::vapour::conversion::{MolarVolume, mg_from_ppm, ppm_from_mg};
use sandarac::vapour::dilution::{
    air_for_fire, airflow_for_changes, airflow_for_fire, airflow_for_floor, airflow_for_health,
    layer_at_lel, le_chatelier, share_of_lel_if_all, us_airflow_for_health,
};
use sandarac::vapour::flash::{
    Antoine, Family, FlashPart, MixtureFlash, flash_point, mixes_ideally,
};
use sandarac::vapour::well_mixed::WellMixedRoom;

/// Wild numbers, and tame ones that mostly lie in a range.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -1.0..200.0_f64,
        0.0..1.0_f64,
        0.0..1.0e7_f64,
        proptest::strategy::Just(0.0)
    ]
}

const FAMILIES: [Family; 8] = [
    Family::Alcohol,
    Family::Aliphatic,
    Family::Aromatic,
    Family::Ketone,
    Family::Ester,
    Family::GlycolEther,
    Family::Chlorinated,
    Family::Watery,
];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn nothing_but_numbers_leaves(a in number(), b in number(), c in number(), d in number(), e in number()) {
        let volume = MolarVolume::Ideal(e);
        let curve = Antoine { a, b, c, coldest: d.min(e), warmest: d.max(e) };
        let answers = [
            air_for_fire(a, b, c),
            airflow_for_fire(a, b),
            us_airflow_for_health(a, b, c, d, e),
            airflow_for_health(a, b, volume, c, d),
            airflow_for_changes(a, b),
            airflow_for_floor(a, b, c),
            le_chatelier(&[(a, b), (c, d)]),
            le_chatelier(&[]),
            curve.pressure(a),
            curve.reaching_colder(b).pressure(d - b),
            volume.litres(),
            mg_from_ppm(a, b, volume),
            ppm_from_mg(a, b, volume),
            layer_at_lel(a, b, c, d),
            share_of_lel_if_all(a, b, c, d),
            WellMixedRoom::new(a, b, c).map(|room| room.changes_per_hour()),
        ];
        for (place, answer) in answers.into_iter().enumerate() {
            prop_assert!(answer.is_none_or(f64::is_finite), "{place}: {answer:?}");
        }
    }

    #[test]
    fn a_flash_point_lies_among_its_parts(
        x in 0.001..0.999_f64,
        one in number(),
        other in number(),
        first in 0_usize..8,
        second in 0_usize..8,
    ) {
        let pressure = Antoine { a: 9.0, b: 1400.0, c: -55.0, coldest: 260.0, warmest: 400.0 };
        let (first, second) = (FAMILIES[first], FAMILIES[second]);
        prop_assert_eq!(mixes_ideally(first, second), mixes_ideally(second, first));
        let parts = [
            FlashPart { moles: x, flash: one, pressure, family: first },
            FlashPart { moles: 1.0 - x, flash: other, pressure, family: second },
        ];
        match flash_point(&parts) {
            None => {}
            Some(MixtureFlash::About(celsius)) => {
                prop_assert!(mixes_ideally(first, second));
                prop_assert!((one.min(other)..=one.max(other)).contains(&celsius));
            }
            Some(MixtureFlash::NoHigherThan { celsius, lower_by, because }) => {
                prop_assert!(!mixes_ideally(first, second));
                prop_assert_eq!((celsius, because), (one.min(other), (first, second)));
                prop_assert!(lower_by > 0.0);
            }
        }
    }

    #[test]
    fn ppm_there_and_back(ppm in 0.001..1.0e5_f64, molar in 10.0..300.0_f64, celsius in 0.0..40.0_f64) {
        for volume in [MolarVolume::Printed25, MolarVolume::Ideal(celsius)] {
            let back = ppm_from_mg(mg_from_ppm(ppm, molar, volume).unwrap(), molar, volume).unwrap();
            prop_assert!((back / ppm - 1.0).abs() < 1.0e-14);
        }
    }

    #[test]
    fn a_mixed_limit_lies_among_its_parts(
        y in 0.001..1.0_f64,
        z in 0.001..1.0_f64,
        one in 0.5..15.0_f64,
        other in 0.5..15.0_f64,
    ) {
        let mixed = le_chatelier(&[(y, one), (z, other)]).unwrap();
        prop_assert!(mixed >= one.min(other) * (1.0 - 1.0e-12) && mixed <= one.max(other) * (1.0 + 1.0e-12));
    }
}

#[test]
fn outside_its_range_a_formula_says_nothing() {
    assert_eq!(WellMixedRoom::new(0.0, 100.0, 3.0), None);
    assert_eq!(WellMixedRoom::new(50.0, 100.0, 0.3), None);
    assert_eq!(air_for_fire(0.4, 0.0, 0.25), None);
    assert_eq!(us_airflow_for_health(0.8, 1.0, 92.0, 0.0, 5.0), None);
    assert_eq!(share_of_lel_if_all(1000.0, 0.4, 1.0, 1.0), None);
}

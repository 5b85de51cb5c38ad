//! Ethanol in water: a published table of flash points, seen twice with the same numbers, once headed by weight and
//! twice by volume, so its basis is disputed (secondary). Densities: CoolProp 8.0.0, INCOMP::MEA at 20 °C (secondary).
//! The textbook case of 50 mol %: psat 57.1 mmHg at 297.6 K (secondary).

use crate::near;
use crate::shop::{celsius, shop};
use sandarac::record::parse_parts;
use sandarac::vapour::blend_flash::{blend_flash, lowest_flash};
use sandarac::vapour::conversion::ATMOSPHERE;
use sandarac::vapour::flash::Antoine;
use sandarac::vapour::flash_bound::highest_flash;
use sandarac::vapour::own_alcohol::given_off_here;

/// Per cent of ethanol, flash point in °C.
const TABLE: [(f64, f64); 11] = [
    (5.0, 62.0),
    (10.0, 49.0),
    (20.0, 36.0),
    (30.0, 29.0),
    (40.0, 26.0),
    (50.0, 24.0),
    (60.0, 22.0),
    (70.0, 21.0),
    (80.0, 20.0),
    (90.0, 17.0),
    (96.0, 17.0),
];

/// A data sheet may state any printed flash point: the program calls none too high for its parts, by either reading of the
/// table, and offers no estimate of its own. Under 10 % of ethanol the parts settle nothing.
#[test]
fn no_printed_flash_point_is_too_high_for_its_parts() {
    let tables = shop(&[]).tables;
    for basis in ["mass", "vol"] {
        for (percent, printed) in TABLE {
            let rest = 100.0 - percent;
            let parts = format!("ethanol {percent} {basis} %; water {rest} {basis} %");
            let parts = parse_parts(&parts).unwrap();
            let highest = highest_flash(&tables, &parts).map(celsius);
            assert_eq!(highest.is_some(), percent > 5.0, "{percent} {basis} %");
            assert!(
                highest.is_none_or(|highest| printed <= highest),
                "{percent} {basis} %: {highest:?}, printed {printed}"
            );
            assert_eq!(blend_flash(&tables, &parts), None);
            assert_eq!(lowest_flash(&tables, &parts), None);
        }
    }
}

/// The program adds the volumes of what is poured together. Ethanol and water shrink, by up to 4 % of their volume.
#[test]
fn densities_are_those_printed_or_up_to_4_percent_less() {
    let printed = [
        (10.0, 981.84),
        (20.0, 968.92),
        (30.0, 954.01),
        (40.0, 935.32),
        (50.0, 913.57),
        (60.0, 891.11),
    ];
    for (percent, kilograms) in printed {
        let rest = 100.0 - percent;
        let products = format!(
            "product,kind,made_of,flash_point\nspirit,solvent,ethanol {percent} mass %; water {rest} mass %,70 F\n"
        );
        let tables = shop(&[("products", &products)]).tables;
        let ours = given_off_here(&tables, "spirit").unwrap().density.unwrap();
        let less = 1.0 - ours * 1000.0 / kilograms;
        assert!((0.0..0.04).contains(&less), "{percent} %: {less}");
    }
}

#[test]
fn the_textbook_pressure() {
    let ethanol = Antoine {
        a: 10.336_75,
        b: 1648.220,
        c: -42.232,
        coldest: 276.5,
        warmest: 369.54,
    };
    near(
        ethanol
            .pressure(297.6)
            .map(|pa| pa / 1000.0 / ATMOSPHERE * 760.0),
        57.1,
        0.01,
    );
}

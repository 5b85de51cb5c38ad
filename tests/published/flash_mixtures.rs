//! Flash points of mixtures by Liaw's equation with ideal activity: no measured binary is printed here. The figures are
//! computed by other means (the pressure curves of `chemicals` 1.5.2, NFPA 497 and IEC flash points, both secondary);
//! limits of vapour mixtures likewise. Toluene with ethanol and octane with ethanol: UNIFAC with Liaw (computed) puts
//! them up to 10 °C under the lower part, after Liaw 2002 and Vidal 2006 (secondary).

use crate::prints;
use crate::shop::shop;
use sandarac::record::parse_parts;
use sandarac::vapour::blend_flash::blend_flash;
use sandarac::vapour::dilution::le_chatelier;
use sandarac::vapour::flash::{
    Antoine, Family, FlashPart, MixtureFlash, flash_point, mixes_ideally,
};

const ETHANOL: Antoine = Antoine {
    a: 10.336_75,
    b: 1648.220,
    c: -42.232,
    coldest: 276.5,
    warmest: 369.54,
};
const METHANOL: Antoine = Antoine {
    a: 10.202_77,
    b: 1580.080,
    c: -33.650,
    coldest: 262.59,
    warmest: 356.0,
};
const TOLUENE: Antoine = Antoine {
    a: 9.050_43,
    b: 1327.620,
    c: -55.525,
    coldest: 286.44,
    warmest: 409.61,
};

fn alcohols(methanol: f64, ethanol_flash: f64, methanol_flash: f64) -> Option<f64> {
    let part = |moles, flash, pressure| FlashPart {
        moles,
        flash,
        pressure,
        family: Family::Alcohol,
    };
    let parts = [
        part(1.0 - methanol, ethanol_flash, ETHANOL),
        part(methanol, methanol_flash, METHANOL),
    ];
    match flash_point(&parts)? {
        MixtureFlash::About(celsius) => Some(celsius),
        MixtureFlash::NoHigherThan { .. } => None,
    }
}

#[test]
fn ethanol_with_methanol_by_moles() {
    let table = [
        (0.1, "12.91", "11.7"),
        (0.25, "12.76", "11.26"),
        (0.5, "12.52", "10.51"),
        (0.75, "12.26", "9.75"),
        (0.9, "12.11", "9.3"),
    ];
    for (methanol, nfpa, iec) in table {
        prints(alcohols(methanol, 13.0, 12.0), nfpa);
        prints(alcohols(methanol, 12.0, 9.0), iec);
    }
}

/// The moles that shares come to decide the flash point of a blend. Four printed figures of a mole fraction settle it to
/// 0.0002 °C; the flash points of the built-in alcohols are the 12 and 9 °C of IEC.
#[test]
fn shares_of_mass_and_volume_to_moles() {
    let tables = shop(&[]).tables;
    let table = [
        ("mass", 10, 0.1377),
        ("mass", 25, 0.3240),
        ("mass", 50, 0.5898),
        ("mass", 75, 0.8118),
        ("vol", 10, 0.1381),
        ("vol", 25, 0.3246),
        ("vol", 50, 0.5904),
        ("vol", 90, 0.9284),
    ];
    for (basis, percent, moles) in table {
        let rest = 100 - percent;
        let parts = format!("methanol {percent} {basis} %; ethanol {rest} {basis} %");
        let parts = parse_parts(&parts).unwrap();
        let Some(MixtureFlash::About(ours)) = blend_flash(&tables, &parts) else {
            panic!("{percent} {basis} %: no estimate");
        };
        let printed = alcohols(moles, 12.0, 9.0).unwrap();
        assert!(
            (ours - printed).abs() < 0.0002,
            "{percent} {basis} %: {ours}, by the printed moles {printed}"
        );
    }
}

#[test]
fn alcohol_with_hydrocarbon_is_refused() {
    let ethanol = FlashPart {
        moles: 0.5,
        flash: 13.0,
        pressure: ETHANOL,
        family: Family::Alcohol,
    };
    let toluene = FlashPart {
        moles: 0.5,
        flash: 4.0,
        pressure: TOLUENE,
        family: Family::Aromatic,
    };
    let because = (Family::Alcohol, Family::Aromatic);
    assert_eq!(
        flash_point(&[ethanol, toluene]),
        Some(MixtureFlash::NoHigherThan {
            celsius: 4.0,
            lower_by: 10.0,
            because
        })
    );
    for hydrocarbon in [Family::Aliphatic, Family::Aromatic] {
        assert!(
            !mixes_ideally(Family::Alcohol, hydrocarbon)
                && !mixes_ideally(hydrocarbon, Family::Alcohol)
        );
    }
}

#[test]
fn limits_of_mixed_vapours() {
    prints(le_chatelier(&[(0.5, 3.3), (0.5, 6.0)]), "4.26");
    prints(le_chatelier(&[(0.95, 3.1), (0.05, 6.0)]), "3.18");
    prints(le_chatelier(&[(0.3, 1.0), (0.4, 2.5), (0.3, 1.2)]), "1.41");
    prints(le_chatelier(&[(0.3, 1.1), (0.4, 2.5), (0.3, 1.7)]), "1.64");
    // over the liquid of 50 mol % at 25 °C, by Raoult
    let over = [ETHANOL, METHANOL].map(|part| 0.5 * part.pressure(298.15).unwrap());
    prints(Some(over[1] / (over[0] + over[1])), "0.683");
    prints(le_chatelier(&[(over[0], 3.3), (over[1], 6.0)]), "4.76");
}

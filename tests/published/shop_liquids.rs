//! Where the liquids of a finishing room land under both schemes. Flash points after the NIOSH Pocket Guide: memory, but
//! turpentine's 95 °F (text); the classes are computed from the definitions. The data sheet of the actual can governs.

use crate::shop::{class, materials, pack};

/// Liquid, flash point, boiling point, category, class.
const LIQUIDS: [(&str, &str, &str, &str, &str); 9] = [
    ("ethanol", "55 F", "173 F", "cat-2", "ib"),
    ("methanol", "52 F", "147 F", "cat-2", "ib"),
    ("isopropanol", "53 F", "181 F", "cat-2", "ib"),
    // The two schemes part here: 97 °F is over 95 and under 100.
    ("pentane", "-40 F", "97 F", "cat-2", "ia"),
    ("turpentine", "95 F", "309 F", "cat-3-low", "ic"),
    ("mineral spirits", "102 F", "300 F", "cat-3-high", "ii"),
    (
        "mineral spirits, high",
        "110 F",
        "300 F",
        "cat-3-high",
        "ii",
    ),
    ("2-butoxyethanol", "143 F", "340 F", "cat-4", "iiia"),
    ("linseed oil", "400 F", "650 F", "none", "iiib"),
];

#[test]
fn under_both_schemes() {
    let (osha, fire) = (pack("us-workplace"), pack("us-fire-code"));
    let (osha, fire) = (osha.scheme.unwrap(), fire.scheme.unwrap());
    for (name, flash, boils, category, letter) in LIQUIDS {
        assert_eq!(class(&osha, flash, Some(boils)), Ok(category), "{name}");
        assert_eq!(class(&fire, flash, Some(boils)), Ok(letter), "{name}");
    }
}

/// 73.2 °F lies between the borders of the two schemes.
#[test]
fn between_73_and_73_4() {
    let (osha, fire) = (pack("us-workplace"), pack("us-fire-code"));
    assert_eq!(
        class(&osha.scheme.unwrap(), "73.2 F", Some("258 F")),
        Ok("cat-2")
    );
    assert_eq!(
        class(&fire.scheme.unwrap(), "73.2 F", Some("258 F")),
        Ok("ic")
    );
}

/// The same classes come out of the built-in materials, by the lowest flash point stated for each.
#[test]
fn the_built_in_materials_land_there_too() {
    let (osha, fire) = (pack("us-workplace"), pack("us-fire-code"));
    let (osha, fire) = (osha.scheme.unwrap(), fire.scheme.unwrap());
    let materials = materials();
    let mut met = 0;
    for (name, _, _, category, letter) in LIQUIDS {
        let Some(material) = materials.find(name) else {
            assert_eq!(name, "pentane", "not among the materials");
            continue;
        };
        let shown = |property| {
            material
                .lowest(property)
                .map(|(at, _)| format!("{} F", at.base().digits()))
        };
        let (flash, boils) = (shown("flash_point").unwrap(), shown("boiling_point"));
        assert_eq!(
            class(&osha, &flash, boils.as_deref()),
            Ok(category),
            "{name}"
        );
        assert_eq!(class(&fire, &flash, boils.as_deref()), Ok(letter), "{name}");
        met += 1;
    }
    assert_eq!(met, LIQUIDS.len() - 1);
}

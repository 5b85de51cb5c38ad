//! No source: what `data/materials.csv` and `data/keeping.csv` must be before their values are held against anything.

use crate::shop::materials;
use sandarac::pack::{KEEPING, MATERIALS, Seen};
use sandarac::quantity::{Density, Dimension, Exact, Measure};
use sandarac::record::{Material, ProductKind, Stated, parse_parts, read_materials};
use sandarac::text::{Files, Problems, show_all};
use sandarac::trade::read_keeping;

/// Hazards that a row may name.
const HAZARDS: [&str; 10] = [
    "toxic",
    "aspiration",
    "oxidizer",
    "listed-oxidizer",
    "sensitizer",
    "peroxide-former",
    "gas",
    "corrosive",
    "irritant",
    "silica",
];

fn quantity(text: &str, dimensions: &[Dimension]) -> bool {
    dimensions
        .iter()
        .any(|dimension| Measure::parse_as(text, *dimension).is_ok())
}

/// One number, or two with a hyphen between, the smaller first.
fn number_or_range(text: &str) -> bool {
    let number = |text: &str| Exact::parse(text.trim()).ok();
    match text.split_once('-') {
        Some((low, high)) => number(low)
            .zip(number(high))
            .is_some_and(|(low, high)| low < high),
        None => number(text).is_some(),
    }
}

/// The last digit of a CAS number is the sum of the others, each times its place from the right, over ten.
fn cas_number(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [long, two, check] = parts.as_slice() else {
        return false;
    };
    let digits: Option<Vec<u32>> = long
        .chars()
        .chain(two.chars())
        .map(|c| c.to_digit(10))
        .collect();
    let (Some(digits), Ok(check)) = (digits, check.parse::<u32>()) else {
        return false;
    };
    let sum: u32 = digits.iter().rev().zip(1..).map(|(d, at)| d * at).sum();
    two.len() == 2 && sum % 10 == check
}

/// Is the value in the form that its property asks?
fn well_formed(stated: &Stated) -> bool {
    let value = stated.value.as_str();
    match stated.property {
        "alias" | "incompatible" | "note" => !value.trim().is_empty(),
        "cas" => cas_number(value),
        "kind" => ProductKind::WORDS.iter().any(|(word, _)| *word == value),
        "made_of" => parse_parts(value).is_some_and(|parts| !parts.is_empty()),
        "flash_point" => value == "none" || quantity(value, &[Dimension::Temperature]),
        "boiling_point" | "autoignition" => quantity(value, &[Dimension::Temperature]),
        "density" | "voc" => Density::parse(value).is_ok(),
        "molar_mass" => quantity(value, &[Dimension::MolarMass]),
        "vapour_pressure" => quantity(value, &[Dimension::Pressure]),
        "antoine" => {
            let three: Vec<_> = value.split(' ').map(Exact::parse_signed).collect();
            three.len() == 3 && three.iter().all(Result::is_ok)
        }
        "lel" | "uel" | "solids" => quantity(value, &[Dimension::Share]),
        "pel" | "pel_ceiling" | "pel_short" | "rel" | "rel_ceiling" | "rel_short" | "tlv"
        | "tlv_short" | "idlh" => quantity(value, &[Dimension::Ppm, Dimension::MassInAir]),
        "evaporation" => Exact::parse(value).is_ok(),
        "odour" => value.strip_suffix(" ppm").is_some_and(number_or_range),
        "iodine_value" => number_or_range(value),
        "family" => matches!(
            value,
            "alcohol"
                | "aliphatic"
                | "aromatic"
                | "chlorinated"
                | "ester"
                | "glycol-ether"
                | "ketone"
                | "watery"
        ),
        "drying_oil" => matches!(value, "yes" | "no"),
        "hazard" => match value.split_once(' ') {
            Some((hazard, share)) => {
                HAZARDS.contains(&hazard) && quantity(share, &[Dimension::Share])
            }
            None => HAZARDS.contains(&value),
        },
        other => panic!("an unknown property: {other}"),
    }
}

fn each(mut look: impl FnMut(&Material, &Stated)) {
    let materials = materials();
    let mut seen = 0;
    for material in materials.all() {
        for stated in &material.stated {
            look(material, stated);
            seen += 1;
        }
    }
    let lines = MATERIALS.lines().count() - 1;
    assert_eq!(seen, lines, "one value for each line after the first");
}

#[test]
fn every_value_is_in_the_form_its_property_asks() {
    each(|material, stated| {
        assert!(
            well_formed(stated),
            "{}, {}: `{}`",
            material.name,
            stated.property,
            stated.value
        );
    });
}

/// The forms themselves refuse what is wrong, or the test above could not fail.
#[test]
fn the_forms_refuse() {
    let materials = materials();
    let some = |property, value: &str| {
        let mut stated = materials.all()[0].stated[0].clone();
        (stated.property, stated.value) = (property, value.to_string());
        stated
    };
    for (property, wrong) in [
        ("cas", "64-17-6"),
        ("kind", "liquid"),
        ("made_of", "ethanol"),
        ("flash_point", "12"),
        ("flash_point", "unknown"),
        ("density", "0.79"),
        ("antoine", "10.3 1648"),
        ("lel", "3.3 ppm"),
        ("pel", "1000"),
        ("odour", "6-4 ppm"),
        ("iodine_value", "160-"),
        ("drying_oil", "maybe"),
        ("hazard", "bad"),
        ("hazard", "corrosive 5"),
    ] {
        assert!(!well_formed(&some(property, wrong)), "{property}: {wrong}");
    }
}

#[test]
fn every_value_has_its_source() {
    each(|material, stated| {
        let what = format!("{}, {}: {}", material.name, stated.property, stated.value);
        assert!(stated.source.len() > 2, "{what}");
        assert!(
            !stated.source.contains('†') && !stated.value.contains('†'),
            "{what}"
        );
        let numeric = !matches!(stated.property, "alias" | "made_of");
        if numeric && stated.source.ends_with("no source") {
            assert_eq!(
                stated.seen,
                Seen::Memory,
                "{what}: no source, so from memory"
            );
        }
    });
}

/// A property is stated once by one source, and every part of a mixture is itself a material.
#[test]
fn nothing_twice_and_no_part_unknown() {
    let materials = materials();
    for material in materials.all() {
        let mut met = std::collections::BTreeSet::new();
        for stated in &material.stated {
            let key = (stated.property, &stated.value, &stated.source);
            assert!(met.insert(key), "{}: {key:?} twice", material.name);
        }
        for stated in material.all("made_of") {
            for part in parse_parts(&stated.value).unwrap() {
                assert!(
                    materials.find(&part.name).is_some(),
                    "{} is made of {}, which is no material",
                    material.name,
                    part.name
                );
            }
        }
    }
}

/// Every material says what it is, and the lower limit of flammability lies below the upper.
#[test]
fn kinds_and_limits() {
    for material in materials().all() {
        assert!(material.kind().is_some(), "{}", material.name);
        let percent = |property| {
            let values = material.all(property);
            values.map(|s| Measure::parse(&s.value).unwrap().base)
        };
        if let (Some(low), Some(high)) = (percent("lel").max(), percent("uel").min()) {
            assert!(low < high, "{}", material.name);
        }
    }
}

/// A value from memory governs only where there is no other.
#[test]
fn memory_never_governs_where_a_confirmed_value_exists() {
    let mut contested = 0;
    for material in materials().all() {
        for property in ["flash_point", "boiling_point", "autoignition"] {
            let all: Vec<Seen> = material.all(property).map(|s| s.seen).collect();
            let confirmed = all.iter().any(|seen| *seen != Seen::Memory);
            let (Some((at, governs)), true) = (material.lowest(property), confirmed) else {
                continue;
            };
            assert_ne!(governs.seen, Seen::Memory, "{}, {property}", material.name);
            if all.contains(&Seen::Memory) {
                contested += 1;
            }
            let lower = material.all(property).filter(|s| s.seen != Seen::Memory);
            let lower = lower.filter_map(|s| Measure::parse(&s.value).ok());
            assert!(
                lower.map(|m| m.temperature()).all(|other| at <= other),
                "{}, {property}: the lowest confirmed governs",
                material.name
            );
        }
        for property in ["kind", "made_of"] {
            let first = material.first(property).map(|s| s.seen);
            let confirmed = material.all(property).any(|s| s.seen != Seen::Memory);
            assert!(
                !(confirmed && first == Some(Seen::Memory)),
                "{}, {property}: the first governs, and it is from memory",
                material.name
            );
        }
    }
    assert!(contested >= 5, "only {contested} with both");
}

/// The same on a small table where the remembered value is the lower one.
#[test]
fn a_lower_value_from_memory_does_not_govern() {
    let text = "material,property,value,source,seen\n\
        spirit,flash_point,10 F,made up,memory\n\
        spirit,flash_point,60 F,a table,secondary\n\
        spirit,flash_point,55 F,the text,text\n\
        other,flash_point,10 F,made up,memory\n";
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("materials.csv", text.as_bytes());
    let materials = read_materials(&files, file, &mut problems);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    let lowest = |name: &str| {
        let (at, stated) = materials.find(name).unwrap().lowest("flash_point").unwrap();
        (at.base().digits(), stated.seen)
    };
    assert_eq!(lowest("spirit"), ("55".to_string(), Seen::Text));
    assert_eq!(lowest("other"), ("10".to_string(), Seen::Memory));
}

/// The keeping times read cleanly, each row with its grade and source.
#[test]
fn keeping_times() {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let file = files.hold("data/keeping.csv", KEEPING.as_bytes());
    let table = read_keeping(&files, file, &mut problems);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    assert_eq!(table.rows.len(), KEEPING.lines().count() - 1);
    for row in &table.rows {
        assert!(
            ["H", "M", "L", "judgement"].contains(&row.grade.as_str()),
            "{}: grade {}",
            row.item,
            row.grade
        );
        assert!(
            !row.source.is_empty() && !row.test.is_empty(),
            "{}",
            row.item
        );
        assert!(!row.published.is_empty(), "{}", row.item);
        let months = |span: Option<sandarac::quantity::Period>| match span {
            Some(sandarac::quantity::Period::Months(months)) => Some(months),
            Some(other) => panic!("{}: {other:?} is not in months", row.item),
            None => None,
        };
        if let (Some(test), Some(discard)) = (months(row.test_from), months(row.discard_after)) {
            assert!(test <= discard, "{}", row.item);
        }
    }
}

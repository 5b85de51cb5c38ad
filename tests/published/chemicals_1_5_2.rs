//! `data/materials.csv` against IEC 60079-20-1:2010, NFPA 497:2008 and the NIOSH Pocket Guide, as transcribed in the
//! Python package chemicals 1.5.2 (MIT); the rows used stand in `chemicals_1_5_2.csv`. Seen: secondary, a transcription
//! of a transcription. Its known errors are named here, and are shown not to have been taken over.

use crate::shop::materials;
use sandarac::quantity::{Density, Measure};
use sandarac::record::{Material, Stated};
use std::collections::{BTreeMap, BTreeSet};

const FIXTURE: &str = include_str!("chemicals_1_5_2.csv");

/// Known errors outside the predicted column: material, source, property, the value not to be believed.
const KNOWN_ERRORS: [(&str, &str, &str, &str); 5] = [
    ("isobutanol", "NFPA 497:2008", "flash_point", "-40"),
    ("VM&P naphtha", "Pocket Guide-like", "flash_point", "12.78"),
    (
        "Stoddard solvent",
        "from the formula",
        "molar_mass",
        "241.1228",
    ),
    ("kerosene", "NFPA 497:2008", "flash_point", "72"),
    ("kerosene", "Pocket Guide-like", "flash_point", "72.22"),
];
/// Flash points of the partly predicted column (DIPPR 2017) that are skipped: off by up to 40 °C, or not needed. For
/// d-limonene and the pinenes it has the only figure there is, and that is compared.
const PREDICTED: [&str; 23] = [
    "1-propanol",
    "2-butoxyethanol",
    "acetic acid",
    "ethanol",
    "ethyl acetate",
    "isobutanol",
    "isobutyl acetate",
    "isopropanol",
    "m-xylene",
    "methanol",
    "methyl acetate",
    "methyl isobutyl ketone",
    "n-butanol",
    "n-butyl acetate",
    "n-decane",
    "n-heptane",
    "n-hexane",
    "n-nonane",
    "n-octane",
    "o-xylene",
    "p-xylene",
    "tetrahydrofuran",
    "toluene",
];

struct Row {
    cas: String,
    name: String,
    source: String,
    property: String,
    value: f64,
    written: String,
    unit: String,
    known_error: String,
}

/// The fixture. A reader of its own, so that nothing of the program reads both sides.
fn rows() -> Vec<Row> {
    let lines = FIXTURE.lines().skip(2).filter(|line| !line.is_empty());
    lines
        .map(|line| {
            let mut cells = line.splitn(7, ',').map(str::to_string);
            let mut next = || cells.next().unwrap();
            let (cas, name, source, property) = (next(), next(), next(), next());
            let written = next();
            Row {
                cas,
                name,
                source,
                property,
                value: written.parse().unwrap(),
                written,
                unit: next(),
                known_error: next(),
            }
        })
        .collect()
}

/// How far ours may lie from theirs: what a rounding to whole degrees Fahrenheit and to three decimals explains.
fn tolerance(property: &str) -> f64 {
    match property {
        "flash_point" => 0.06,
        "lel" | "uel" => 0.005,
        "molar_mass" => 0.01,
        other => panic!("no tolerance for {other}"),
    }
}

/// Is this the source that the fixture's column stands for? NIOSH prints the same figures in two documents.
fn same_source(ours: &str, theirs: &str) -> bool {
    let words: &[&str] = match theirs {
        "IEC 60079-20-1:2010" => &["IEC 60079-20-1:2010"],
        "NFPA 497:2008" => &["NFPA 497:2008"],
        "Pocket Guide-like" => &["NIOSH Pocket Guide", "NIOSH IDLH"],
        "DIPPR 2017" => &["DIPPR (2017)"],
        "from the formula" => &["from the formula"],
        other => panic!("an unknown source: {other}"),
    };
    words.iter().any(|word| ours.contains(word))
}

/// Ours in the fixture's unit: °C, %, g/mol.
fn value(stated: &Stated) -> Option<f64> {
    let measure = Measure::parse(&stated.value).ok()?;
    let base = measure.base.estimate();
    Some(match stated.property {
        "flash_point" => (base - 32.0) / 1.8,
        _ => base,
    })
}

fn from_source<'m>(material: &'m Material, row: &Row) -> Vec<&'m Stated> {
    material
        .stated
        .iter()
        .filter(|stated| {
            stated.property == row.property && same_source(&stated.source, &row.source)
        })
        .collect()
}

#[test]
fn every_substance_and_every_figure() {
    let (materials, rows) = (materials(), rows());
    let mut met: BTreeMap<&str, usize> = BTreeMap::new();
    let mut compared: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows
        .iter()
        .filter(|row| row.known_error.is_empty() && row.property != "density")
    {
        let material = materials
            .find(&row.name)
            .unwrap_or_else(|| panic!("{} is not among the materials", row.name));
        assert_eq!(cas(material), Some(row.cas.as_str()), "{}", row.name);
        let ours = from_source(material, row);
        let agrees = ours
            .iter()
            .filter_map(|stated| value(stated))
            .any(|ours| (ours - row.value).abs() <= tolerance(&row.property));
        let shown: Vec<&str> = ours.iter().map(|stated| stated.value.as_str()).collect();
        assert!(
            agrees,
            "{}, {}, {}: {} there, {shown:?} here",
            row.name, row.property, row.source, row.written
        );
        *met.entry(&row.name).or_default() += 1;
        *compared.entry(&row.property).or_default() += 1;
    }
    let all: BTreeSet<&str> = rows.iter().map(|row| row.name.as_str()).collect();
    let visited: BTreeSet<&str> = met.keys().copied().collect();
    assert_eq!(visited, all, "substances that were not visited");
    // How many of each were compared: a figure lost from the fixture shows here.
    let counts: Vec<(&str, usize)> = compared.into_iter().collect();
    assert_eq!(counts, COMPARED);
}

/// How many figures of each property are compared.
const COMPARED: [(&str, usize); 4] = [
    ("flash_point", 111),
    ("lel", 104),
    ("molar_mass", 51),
    ("uel", 101),
];

/// What our data take from that table is as printed there. Else, printed at 20 °C, ours agrees within 0.0015 kg/L; printed
/// at 25 °C, ours at 20 °C is heavier by 0.2 to 0.9 %. Not so n-hexane, whose 0.6606 for 25 °C is more than the reference
/// equation gives even at 20 °C: a slip in the table, though both values stand in our data.
#[test]
fn densities() {
    let materials = materials();
    let (mut taken, mut cool, mut warm) = (0, 0, 0);
    for row in rows().iter().filter(|row| row.property == "density") {
        let material = materials.find(&row.name).unwrap();
        let density = |stated: &Stated| Density::parse(&stated.value).unwrap().estimate();
        let table = material
            .all("density")
            .find(|stated| stated.source.contains("CRC Handbook, as transcribed"));
        if let Some(stated) = table {
            taken += 1;
            let off = (density(stated) - row.value).abs();
            assert!(off < 0.000_05, "{}: {}", row.name, stated.value);
            continue;
        }
        let ours = density(material.first("density").unwrap());
        let heavier = ours / row.value - 1.0;
        if row.unit == "kg/L at 20 C" {
            cool += 1;
            assert!((ours - row.value).abs() <= 0.0015, "{}: {ours}", row.name);
        } else {
            warm += 1;
            assert_eq!(row.unit, "kg/L at 25 C");
            assert!((0.002..0.009).contains(&heavier), "{}: {heavier}", row.name);
        }
    }
    assert_eq!((taken, cool, warm), (14, 1, 14));
}

/// The rows marked as errors are these and no others, and none of them is in our data under its source.
#[test]
fn known_errors_are_named_and_not_taken_over() {
    let (materials, rows) = (materials(), rows());
    let (predicted, named): (Vec<&Row>, Vec<&Row>) = rows
        .iter()
        .filter(|row| !row.known_error.is_empty())
        .partition(|row| row.source == "DIPPR 2017");
    let named: Vec<_> = named
        .iter()
        .map(|row| {
            (
                row.name.as_str(),
                row.source.as_str(),
                row.property.as_str(),
                row.written.as_str(),
            )
        })
        .collect();
    assert_eq!(named, KNOWN_ERRORS);
    let mut skipped: Vec<&str> = predicted.iter().map(|row| row.name.as_str()).collect();
    skipped.sort_unstable();
    assert_eq!(skipped, PREDICTED);
    for row in rows.iter().filter(|row| !row.known_error.is_empty()) {
        let material = materials.find(&row.name).unwrap();
        for stated in from_source(material, row) {
            let off = (value(stated).unwrap() - row.value).abs();
            assert!(
                row.source != "DIPPR 2017" && off > tolerance(&row.property),
                "{}: {} of {} was taken over",
                row.name,
                stated.value,
                stated.source
            );
        }
    }
}

/// The other way round: what our data say is transcribed there, is there.
#[test]
fn nothing_is_ascribed_that_is_not_there() {
    let (materials, rows) = (materials(), rows());
    let mut checked = 0;
    for material in materials.all() {
        for stated in &material.stated {
            let of_ours = matches!(stated.property, "flash_point" | "lel" | "uel")
                && stated.source.contains("chemicals 1.5.2");
            if !of_ours {
                continue;
            }
            let there = rows.iter().any(|row| {
                row.property == stated.property
                    && same_source(&stated.source, &row.source)
                    && Some(row.cas.as_str()) == cas(material)
                    && value(stated)
                        .is_some_and(|ours| (ours - row.value).abs() <= tolerance(&row.property))
            });
            assert!(
                there,
                "{}, {}: {} is not in {}",
                material.name, stated.property, stated.value, stated.source
            );
            checked += 1;
        }
    }
    assert!(checked > 150, "{checked}");
}

fn cas(material: &Material) -> Option<&str> {
    material.first("cas").map(|stated| stated.value.as_str())
}

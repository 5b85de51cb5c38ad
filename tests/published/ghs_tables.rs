//! The tables of `data/ghs/` hold together: no source of its own. And the least sizes of labels of Regulation (EC)
//! 1272/2008, annex I, 1.2.1.4, table 1.3 (text, as published at reachonline.eu), with the heights of letters of Regulation
//! (EU) 2024/2865 (secondary, a consultant's page).

use crate::shop::{base, materials};
use sandarac::quantity::Volume;
use sandarac::text::{Files, Problems, show_all};
use sandarac::trade::{Counted, Ghs, read_built_in_ghs};

#[track_caller]
pub(crate) fn ghs() -> Ghs {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let ghs = read_built_in_ghs(&mut files, &mut problems);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    ghs
}

/// Every name that a row uses stands in another table.
#[test]
fn no_name_leads_nowhere() {
    let (ghs, materials) = (ghs(), materials());
    assert!(ghs.classes.len() > 30 && ghs.limits.len() > 25 && ghs.sizes.len() == 5);
    for class in &ghs.classes {
        assert!(ghs.statement(&class.code).is_some(), "{}", class.code);
        for code in &class.precautions {
            assert!(
                ghs.statement(code).is_some(),
                "{} asks for {code}",
                class.id
            );
        }
        for other in &class.covers {
            assert!(ghs.class(other).is_some(), "{} covers {other}", class.id);
        }
        let acute = class.id.starts_with("acute-");
        assert_eq!(
            class.estimate.is_some() && class.up_to.is_some(),
            acute,
            "{}",
            class.id
        );
    }
    for limit in &ghs.limits {
        assert!(
            ghs.class(&limit.class).is_some() && ghs.class(&limit.of).is_some(),
            "{limit:?}"
        );
        // The rows of one sum share one border.
        let other = ghs
            .limits
            .iter()
            .find(|l| l.class == limit.class && l.by == Counted::Sum && limit.by == Counted::Sum);
        assert!(
            other.is_none_or(|other| other.at_least == limit.at_least),
            "{limit:?}"
        );
    }
    for statement in ghs.statements() {
        assert_eq!(
            statement.rank > 0,
            statement.code.starts_with('P'),
            "{}",
            statement.code
        );
        assert!(
            !statement.text.contains("..."),
            "a blank is left open: {}",
            statement.code
        );
    }
    let mut seen = 0;
    for (name, classes) in ghs.substances() {
        assert!(
            materials
                .find(name)
                .is_some_and(|m| m.name.eq_ignore_ascii_case(name)),
            "{name}"
        );
        for classed in classes {
            assert!(
                classed.class == "none" || ghs.class(&classed.class).is_some(),
                "{name}: {}",
                classed.class
            );
            assert!(!classed.source.is_empty(), "{name}");
            seen += 1;
        }
    }
    assert!(seen > 150, "{seen}");
}

/// Every generic solvent has its classes on record, so that a label of it is never silent.
#[test]
fn every_generic_solvent_is_on_record() {
    use sandarac::record::{ProductKind, parse_parts};
    let (ghs, materials) = (ghs(), materials());
    let mut solvents = 0;
    for material in materials.all() {
        if material.kind() != Some(ProductKind::Solvent) {
            continue;
        }
        solvents += 1;
        let parts = material
            .first("made_of")
            .and_then(|s| parse_parts(&s.value));
        let names = match &parts {
            Some(parts) => parts.iter().map(|p| p.name.clone()).collect(),
            None => vec![material.name.clone()],
        };
        for name in names {
            let known = materials
                .find(&name)
                .map_or(name.as_str(), |m| m.name.as_str());
            assert!(ghs.substance(known).is_some(), "{}: {name}", material.name);
        }
    }
    assert!(solvents > 25, "{solvents}");
}

/// Packs at the border belong to the smaller row.
#[test]
fn least_sizes_under_at_and_over() {
    let ghs = ghs();
    for (pack, label, pictogram, better, letter) in [
        ("100 mL", ("52 mm", "74 mm"), "10 mm", "16 mm", "1.2 mm"),
        ("500 mL", ("52 mm", "74 mm"), "10 mm", "16 mm", "1.2 mm"),
        ("501 mL", ("52 mm", "74 mm"), "10 mm", "16 mm", "1.4 mm"),
        ("3 L", ("52 mm", "74 mm"), "10 mm", "16 mm", "1.4 mm"),
        ("3.001 L", ("74 mm", "105 mm"), "23 mm", "23 mm", "1.8 mm"),
        ("1 gal", ("74 mm", "105 mm"), "23 mm", "23 mm", "1.8 mm"),
        ("50 L", ("74 mm", "105 mm"), "23 mm", "23 mm", "1.8 mm"),
        ("50.1 L", ("105 mm", "148 mm"), "32 mm", "32 mm", "2 mm"),
        ("500 L", ("105 mm", "148 mm"), "32 mm", "32 mm", "2 mm"),
        ("501 L", ("148 mm", "210 mm"), "46 mm", "46 mm", "2 mm"),
    ] {
        let least = ghs.least_size(Volume::from_base(base(pack))).unwrap();
        let found = [
            least.short,
            least.long,
            least.pictogram,
            least.better,
            least.letter,
        ];
        let printed = [label.0, label.1, pictogram, better, letter].map(base);
        assert_eq!(found.map(|length| length.base()), printed, "{pack}");
    }
}

/// Table 1.3 and 1.2.1.4: each pictogram is at least a fifteenth of the least label, and at least 1 cm² (text).
#[test]
fn pictograms_cover_a_fifteenth() {
    for size in &ghs().sizes {
        let area =
            |a: sandarac::quantity::Length, b: sandarac::quantity::Length| a.by(b).unwrap().base();
        let label = area(size.short, size.long);
        let (least, better) = (
            area(size.pictogram, size.pictogram),
            area(size.better, size.better),
        );
        assert!(least >= base("0.0001 m2"));
        // Printed as 16, 23, 32 and 46 mm: rounded to the millimetre, so a hair under the fifteenth is theirs.
        let fifteen = better.times(sandarac::quantity::Exact::whole(15)).unwrap();
        let share = fifteen.estimate() / label.estimate();
        assert!((0.985..1.1).contains(&share), "{share}");
    }
}

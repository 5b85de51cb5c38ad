//! International Fire Code 2018, table 5003.1.1(1) with its notes d, e and h, and table 5003.8.3.2: how much liquid one
//! control area may hold. Seen: text, an unofficial copy with one state's changes. The column for use in closed systems,
//! the row IIIB in open use (3300 gal) and note f (no limit for IIIB under sprinklers) have no rule of ours.

use crate::shop::{around, at_border, audited, base, cited, finding, limit, pack, selects};
use sandarac::pack::Rule;
use sandarac::quantity::Exact;

/// Classes of a row, gallons in storage, gallons in open use where we have a rule for it.
const TABLE: [(&[&str], &str, Option<&str>); 6] = [
    (&["ia"], "30 gal", Some("10 gal")),
    (&["ib", "ic"], "120 gal", Some("30 gal")),
    (&["ia", "ib", "ic"], "120 gal", Some("30 gal")),
    (&["ii"], "120 gal", Some("30 gal")),
    (&["iiia"], "330 gal", Some("80 gal")),
    (&["iiib"], "13200 gal", None),
];
/// Level and the share of the base figure, in thousandths. The first storey has all of it.
const SHARES: [(&str, u64); 14] = [
    ("basement", 750),
    ("ground", 1000),
    ("2", 750),
    ("3", 500),
    ("4", 125),
    ("5", 125),
    ("6", 125),
    ("7", 50),
    ("8", 50),
    ("9", 50),
    ("10", 50),
    ("11", 50),
    ("20", 50),
    ("40", 50),
];
const STORED: &str = "Table 5003.1.1(1), storage";
const OPEN: &str = "Table 5003.1.1(1), use in open systems";

fn row<'r>(rules: &[&'r Rule], classes: &[&str]) -> &'r Rule {
    let of: Vec<&&Rule> = rules
        .iter()
        .filter(|rule| selects(rule, "class") == classes)
        .collect();
    let [rule] = of.as_slice() else {
        panic!("{} rules for {classes:?}", of.len());
    };
    rule
}

#[test]
fn every_row_in_the_rules() {
    let pack = pack("us-fire-code");
    let (stored, open) = (cited(&pack, STORED), cited(&pack, OPEN));
    assert_eq!((stored.len(), open.len()), (6, 5));
    for (classes, in_storage, in_use) in TABLE {
        let rule = row(&stored, classes);
        assert_eq!(
            limit(rule, ""),
            (in_storage.to_string(), base(in_storage)),
            "{}",
            rule.id
        );
        if let Some(in_use) = in_use {
            let rule = row(&open, classes);
            assert_eq!(
                limit(rule, ""),
                (in_use.to_string(), base(in_use)),
                "{}",
                rule.id
            );
        }
    }
}

/// Twice for sprinklers (note d), except IIIB; twice for cabinets and safety cans (note e), in storage only.
#[test]
fn the_increases() {
    let pack = pack("us-fire-code");
    for (clause, in_storage) in [(STORED, true), (OPEN, false)] {
        for rule in cited(&pack, clause) {
            let increases: Vec<(bool, bool, String)> = rule
                .adjust
                .iter()
                .filter(|step| step.levels.is_empty())
                .map(|step| (step.sprinklered, step.stored.is_some(), step.times.digits()))
                .collect();
            let mut expected = Vec::new();
            if selects(rule, "class") != ["iiib"] {
                expected.push((true, false, "2".to_string()));
            }
            if in_storage {
                expected.push((false, true, "2".to_string()));
            }
            assert_eq!(increases, expected, "{}", rule.id);
        }
    }
}

/// What a rule allows on a level, by the storey shares alone.
fn share(rule: &Rule, level: &str) -> Exact {
    let steps = rule
        .adjust
        .iter()
        .filter(|step| step.levels.iter().any(|told| told.value == level));
    steps.fold(Exact::ONE, |share, step| share.times(step.times).unwrap())
}

#[test]
fn the_storey_shares() {
    let pack = pack("us-fire-code");
    for rule in [cited(&pack, STORED), cited(&pack, OPEN)].concat() {
        for (level, thousandths) in SHARES {
            assert_eq!(
                share(rule, level),
                Exact::constant(thousandths, 3),
                "{}, {level}",
                rule.id
            );
        }
        for storey in 2..=40_u32 {
            assert!(
                share(rule, &storey.to_string()) < Exact::ONE,
                "{}, storey {storey}",
                rule.id
            );
        }
    }
}

/// One jar of liquid on a storey: the limit that the audit compares with.
fn stored(liquid: &str, amount: &str, level: &str, sprinklered: &str, place: &str) -> [String; 4] {
    [
        format!("room,use,level,sprinklered\nroom,finishing,{level},{sprinklered}\n"),
        format!("place,room,kind,rated\nA,room,{place},yes\n"),
        "product,kind,flash_point,boiling_point,drying_oil\n\
         ia,solvent,0 F,95 F,no\nib,solvent,55 F,173 F,no\nii,solvent,110 F,320 F,no\n\
         iiia,solvent,150 F,400 F,no\n"
            .to_string(),
        format!(
            "container,product,vessel,capacity,place,since,amount\n\
             C,{liquid},portable-tank,660 gal,A,2020-01-02,{amount}\n"
        ),
    ]
}

/// Both increases multiply (computed; the authority may read them as added: 360 and 90 gal), and so do the shares.
#[test]
fn through_an_audit_under_at_and_over() {
    for (rule, liquid, level, sprinklered, place, allowed) in [
        ("stored-class-ia", "ia", "ground", "no", "shelf", "30 gal"),
        ("stored-class-ia", "ia", "ground", "yes", "shelf", "60 gal"),
        ("stored-class-ia", "ia", "ground", "no", "cabinet", "60 gal"),
        (
            "stored-class-ia",
            "ia",
            "ground",
            "yes",
            "cabinet",
            "120 gal",
        ),
        (
            "stored-class-ib-ic",
            "ib",
            "ground",
            "no",
            "shelf",
            "120 gal",
        ),
        (
            "stored-class-ib-ic",
            "ib",
            "ground",
            "yes",
            "cabinet",
            "480 gal",
        ),
        (
            "stored-class-ib-ic",
            "ib",
            "basement",
            "no",
            "shelf",
            "90 gal",
        ),
        ("stored-class-ib-ic", "ib", "2", "no", "shelf", "90 gal"),
        ("stored-class-ib-ic", "ib", "3", "yes", "shelf", "120 gal"),
        ("stored-class-ib-ic", "ib", "4", "no", "shelf", "15 gal"),
        ("stored-class-ib-ic", "ib", "7", "no", "shelf", "6 gal"),
        (
            "stored-class-i-together",
            "ib",
            "ground",
            "yes",
            "cabinet",
            "480 gal",
        ),
        ("stored-class-ii", "ii", "ground", "no", "shelf", "120 gal"),
        (
            "stored-class-iiia",
            "iiia",
            "ground",
            "no",
            "shelf",
            "330 gal",
        ),
        ("open-class-ia", "ia", "ground", "no", "bench", "10 gal"),
        ("open-class-ib-ic", "ib", "ground", "yes", "bench", "60 gal"),
        ("open-class-iiia", "iiia", "ground", "no", "bench", "80 gal"),
    ] {
        for amount in around(allowed) {
            let [rooms, places, products, inventory] =
                stored(liquid, &amount, level, sprinklered, place);
            let tables = [
                ("rooms", rooms.as_str()),
                ("places", &places),
                ("products", &products),
                ("inventory", &inventory),
            ];
            let findings = audited("us-fire-code", &tables);
            let about = match level {
                "basement" => "basement".to_string(),
                "ground" => "ground floor".to_string(),
                number => format!("storey {number}"),
            };
            let found = finding(&findings, rule, &about);
            at_border(found, base(&amount), base(allowed));
        }
    }
}

/// Sections 105.6.16, 5704.3.2, 5704.3.4.4 and 5704.3.5.1 of the same code.
#[test]
fn permits_cabinets_and_basements() {
    let pack = pack("us-fire-code");
    for (clause, classes, gallons) in [
        ("105.6.16", ["ia", "ib", "ic"].as_slice(), "5 gal"),
        ("105.6.16", &["ii", "iiia"], "25 gal"),
        (
            "5704.3.4.4",
            &["ia", "ib", "ic", "ii", "iiia", "iiib"],
            "10 gal",
        ),
        ("5704.3.5.1", &["ia"], "10 gal"),
    ] {
        let rules: Vec<&Rule> = cited(&pack, clause)
            .into_iter()
            .filter(|rule| rule.check.value == "total-at-most")
            .collect();
        assert_eq!(limit(row(&rules, classes), "").0, gallons, "{clause}");
    }
    let cabinet: Vec<&Rule> = cited(&pack, "5704.3.2")
        .into_iter()
        .filter(|rule| rule.check.value == "total-at-most")
        .collect();
    assert_eq!(limit(cabinet[0], "").0, "120 gal");
}

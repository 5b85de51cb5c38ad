//! 29 CFR 1910.106(d)(2)(iii), table H-12: the largest size of one container. Seen: text, copies of the table in its
//! current categories and in the old classes.

use crate::shop::{
    LIQUIDS, around, at_border, audited, base, cited, finding, limit, pack, selects,
};

const CLAUSE: &str = "1910.106(d)(2)(iii), Table H-12";
/// A row of the table: the words of ours that it covers, and its four cells for category 1 to 4.
const TABLE: [(&[&str], [&str; 4]); 5] = [
    (
        &["glass", "plastic", "approved-plastic"],
        ["1 pt", "1 qt", "1 gal", "1 gal"],
    ),
    (&["metal"], ["1 gal", "5 gal", "5 gal", "5 gal"]),
    (&["safety-can"], ["2 gal", "5 gal", "5 gal", "5 gal"]),
    (&["drum"], ["60 gal", "60 gal", "60 gal", "60 gal"]),
    (
        &["portable-tank"],
        ["660 gal", "660 gal", "660 gal", "660 gal"],
    ),
];
/// Our classes of each category.
const CLASSES: [&[&str]; 4] = [
    &["cat-1"],
    &["cat-2"],
    &["cat-3-low", "cat-3-high"],
    &["cat-4"],
];

/// Vessel, class, the cell that holds for them.
fn cells() -> Vec<(&'static str, &'static str, &'static str)> {
    let mut cells = Vec::new();
    for (vessels, row) in TABLE {
        for (classes, cell) in CLASSES.iter().zip(row) {
            for vessel in vessels {
                cells.extend(classes.iter().map(|class| (*vessel, *class, cell)));
            }
        }
    }
    cells
}

#[test]
fn all_twenty_cells_in_the_rules() {
    assert_eq!(TABLE.iter().map(|(_, row)| row.len()).sum::<usize>(), 20);
    let pack = pack("us-workplace");
    let rules = cited(&pack, CLAUSE);
    assert_eq!(rules.len(), TABLE.len(), "one rule for each row");
    for (vessel, class, cell) in cells() {
        let of: Vec<_> = rules
            .iter()
            .filter(|rule| selects(rule, "vessel").iter().any(|word| word == vessel))
            .collect();
        let [rule] = of.as_slice() else {
            panic!("{} rules for {vessel}", of.len());
        };
        assert!(
            selects(rule, "class").iter().any(|word| word == class),
            "{} leaves out {class}",
            rule.id
        );
        assert_eq!(
            limit(rule, class),
            (cell.to_string(), base(cell)),
            "{vessel}, {class}"
        );
    }
}

/// A vessel just under, at and just over each cell, by its size and not by what is in it.
#[test]
fn each_cell_under_at_and_over() {
    let mut inventory = "container,product,vessel,capacity,since,amount\n".to_string();
    for (vessel, class, cell) in cells() {
        for (step, size) in around(cell).iter().enumerate() {
            inventory.push_str(&format!(
                "{vessel} {class} {step},{class} liquid,{vessel},{size},2020-01-02,1 fl oz\n"
            ));
        }
    }
    let rooms = "room,use\nroom,finishing\n";
    let tables = [
        ("rooms", rooms),
        ("products", LIQUIDS),
        ("inventory", &inventory),
    ];
    let findings = audited("us-workplace", &tables);
    let pack = pack("us-workplace");
    let rules = cited(&pack, CLAUSE);
    for (vessel, class, cell) in cells() {
        let rule = rules
            .iter()
            .find(|rule| selects(rule, "vessel").iter().any(|word| word == vessel))
            .unwrap();
        for (step, size) in around(cell).iter().enumerate() {
            let found = finding(&findings, &rule.id, &format!("{vessel} {class} {step}"));
            at_border(found, base(size), base(cell));
        }
    }
}

/// The metric column that goes with the table (computed, not printed): litres to three or four figures.
#[test]
fn in_litres() {
    for (cell, litres) in [
        ("1 pt", "0.473176473"),
        ("1 qt", "0.946352946"),
        ("1 gal", "3.785411784"),
        ("2 gal", "7.570823568"),
        ("5 gal", "18.92705892"),
        ("60 gal", "227.12470704"),
        ("660 gal", "2498.37177744"),
    ] {
        assert_eq!(base(cell).digits(), litres, "{cell}");
    }
}

//! 29 CFR 1910.106(d)(3)(i), one storage cabinet: 60 gal of category 1 to 3, 120 gal of category 4. Seen: text, a copy of
//! the paragraph. The litres, 227.1 and 454.2: OSHA letter of 31 August 1995 (text).

use crate::shop::{LIQUIDS, at_border, audited, base, cited, finding, limit, pack, selects};
use sandarac::quantity::{in_unit, unit};

const CLAUSE: &str = "1910.106(d)(3)(i)";

#[test]
fn two_limits_and_their_litres() {
    let pack = pack("us-workplace");
    let litre = unit::find("L").unwrap();
    let mut met = Vec::new();
    for rule in cited(&pack, CLAUSE)
        .iter()
        .filter(|rule| rule.check.value == "total-at-most")
    {
        let (gallons, volume) = limit(rule, "");
        assert_eq!(selects(rule, "place"), ["cabinet"]);
        met.push((selects(rule, "class"), gallons, in_unit(volume, litre)));
    }
    met.sort();
    let classes = ["cat-1", "cat-2", "cat-3-low", "cat-3-high"].map(String::from);
    let expected = [
        (classes.to_vec(), "60 gal".into(), "227.1 L".into()),
        (vec!["cat-4".into()], "120 gal".into(), "454.2 L".into()),
    ];
    assert_eq!(met, expected);
}

/// All of category 1 to 3 is added up; category 4 has its own line, and the federal text sets no total over both.
#[test]
fn each_line_under_at_and_over() {
    let places = "place,room,kind,rated\ncabinet A,room,cabinet,yes\n";
    let rooms = "room,use\nroom,finishing\n";
    for (rest, other) in [("14.999", "29.999"), ("15", "30"), ("15.001", "30.001")] {
        let mut inventory = "container,product,vessel,capacity,place,since,amount\n".to_string();
        let mut row = |id: &str, liquid: &str, amount: &str| {
            inventory.push_str(&format!(
                "{id},{liquid} liquid,drum,60 gal,cabinet A,2020-01-02,{amount} gal\n"
            ));
        };
        row("A", "cat-1", "15");
        row("B", "cat-2", "15");
        row("C", "cat-3-low", "15");
        row("D", "cat-3-high", rest);
        row("E", "cat-4", "60");
        row("F", "cat-4", "30");
        row("G", "cat-4", other);
        let tables = [
            ("rooms", rooms),
            ("places", places),
            ("products", LIQUIDS),
            ("inventory", &inventory),
        ];
        let findings = audited("us-workplace", &tables);
        let sum = |whole: &str, part: &str| {
            let part = base(&format!("{part} gal"));
            base(whole).plus(part).unwrap()
        };
        let quick = finding(&findings, "cabinet-contents", "cabinet A");
        at_border(quick, sum("45 gal", rest), base("60 gal"));
        let slow = finding(&findings, "cabinet-contents-category-4", "cabinet A");
        at_border(slow, sum("90 gal", other), base("120 gal"));
    }
}

//! 29 CFR 1910.106(e)(2)(ii)(b): what may stand outside cabinets and store-rooms where flammable liquids are incidental
//! to the business, furniture making among the examples. 25, 120 and 660 gal, and their litres 94.6, 454 and 2498.
//! Seen: text, OSHA letters of 2 December 2003 and 31 March 1983; that the lines stand side by side: the latter.

use crate::shop::{
    LIQUIDS, around, at_border, audited, base, cited, finding, limit, pack, selects,
};
use sandarac::finding::Verdict;
use sandarac::quantity::Exact;

/// Item of the paragraph, gallons, litres as printed (its last digit in thousandths of a litre), rule, vessel, liquid.
const LINES: [(&str, &str, u64, u64, &str, &str); 3] = [
    ("(1)", "25 gal", 94_600, 100, "drum", "cat-1"),
    ("(2)", "120 gal", 454_000, 1000, "drum", "cat-2"),
    (
        "(3)",
        "660 gal",
        2_498_000,
        1000,
        "portable-tank",
        "cat-3-low",
    ),
];

fn clause(item: &str) -> String {
    format!("1910.106(e)(2)(ii)(b){item}")
}

#[test]
fn three_lines_and_their_litres() {
    let pack = pack("us-workplace");
    for (item, gallons, litres, digit, vessel, class) in LINES {
        let rules = cited(&pack, &clause(item));
        let [rule] = rules.as_slice() else {
            panic!("{} rules for {item}", rules.len());
        };
        let (written, volume) = limit(rule, "");
        assert_eq!(written, gallons);
        let off = volume.minus(Exact::constant(litres, 3)).unwrap().size();
        assert!(off < Exact::constant(digit, 3), "{gallons} as {litres} mL");
        assert!(selects(rule, "vessel").iter().any(|word| word == vessel));
        assert!(selects(rule, "class").iter().any(|word| word == class));
        assert_eq!(
            selects(rule, "not_place"),
            ["cabinet", "store-room", "outdoors"]
        );
    }
}

/// The drums hold no more than 60 gal each; a tank may hold the 660 alone.
#[test]
fn each_line_under_at_and_over() {
    let pack = pack("us-workplace");
    for (item, gallons, _, _, vessel, class) in LINES {
        let rules = cited(&pack, &clause(item));
        for amount in around(gallons) {
            let mut inventory =
                "container,product,vessel,capacity,place,since,amount\n".to_string();
            let capacity = if vessel == "drum" {
                "700 gal"
            } else {
                "661 gal"
            };
            inventory.push_str(&format!(
                "A,{class} liquid,{vessel},{capacity},shelf,2020-01-02,{amount}\n\
                 B,{class} liquid,drum,60 gal,cabinet A,2020-01-02,20 gal\n"
            ));
            let tables = [
                ("rooms", "room,use\nroom,finishing\n"),
                (
                    "places",
                    "place,room,kind,rated\nshelf,room,shelf,\ncabinet A,room,cabinet,yes\n",
                ),
                ("products", LIQUIDS),
                ("inventory", &inventory),
            ];
            let subject = if vessel == "drum" { "test" } else { "A" };
            let findings = audited("us-workplace", &tables);
            let found = finding(&findings, &rules[0].id, subject);
            at_border(found, base(&amount), base(gallons));
        }
    }
}

/// 26 gal of the quickest liquid alone is over, however little else there is (letter of 31 March 1983).
#[test]
fn one_line_over_is_over() {
    let inventory = "container,product,vessel,capacity,since,amount\n\
        A,cat-1 liquid,drum,60 gal,2020-01-02,26 gal\n\
        B,cat-2 liquid,drum,60 gal,2020-01-02,1 gal\n";
    let tables = [
        ("rooms", "room,use\nroom,finishing\n"),
        ("products", LIQUIDS),
        ("inventory", inventory),
    ];
    let findings = audited("us-workplace", &tables);
    let quick = finding(&findings, "outside-cabinet-category-1", "test");
    assert_eq!(quick.verdict, Verdict::Breach);
    let rest = finding(&findings, "outside-cabinet-category-2-to-4", "test");
    assert_eq!(rest.verdict, Verdict::Meets);
}

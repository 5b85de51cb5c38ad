//! Air over rooms, people and mixtures: what is known never hides behind what is not, and only confirmed limits break a rule.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

use sandarac::audit::{Audit, Shop};
use sandarac::finding::{Finding, SubjectKind, Verdict};
use sandarac::pack::{CAUTIONS, Seen};
use sandarac::quantity::{Day, Moment};
use sandarac::record::ProductKind;
use sandarac::report::{View, read_cautions};
use sandarac::text::{Files, Problems};
use sandarac::vapour::month::sessions;
use sandarac::vapour::session::Sessions;

const SHOP: &str = "name = \"t\"\nunits = \"metric\"\npacks = [\"us-workplace\"]\nemployees = 3\nbusiness = true\n";
/// Two small rooms with a weak fan, and one with none measured.
const ROOMS: &str = "room,use,length,width,height,level,exhaust,mixing\n\
    one,finishing,3 m,3 m,2.5 m,ground,10 m3/h,5\n\
    two,finishing,3 m,3 m,2.5 m,ground,10 m3/h,5\n\
    blown,finishing,3 m,3 m,2.5 m,ground,40000 m3/h,1\n\
    airy,finishing,3 m,3 m,2.5 m,ground,1000 m3/h,1\n";
const PLACES: &str = "place,room,kind,rated,capacity\nbench 1,one,bench,,\nbench 2,two,bench,,\n\
    cabinet,one,cabinet,yes,30 gal\nbench 3,blown,bench,,\nbench 4,airy,bench,,\n";
const INVENTORY: &str = "container,product,vessel,capacity,place,since,amount\n\
    A-1,acetone,metal,20 L,bench 1,2026-10-01,20 L\n\
    A-2,acetone,metal,20 L,bench 2,2026-10-01,20 L\n\
    A-3,acetone,metal,20 L,bench 3,2026-10-01,20 L\n\
    A-4,acetone,metal,20 L,bench 4,2026-10-01,20 L\n\
    T-1,tetrahydrofuran,metal,20 L,bench 1,2026-10-01,20 L\n\
    X-1,xylenes,metal,20 L,bench 1,2026-10-01,20 L\n\
    S-1,mineral spirits,metal,2 L,bench 1,2026-10-01,1 L\n\
    M-1,methanol,metal,20 L,bench 1,2026-10-01,20 L\n\
    Q-1,made-up liquid,metal,20 L,bench 1,2026-10-01,20 L\n";
const LOG: &str = "entry,when,what,container,amount,into,place,minutes,by\n";

fn shop_of(inventory: &str, log: &str) -> Shop {
    let log = format!("{LOG}{log}");
    let texts = [
        ("shop.toml", SHOP),
        ("rooms.csv", ROOMS),
        ("places.csv", PLACES),
        ("inventory.csv", inventory),
        ("log.csv", &log),
    ];
    Shop::from_texts(&texts).unwrap_or_else(|not| panic!("{not:?}"))
}

fn shop(log: &str) -> Shop {
    shop_of(INVENTORY, log)
}

fn day() -> Day {
    Day::parse("2026-10-31").unwrap()
}

fn audit(shop: &Shop) -> Audit<'_> {
    shop.audit(day()).unwrap_or_else(|not| panic!("{not:?}"))
}

fn month(log: &str) -> Sessions {
    let shop = shop(log);
    let stock = shop.stock(day()).unwrap_or_else(|not| panic!("{not:?}"));
    sessions(&shop.tables, &stock)
}

fn of_rule<'a>(audit: &'a Audit<'_>, rule: &str) -> Vec<&'a Finding> {
    let mine = audit.findings().iter().filter(|f| *f.rule.id == *rule);
    mine.collect()
}

fn about<'a>(found: &[&'a Finding], kind: SubjectKind, id: &str) -> Vec<&'a Finding> {
    let mine = found
        .iter()
        .filter(|f| f.subject.kind == kind && f.subject.id == id);
    mine.copied().collect()
}

fn verdicts(found: &[&Finding]) -> Vec<Verdict> {
    found.iter().map(|f| f.verdict).collect()
}

const LEL: &str = "vapour-below-a-quarter";
const LEGAL: &str = "exposure-legal";
const GUIDE: &str = "exposure-guide";

/// One typed number too long silences that use alone, and says so.
#[test]
fn minutes_of_more_than_a_day_hide_no_other_use() {
    let log =
        "1,2026-10-05T09:00,use,A-1,2 L,,,10,Ann\n2,2026-10-20T09:00,use,A-1,5 mL,,,10081,Ann\n";
    let shop = shop(log);
    let audit = audit(&shop);
    let found = of_rule(&audit, LEL);
    let found = about(&found, SubjectKind::Room, "one");
    assert_eq!(verdicts(&found), [Verdict::Breach, Verdict::CannotJudge]);
    assert!(
        found[1].observed.contains("10081 minutes"),
        "{}",
        found[1].observed
    );
}

#[test]
fn a_mixing_factor_that_is_an_efficiency_is_refused() {
    for mixing in ["0.2", "0", "10.1", "50"] {
        let rooms =
            format!("room,use,length,width,height,mixing\nr,finishing,3 m,3 m,3 m,{mixing}\n");
        let texts = [
            ("shop.toml", SHOP),
            ("rooms.csv", rooms.as_str()),
            ("inventory.csv", "container,product\n"),
        ];
        let Err(not) = Shop::from_texts(&texts) else {
            panic!("{mixing} was taken")
        };
        let words = format!("{not:?}");
        assert!(words.contains("mixing"), "{words}");
    }
}

/// 29 CFR 1910.1000(d)(1): a person's eight hours add up over all rooms.
#[test]
fn a_person_in_two_rooms_breathes_both() {
    let log = |one: &str, two: &str| {
        format!(
            "1,2026-10-05T09:00,use,A-1,105 mL,,,10,{one}\n2,2026-10-05T11:00,use,A-2,105 mL,,,10,{two}\n"
        )
    };
    let rooms = |log: &str| {
        let shop = shop(log);
        let audit = audit(&shop);
        let found = of_rule(&audit, LEGAL);
        let rooms = found.iter().filter(|f| f.subject.kind == SubjectKind::Room);
        let rooms: Vec<_> = rooms
            .map(|f| (f.subject.id.clone(), f.observed.clone()))
            .collect();
        let people = found
            .iter()
            .filter(|f| f.subject.kind == SubjectKind::Person);
        let people: Vec<_> = people.map(|f| (f.subject.id.clone(), f.verdict)).collect();
        assert!(
            found
                .iter()
                .all(|f| f.subject.kind == SubjectKind::Person || f.verdict != Verdict::Breach)
        );
        (rooms, people)
    };
    let (same, ann) = rooms(&log("Ann", "Ann"));
    assert_eq!(ann, [("Ann".to_string(), Verdict::Breach)]);
    let (unnamed, no_one) = rooms(&log("", ""));
    assert_eq!(
        no_one,
        [("person not recorded".to_string(), Verdict::Breach)]
    );
    let (two, none) = rooms(&log("Ann", "Bob"));
    assert!(none.is_empty(), "{none:?}");
    // Who did it changes nothing of a room.
    assert_eq!(same, unnamed);
    assert_eq!(same, two);
    // On two days nothing adds up.
    let far = log("Ann", "Ann").replace("2,2026-10-05", "2,2026-10-07");
    assert!(rooms(&far).1.is_empty());
}

/// A name in other letters is the same person.
#[test]
fn a_person_is_one_however_the_name_is_typed() {
    let people = |one: &str, two: &str| {
        let shop = shop(&format!(
            "1,2026-10-05T09:00,use,A-1,105 mL,,,10,{one}\n2,2026-10-05T11:00,use,A-2,105 mL,,,10,{two}\n"
        ));
        let audit = audit(&shop);
        let found = of_rule(&audit, LEGAL);
        let people = found
            .iter()
            .filter(|f| f.subject.kind == SubjectKind::Person);
        people
            .map(|f| (f.subject.id.clone(), f.verdict))
            .collect::<Vec<_>>()
    };
    let ann = [("Ann".to_string(), Verdict::Breach)];
    for other in ["ann", "ANN", " Ann "] {
        assert_eq!(people("Ann", other), ann, "{other}");
    }
    assert_eq!(people("Ann", "Anna"), []);
}

/// Two kilograms of acetone are as much vapor as their two and a half liters. What cannot be measured is unknown, and dry goods give
/// off nothing.
#[test]
fn what_is_used_by_weight_or_by_the_piece_is_in_the_air_too() {
    let inventory = format!(
        "{INVENTORY}K-1,acetone,metal,20 kg,bench 1,2026-10-01,10 kg\nK-2,made-up liquid,metal,20 kg,bench 1,2026-10-01,10 kg\n\
         C-1,brushing lacquer,aerosol,6 pcs,bench 1,2026-10-01,6 pcs\nF-1,dewaxed shellac flakes,bag,1 kg,bench 1,2026-10-01,1 kg\n\
         P-1,pumice,box,1 kg,bench 1,2026-10-01,1 kg\nS-2,abrasive paper,box,,bench 1,2026-10-01,50 pcs\n"
    );
    let found = |used: &str| {
        let shop = shop_of(
            &inventory,
            &format!("1,2026-10-05T09:00,use,{used},,,10,Ann\n"),
        );
        let audit = audit(&shop);
        let found = of_rule(&audit, LEL);
        let found = about(&found, SubjectKind::Room, "one");
        found
            .iter()
            .map(|f| (f.verdict, f.observed.clone()))
            .collect::<Vec<_>>()
    };
    let verdict = |used: &str| found(used).iter().map(|it| it.0).collect::<Vec<_>>();
    assert_eq!(verdict("K-1,2 kg"), [Verdict::Breach]);
    assert_eq!(verdict("K-1,1 g"), [Verdict::Meets]);
    // As much as by volume: acetone has 0.79 kg/L.
    let (by_weight, by_volume) = (found("K-1,158 g"), found("A-1,200 mL"));
    let percent = |shown: &[(Verdict, String)]| -> f64 {
        let number = shown[0]
            .1
            .split_whitespace()
            .find_map(|word| word.parse().ok());
        number.unwrap_or_else(|| panic!("{shown:?}"))
    };
    let ratio = percent(&by_weight) / percent(&by_volume);
    assert!((0.97..1.03).contains(&ratio), "{by_weight:?} {by_volume:?}");
    for (used, why) in [("K-2,1 kg", "made-up liquid"), ("C-1,1 pcs", "piece")] {
        let list = found(used);
        assert_eq!(list[0].0, Verdict::CannotJudge, "{used}");
        assert!(list[0].1.contains(why), "{used}: {list:?}");
    }
    for used in ["F-1,100 g", "P-1,100 g", "S-2,5 pcs"] {
        assert_eq!(found(used), [], "{used}");
    }
}

/// A person who works outdoors and says so is in the air of no room. Where the can is stored says nothing of where it was used.
#[test]
fn work_outdoors_is_in_the_air_of_no_room() {
    let places = format!("{PLACES}yard,one,outdoors,,\n");
    let found = |place: &str, stored: &str| {
        let inventory = INVENTORY.replace(
            "20 L,bench 1,2026-10-01,20 L\nA-2",
            &format!("20 L,{stored},2026-10-01,20 L\nA-2"),
        );
        let log = format!("{LOG}1,2026-10-05T09:00,use,A-1,2 L,,{place},10,Ann\n");
        let shop = shop_with(&[
            ("places.csv", &places),
            ("inventory.csv", &inventory),
            ("log.csv", &log),
        ]);
        let audit = audit(&shop);
        let found = of_rule(&audit, LEL);
        verdicts(&about(&found, SubjectKind::Room, "one"))
    };
    assert_eq!(found("", "bench 1"), [Verdict::Breach]);
    assert_eq!(found("yard", "bench 1"), []);
    assert_eq!(found("", "yard"), [Verdict::Breach]);
    assert_eq!(found("bench 1", "yard"), [Verdict::Breach]);
}

/// A can that was emptied and filled again is of its own class, and a trace of what it held before decides nothing.
#[test]
fn a_refilled_can_is_of_its_own_class() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        G-1,mineral spirits,glass,3 L,bench 1,2026-10-01,2 L\nM-1,methanol,metal,20 L,bench 1,2026-10-01,20 L\n";
    let found = |log: &str| {
        let shop = shop_of(inventory, log);
        let audit = audit(&shop);
        let found = of_rule(&audit, "glass-and-plastic-size");
        verdicts(&about(&found, SubjectKind::Container, "G-1"))
    };
    let mixed = |amount: &str| format!("1,2026-10-04T09:00,mix,M-1,{amount},G-1,,,\n");
    assert_eq!(found(""), [Verdict::Meets]);
    assert_eq!(found(&mixed("100 mL")), [Verdict::Breach]);
    assert_eq!(found(&mixed("0.01 mL")), [Verdict::Meets]);
    let refilled = "2,2026-10-07T09:00,discard,G-1,,,,,\n3,2026-10-07T10:00,receive,G-1,2 L,,,,\n";
    assert_eq!(
        found(&format!("{}{refilled}", mixed("100 mL"))),
        [Verdict::Meets]
    );
}

/// What is unknown can only add to what is already over.
#[test]
fn a_drop_of_something_unknown_excuses_nothing() {
    let log = "1,2026-10-05T09:00,use,A-1,2 L,,,10,Ann\n2,2026-10-05T09:00,use,Q-1,1 mL,,,10,Ann\n";
    let shop = shop(log);
    let audit = audit(&shop);
    let found = of_rule(&audit, LEL);
    assert_eq!(
        verdicts(&about(&found, SubjectKind::Room, "one")),
        [Verdict::Breach]
    );
    // Where the known part is within the limit, the rest decides.
    let log =
        "1,2026-10-05T09:00,use,A-1,2 mL,,,10,Ann\n2,2026-10-05T09:00,use,Q-1,1 mL,,,10,Ann\n";
    let shop = shop_of(INVENTORY, log);
    let audit = shop.audit(day()).unwrap_or_else(|not| panic!("{not:?}"));
    let found = of_rule(&audit, LEL);
    assert_eq!(
        verdicts(&about(&found, SubjectKind::Room, "one")),
        [Verdict::CannotJudge]
    );
}

/// What is known from memory beside a breach takes nothing away from it: neither in the air nor in what is stored.
#[test]
fn what_is_remembered_excuses_nothing_that_is_confirmed() {
    let tables = shop("").tables;
    let is_remembered = |name: &str, property: &'static str| {
        let material = tables.materials.find(name);
        material
            .and_then(|it| it.first(property))
            .is_some_and(|it| it.seen == Seen::Memory)
    };
    let inventory = |more: &str| {
        format!(
            "{INVENTORY}B-1,acetone,metal,200 L,bench 4,2026-10-01,200 L\nB-2,acetone,metal,200 L,bench 4,2026-10-01,200 L\n{more}"
        )
    };
    let settings = SHOP.replace("\"us-workplace\"", "\"us-workplace\", \"us-fire-code\"");
    let breaches = |more: &str, used: &str| {
        let log = format!("{LOG}1,2026-10-05T09:00,use,A-4,15 L,,,20,Ann\n{used}");
        let shop = shop_with(&[
            ("shop.toml", &settings),
            ("inventory.csv", &inventory(more)),
            ("log.csv", &log),
        ]);
        let audit = audit(&shop);
        let found = audit
            .findings()
            .iter()
            .filter(|f| f.verdict == Verdict::Breach);
        let found = found.map(|f| format!("{}/{} {}", f.rule.pack, f.rule.id, f.subject.id));
        found.collect::<std::collections::BTreeSet<String>>()
    };
    let before = breaches("", "");
    for rule in [
        "vapour-below-a-quarter airy",
        "ten-gallons-outside-cabinets",
    ] {
        assert!(
            before.iter().any(|it| it.contains(rule)),
            "{rule}: {before:?}"
        );
    }
    let mut tried = 0;
    for name in [
        "mineral spirits",
        "oil varnish",
        "Stoddard solvent",
        "naphthalene",
    ] {
        tried +=
            usize::from(is_remembered(name, "molar_mass") || is_remembered(name, "flash_point"));
        let more = format!("Y-1,{name},metal,1 L,bench 4,2026-10-01,10 mL\n");
        let after = breaches(&more, "2,2026-10-05T09:05,use,Y-1,1 mL,,,10,Ann\n");
        let lost: Vec<&String> = before.difference(&after).collect();
        assert_eq!(lost, Vec::<&String>::new(), "{name}");
    }
    assert!(tried > 0, "no material here is from memory");
    // By itself it only warns.
    let alone = "S-2,mineral spirits,metal,20 L,bench 4,2026-10-01,20 L\n";
    let alone = format!("container,product,vessel,capacity,place,since,amount\n{alone}");
    let shop = shop_of(&alone, "1,2026-10-05T09:00,use,S-2,19 L,,,20,Ann\n");
    let audit = audit(&shop);
    let found = of_rule(&audit, LEL);
    let found = about(&found, SubjectKind::Room, "airy");
    if is_remembered("mineral spirits", "molar_mass") {
        assert!(found.iter().all(|f| f.verdict != Verdict::Breach));
    }
}

/// The README promises it: a limit from memory may warn, and never fails.
#[test]
fn a_limit_from_memory_only_warns() {
    let found = |log: &str, rule: &str| {
        let shop = shop(log);
        let audit = audit(&shop);
        let found = of_rule(&audit, rule);
        let found = about(&found, SubjectKind::Room, "one");
        found
            .iter()
            .map(|f| (f.verdict, f.unconfirmed))
            .collect::<Vec<_>>()
    };
    // A solvent of which every guide value on record is from memory.
    let tables = shop("").tables;
    let remembered = tables.materials.all().iter().find(|material| {
        let values = ["rel", "tlv"].into_iter();
        let mut limits = values.flat_map(|of| material.all(of)).peekable();
        let known = material.first("molar_mass").is_some();
        let only = limits.peek().is_some() && limits.all(|stated| stated.seen == Seen::Memory);
        known && only && material.kind() == Some(ProductKind::Solvent)
    });
    let name = &remembered.unwrap().name;
    let products =
        format!("product,kind,made_of,density\nremembered,solvent,{name} 100 mass %,0.9 kg/L\n");
    let inventory = "container,product,vessel,capacity,place,since,amount\nT-1,remembered,metal,20 L,bench 1,2026-10-01,20 L\n";
    let log = format!("{LOG}1,2026-10-05T09:00,use,T-1,1 L,,,10,Ann\n");
    let shop_of_it = shop_with(&[
        ("products.csv", &products),
        ("inventory.csv", inventory),
        ("log.csv", &log),
    ]);
    let audit_of_it = audit(&shop_of_it);
    let guide = of_rule(&audit_of_it, GUIDE);
    let guide = about(&guide, SubjectKind::Room, "one");
    let guide: Vec<_> = guide.iter().map(|f| (f.verdict, f.unconfirmed)).collect();
    assert_eq!(guide, [(Verdict::Near, true)], "{name}");
    // Xylenes: 100 ppm is confirmed, 20 ppm is remembered.
    let few = "1,2026-10-05T09:00,use,X-1,10 mL,,,10,Ann\n";
    assert_eq!(found(few, GUIDE), [(Verdict::Near, true)]);
    let many = "1,2026-10-05T09:00,use,X-1,80 mL,,,10,Ann\n";
    assert_eq!(found(many, GUIDE), [(Verdict::Breach, false)]);
}

/// Two sessions within eight hours: the substance by itself agrees with the sum, late in the month as well.
#[test]
fn a_substance_is_averaged_over_the_same_hours_as_the_sum() {
    let two = "2,2026-10-20T08:00,use,A-4,2 L,,,10,Ann\n3,2026-10-20T12:00,use,A-4,2 L,,,10,Ann\n";
    let earlier = "1,2026-10-05T08:00,use,A-4,2 L,,,10,Ann\n";
    for log in [two.to_string(), format!("{earlier}{two}")] {
        let all = month(&log);
        let second = all.list.last().unwrap();
        let parts = all.components(second);
        let [part] = parts.as_slice() else {
            panic!("{parts:?}")
        };
        let ratio = part.shift_ppm / part.limits_ppm.legal.unwrap();
        let sum = second.all.legal.unwrap();
        assert!((ratio / sum - 1.0).abs() < 1e-6, "{ratio} and {sum}");
    }
}

#[test]
fn a_fan_that_cannot_be_is_named_as_the_reason() {
    let shop = shop("1,2026-10-05T09:00,use,A-3,1 L,,,10,Ann\n");
    let audit = audit(&shop);
    let found = of_rule(&audit, LEL);
    let found = about(&found, SubjectKind::Room, "blown");
    assert_eq!(verdicts(&found), [Verdict::CannotJudge]);
    assert!(
        found[0].observed.contains("1,000 air changes per hour"),
        "{}",
        found[0].observed
    );
}

/// What a can holds today says nothing of what was used out of it before it was emptied and filled again.
#[test]
fn a_refill_changes_no_air_of_the_past() {
    let used = "1,2026-10-04T09:00,mix,M-1,1 L,S-1,,,\n2,2026-10-05T09:00,use,S-1,1 L,,,10,Ann\n";
    let refilled = "3,2026-10-07T09:00,discard,S-1,,,,,\n4,2026-10-07T10:00,receive,S-1,1 L,,,,\n";
    let before = month(used);
    let after = month(&format!("{used}{refilled}"));
    assert_eq!(before.list[0].all.legal, after.list[0].all.legal);
    let pure = month("1,2026-10-05T09:00,use,S-1,1 L,,,10,Ann\n");
    assert!(before.list[0].all.legal > pure.list[0].all.legal);
}

/// A mixture keeps its shares: a litre of methanol in a litre of mineral spirits is half of each.
#[test]
fn a_mixture_is_counted_by_its_shares() {
    let mixed =
        month("1,2026-10-04T09:00,mix,M-1,1 L,S-1,,,\n2,2026-10-05T09:00,use,S-1,1 L,,,10,Ann\n");
    let milligrams = |all: &Sessions, product: &str, vapour: &str| {
        let (_, off) = all
            .products
            .iter()
            .find(|(name, _)| name == product)
            .unwrap();
        let found = off.vapours.iter().find(|v| v.name == vapour);
        found.map_or(0.0, |v| v.milligrams)
    };
    let methanol = month("1,2026-10-05T09:00,use,M-1,1 L,,,10,Ann\n");
    let whole = milligrams(&methanol, "methanol", "methanol");
    let half = milligrams(&mixed, "mineral spirits", "methanol");
    assert!((half / whole - 0.5).abs() < 1e-9, "{half} of {whole}");
    let shop =
        shop("1,2026-10-04T09:00,mix,M-1,1 L,S-1,,,\n2,2026-10-05T09:00,mix,A-1,1 L,S-1,,,\n");
    let stock = shop.stock(day()).unwrap_or_else(|not| panic!("{not:?}"));
    let at = shop.tables.container("S-1").unwrap();
    let content = stock[at].content.clone().unwrap();
    let shares: Vec<_> = content
        .iter()
        .map(|p| (p.share.least().digits(), p.share.most().digits()))
        .collect();
    let third = ("0.333333333333".to_string(), "0.333333333334".to_string());
    assert_eq!(shares, [third.clone(), third.clone(), third]);
}

fn text_of(found: &[&Finding]) -> String {
    found.iter().map(|f| f.working.join("\n")).collect()
}

/// A cabinet holds what its maker says, and no vessel that is larger than itself.
#[test]
fn a_cabinet_is_held_to_its_own_capacity() {
    let rule = "within-capacity";
    let shop_with = |rows: &str| {
        let inventory = format!("container,product,vessel,capacity,place,since,amount\n{rows}");
        shop_of(&inventory, "")
    };
    let found = |rows: &str| {
        let shop = shop_with(rows);
        let audit = audit(&shop);
        let found = of_rule(&audit, rule);
        verdicts(&about(&found, SubjectKind::Place, "cabinet"))
    };
    assert_eq!(
        found("D,mineral spirits,drum,55 gal,cabinet,2026-10-01,10 gal\n"),
        [Verdict::Breach]
    );
    assert_eq!(
        found("D,mineral spirits,drum,30 gal,cabinet,2026-10-01,30 gal\n"),
        [Verdict::Meets]
    );
    let two = "D,mineral spirits,drum,30 gal,cabinet,2026-10-01,30 gal\nE,acetone,metal,1 L,cabinet,2026-10-01,1 mL\n";
    assert_eq!(found(two), [Verdict::Breach]);
    let unknown = "D,mineral spirits,metal,,cabinet,2026-10-01,\n";
    assert_eq!(found(unknown), [Verdict::CannotJudge]);
    // And closing time recommends no cabinet that cannot take it.
    let out = "D,mineral spirits,drum,55 gal,bench 1,2026-10-01,50 gal\n";
    let shop = shop_with(out);
    let (list, _) = shop
        .closing(Moment::parse("2026-10-20T18:00").unwrap())
        .unwrap_or_else(|not| panic!("{not:?}"));
    let commands: Vec<&String> = list.lines.iter().flat_map(|line| &line.commands).collect();
    assert!(
        commands.iter().all(|c| !c.contains("cabinet")),
        "{commands:?}"
    );
    let small = out.replace("55 gal", "5 gal").replace("50 gal", "5 gal");
    let shop = shop_with(&small);
    let (list, _) = shop
        .closing(Moment::parse("2026-10-20T18:00").unwrap())
        .unwrap_or_else(|not| panic!("{not:?}"));
    let commands: Vec<&String> = list.lines.iter().flat_map(|line| &line.commands).collect();
    assert!(
        commands.iter().any(|c| c.contains("cabinet")),
        "{commands:?}"
    );
}

/// A sum that is over by a hair is not written as just at the limit.
#[test]
fn a_sum_is_not_rounded_onto_its_limit() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        D,mineral spirits,drum,30 gal,cabinet,2026-10-01,30 gal\n\
        E,mineral spirits,metal,1 gal,cabinet,2026-10-01,0.0003 gal\n";
    let texts = [
        ("shop.toml", &*SHOP.replace("metric", "us")),
        ("rooms.csv", ROOMS),
        ("places.csv", PLACES),
        ("inventory.csv", inventory),
    ];
    let shop = Shop::from_texts(&texts).unwrap_or_else(|not| panic!("{not:?}"));
    let audit = audit(&shop);
    let found = of_rule(&audit, "within-capacity");
    let text = text_of(&found);
    assert!(text.contains("= 30.0003 gal"), "{text}");
}

fn shop_with(texts: &[(&str, &str)]) -> Shop {
    let mut all = vec![
        ("shop.toml", SHOP),
        ("rooms.csv", ROOMS),
        ("places.csv", PLACES),
    ];
    for (name, text) in texts {
        all.retain(|(known, _)| known != name);
        all.push((name, text));
    }
    Shop::from_texts(&all).unwrap_or_else(|not| panic!("{not:?}"))
}

/// What a count writes down is held against the vessel too.
#[test]
fn a_count_of_more_than_fits_is_reported() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        J-1,mineral spirits,glass,1 qt,bench 1,2026-10-01,1 pt\n\
        J-2,mineral spirits,glass,1 qt,bench 1,2026-10-01,\n";
    let shop = shop_of(
        inventory,
        "1,2026-10-05T09:00,count,J-1,5 gal,,,,\n2,2026-10-05T09:00,count,J-2,5 gal,,,,\n",
    );
    let audit = audit(&shop);
    let found = of_rule(&audit, "within-capacity");
    for jar in ["J-1", "J-2"] {
        assert_eq!(
            verdicts(&about(&found, SubjectKind::Container, jar)),
            [Verdict::Breach]
        );
    }
}

/// A second count that nearly agrees does not hide the first, which did not.
#[test]
fn a_small_difference_hides_no_large_one() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        S-1,mineral spirits,metal,20 L,bench 1,2026-10-01,20 L\n";
    let first = "1,2026-10-05T09:00,count,S-1,12 L,,,,\n";
    let found = |log: &str| {
        let shop = shop_of(inventory, log);
        let audit = audit(&shop);
        let found = of_rule(&audit, "count-agrees");
        (verdicts(&found), text_of(&found))
    };
    assert_eq!(found(first).0, [Verdict::Breach]);
    let (both, text) = found(&format!("{first}2,2026-10-06T09:00,count,S-1,11.9 L,,,,\n"));
    assert_eq!(both, [Verdict::Breach]);
    assert!(
        text.contains("5 Oct 2026") && text.contains("6 Oct 2026"),
        "{text}"
    );
}

/// Two facts of one product that cannot both be true: both are shown, and the lower flash point counts.
#[test]
fn a_flash_point_that_the_parts_contradict_is_reported() {
    let class_of = |alcohol: &str, flash: &str, dated: &str| {
        let products = format!(
            "product,kind,made_of,flash_point,boiling_point,sheet_dated\nhouse,solvent,{alcohol} 95 mass %; water 5 mass %,{flash},173 F,{dated}\n"
        );
        let inventory = "container,product,vessel,capacity,place,since,amount\nH-1,house,glass,1 gal,bench 1,2026-10-01,1 gal\n";
        let shop = shop_with(&[("products.csv", &products), ("inventory.csv", inventory)]);
        let audit = audit(&shop);
        let found = of_rule(&audit, "flash-agrees");
        let jar = of_rule(&audit, "glass-and-plastic-size");
        let text: String = found
            .iter()
            .map(|f| format!("{} {}", f.observed, f.limit))
            .collect();
        let jar = about(&jar, SubjectKind::Container, "H-1");
        (verdicts(&found), verdicts(&jar), text)
    };
    let class = |flash: &str, dated: &str| class_of("ethanol", flash, dated);
    // A gallon jar of alcohol is too large, whatever its flash point is said to be.
    let breach = vec![Verdict::Breach];
    let (found, jar, text) = class("155 F", "");
    assert_eq!((found, jar), (breach.clone(), breach.clone()));
    assert!(
        text.contains("68.3 °C") && text.contains("By its parts, it is at most about"),
        "{text}"
    );
    let (found, jar, _) = class("none", "");
    assert_eq!((found, jar), (breach.clone(), breach.clone()));
    let (found, jar, _) = class("155 F", "2026-01-05");
    assert_eq!(found, [Verdict::Near]);
    assert_ne!(jar, breach);
    let (found, jar, _) = class("55 F", "");
    assert_eq!((found, jar), (vec![Verdict::Meets], breach.clone()));
    // A part that is a mixture itself is taken apart.
    let (found, jar, _) = class_of("specially denatured alcohol", "155 F", "");
    assert_eq!((found, jar), (breach.clone(), breach));
}

/// Any cut of any flakes is shellac: its kind, its hazards and its keeping time are known.
#[test]
fn any_cut_of_any_flakes_is_shellac() {
    for name in [
        "\"shellac 1 1/2 lb cut, dewaxed\"",
        "\"shellac 2 lb cut, seedlac\"",
        "\"shellac 4 lb cut, garnet\"",
        "garnet 2 lb cut",
        "orange 3-lb cut",
        "\"2 lb cut, ruby\"",
        "\"seedlac, 1 1/2 lb cut\"",
    ] {
        let inventory = format!(
            "container,product,vessel,capacity,place,since,amount,made\nJ-1,{name},glass,1 qt,bench 1,2026-10-01,1 qt,2026-10-01\n"
        );
        let shop = shop_of(&inventory, "");
        let product = name.trim_matches('"');
        assert_eq!(
            shop.tables.kind_of(product),
            Some(ProductKind::Shellac),
            "{name}"
        );
        let audit = audit(&shop);
        let [hazard] = audit.checked.hazards.all() else {
            panic!("{name}")
        };
        assert!(
            hazard.flash.value().is_some() && hazard.boils.is_some(),
            "{name}"
        );
        let kept = shop.shelf_lives(&audit.stock);
        assert!(kept[0].use_by.is_some(), "{name}: {:?}", kept[0]);
    }
    let shop = shop("");
    for other in [
        "dewaxed shellac flakes, 2 lb",
        "tung oil varnish 2 lb cut",
        "rottenstone 1 lb",
        "linseed oil, 2 lb cut",
    ] {
        let material = shop.tables.materials.find(other).map(|m| m.name.as_str());
        assert!(
            !material.is_some_and(|name| name.starts_with("shellac")),
            "{other}"
        );
    }
}

/// Garnet is not bleached, so a let-down of it keeps as unbleached shellac does.
#[test]
fn garnet_does_not_keep_as_bleached_shellac() {
    let inventory = "container,product,vessel,capacity,place,since,amount,made\n\
        J-1,\"shellac 2 lb cut, garnet\",glass,1 qt,bench 1,2026-10-01,1 qt,2026-03-01\n\
        J-2,\"shellac 2 lb cut, bleached\",glass,1 qt,bench 1,2026-10-01,1 qt,2026-03-01\n";
    let shop = shop_of(inventory, "");
    let audit = audit(&shop);
    let found = of_rule(&audit, "kept-within");
    assert_eq!(
        verdicts(&about(&found, SubjectKind::Container, "J-1")),
        [Verdict::Near]
    );
    assert_eq!(
        verdicts(&about(&found, SubjectKind::Container, "J-2")),
        [Verdict::Breach]
    );
}

/// A sealed can that was made long before it got here is as old as it is; and every list says the same last day.
#[test]
fn sealed_goods_age_from_the_day_they_were_made() {
    let inventory = "container,product,vessel,capacity,place,since,amount,made\n\
        V-1,tung oil,metal,1 qt,bench 1,2026-09-20,1 qt,2020-01-01\n";
    let shop = shop_of(inventory, "");
    let audit = audit(&shop);
    let found = of_rule(&audit, "kept-within");
    let found = about(&found, SubjectKind::Container, "V-1");
    assert_eq!(verdicts(&found), [Verdict::Breach]);
    assert!(
        text_of(&found).contains("made or received on 1 Jan 2020"),
        "{}",
        text_of(&found)
    );
    assert_eq!(
        shop.shelf_lives(&audit.stock)[0].use_by,
        Some(Day::parse("2022-01-01").unwrap())
    );
}

/// Without a kind there is no keeping time to be found, which is not to say that there is none.
#[test]
fn an_empty_kind_leaves_the_shelf_life_unknown() {
    let products = "product,kind,flash_point\nmy varnish,,104 F\n";
    let inventory = "container,product,vessel,capacity,place,since,amount,opened\n\
        V-1,my varnish,metal,1 qt,bench 1,2020-01-01,1 pt,2020-01-01\n";
    let shop = shop_with(&[("products.csv", products), ("inventory.csv", inventory)]);
    let audit = audit(&shop);
    let found = of_rule(&audit, "kept-within");
    let found = about(&found, SubjectKind::Container, "V-1");
    assert_eq!(verdicts(&found), [Verdict::CannotJudge]);
    assert!(found[0].observed.contains("kind"), "{}", found[0].observed);
}

/// Generic shellac is dissolved in the shop's own alcohol, methanol included.
#[test]
fn a_plan_counts_the_same_alcohol_in_shellac() {
    use sandarac::vapour::own_alcohol::given_off_here;
    let products = "product,kind,made_of,flash_point\nour alcohol,solvent,ethanol 90 mass %; methanol 10 mass %,55 F\n";
    let shop = shop_with(&[
        ("products.csv", products),
        ("inventory.csv", "container,product\n"),
    ]);
    let share = |product: &str| {
        let off = given_off_here(&shop.tables, product).unwrap();
        let milligrams = |name: &str| {
            let found = off.vapours.iter().find(|v| v.name == name);
            found.map_or(0.0, |v| v.milligrams)
        };
        milligrams("methanol") / (milligrams("methanol") + milligrams("ethanol"))
    };
    assert!((share("our alcohol") - 0.1).abs() < 1e-9);
    assert!((share("shellac 2 lb cut") - 0.1).abs() < 1e-9);
}

/// A container whose room is known meets nothing that stands in another room.
#[test]
fn a_room_is_enough_to_tell_two_apart() {
    let inventory = |ammonia: &str| {
        format!(
            "container,product,vessel,capacity,place,since,amount\n\
            N-1,household ammonia,plastic,1 qt,{ammonia},2026-10-01,1 qt\n\
            B-1,bleach,plastic,1 qt,bench 2,2026-10-01,1 qt\n"
        )
    };
    let found = |ammonia: &str| {
        let shop = shop_of(&inventory(ammonia), "");
        let audit = audit(&shop);
        let found = of_rule(&audit, "ammonia-never-with-bleach");
        let mine = about(&found, SubjectKind::Container, "N-1");
        mine.iter().map(|f| f.observed.clone()).collect::<Vec<_>>()
    };
    assert_eq!(found("one"), Vec::<String>::new());
    let [why] = found("two").try_into().unwrap();
    assert!(why.contains("Only its room is on record: two."), "{why}");
    let [nowhere] = found("").try_into().unwrap();
    assert!(nowhere.contains("Record where N-1 is stored"), "{nowhere}");
}

/// What the program writes for a newcomer to change must not accuse that newcomer.
#[test]
fn the_starter_shop_breaches_nothing() {
    let files = sandarac::pack::starter();
    let texts: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, *text)).collect();
    let shop = Shop::from_texts(&texts).unwrap_or_else(|not| panic!("{not:?}"));
    for on in ["2026-11-02", "2026-11-03"] {
        let audit = shop
            .audit(Day::parse(on).unwrap())
            .unwrap_or_else(|not| panic!("{not:?}"));
        let breaches: Vec<String> = audit
            .findings()
            .iter()
            .filter(|f| f.verdict == Verdict::Breach)
            .map(|f| format!("{} of {}", f.rule.id, f.subject.id))
            .collect();
        assert_eq!(breaches, Vec::<String>::new(), "{on}");
    }
}

/// An unrecorded amount counts as full, and is not shown as if it had been counted.
#[test]
fn an_empty_amount_is_shown_as_not_recorded() {
    let inventory = "container,product,vessel,capacity,place,since,amount\nA-1,acetone,metal,4 L,bench 1,2026-10-01,\n";
    let at = |log: &str| {
        let shop = shop_of(inventory, log);
        let stock = shop.stock(day()).unwrap_or_else(|not| panic!("{not:?}"));
        let contents = &stock[shop.tables.container("A-1").unwrap()];
        (
            contents.amount.is_some(),
            contents.recorded().map(|a| a.base().digits()),
        )
    };
    assert_eq!(at(""), (true, None));
    let counted = at("1,2026-10-05T09:00,count,A-1,3 L,,,,\n");
    assert_eq!(counted, (true, Some("3".to_string())));
}

/// A metric shop has no foot rule and no quart jug.
#[test]
fn a_metric_shop_reads_metric_working() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        A-1,acetone,glass,4 L,bench 1,2026-10-01,4 L\nA-2,acetone,metal,300 L,bench 1,2026-10-01,300 L\n";
    let fixtures = "fixture,room,kind,rating,x,y\next,one,extinguisher,2A:10B:C,1 m,1 m\nburner,one,heater,,2 m,1 m\n";
    let places = "place,room,kind,rated,capacity,x,y\nbench 1,one,bench,,,2 m,2 m\nrag can,one,oily-waste-can,yes,,2.5 m,2 m\n";
    let shop_toml = SHOP.replace("\"us-workplace\"", "\"us-workplace\", \"us-fire-code\"");
    let shop = shop_with(&[
        ("shop.toml", &shop_toml),
        ("places.csv", places),
        ("fixtures.csv", fixtures),
        ("inventory.csv", inventory),
    ]);
    let audit = audit(&shop);
    let working = audit.findings().iter().flat_map(|f| &f.working);
    let odd: Vec<&String> = working
        .filter(|line| line.ends_with(" ft") || line.ends_with(" gal") || line.ends_with(" qt"))
        .collect();
    assert!(odd.is_empty(), "{odd:?}");
}

/// The same log in one room or in many: no list is searched for each room again.
#[test]
fn many_rooms_are_audited_in_their_number() {
    let texts = |rooms: usize| {
        let each = |row: &dyn Fn(usize) -> String| (0..rooms).map(row).collect::<String>();
        let rows = [
            (
                "rooms.csv",
                "room,use,length,width,height,level,exhaust\n",
                each(&|i| format!("r{i},finishing,5 m,4 m,3 m,ground,400 m3/h\n")),
            ),
            (
                "places.csv",
                "place,room,kind,rated,capacity,x,y\n",
                each(&|i| format!("p{i},r{i},cabinet,yes,30 gal,1 m,1 m\n")),
            ),
            (
                "fixtures.csv",
                "fixture,room,kind,rating,x,y\n",
                each(&|i| format!("e{i},r{i},extinguisher,2A:10B:C,2 m,1 m\n")),
            ),
            (
                "inventory.csv",
                "container,product,vessel,capacity,place,since,amount\n",
                each(&|i| format!("c{i},acetone,metal,1 gal,p{i},2026-10-01,1 gal\n")),
            ),
            (
                "log.csv",
                LOG,
                each(&|i| format!("{i},2026-10-05T09:00,use,c{i},10 mL,,,10,Ann\n")),
            ),
        ];
        rows.map(|(name, head, rows)| (name, format!("{head}{rows}")))
    };
    // A loaded machine is slow for both, so the one is measured against the other.
    let seconds = |rooms: usize| {
        let all = texts(rooms);
        let all: Vec<(&str, &str)> = all
            .iter()
            .map(|(name, text)| (*name, text.as_str()))
            .collect();
        let shop = shop_with(&all);
        let started = std::time::Instant::now();
        let audit = audit(&shop);
        assert!(audit.findings().len() > rooms);
        started.elapsed().as_secs_f64()
    };
    let least = |rooms: usize| (0..3).map(|_| seconds(rooms)).fold(f64::MAX, f64::min);
    let (few, many) = (least(100), least(800));
    // Eight times the rooms: quadratic work would take sixty-four times as long.
    assert!(many < 32.0 * few, "{few} and {many} seconds");
}

/// Ounces of a liquid are a slip for fluid ounces, and are asked for where they are written.
#[test]
fn ounces_of_a_liquid_are_asked_for_as_fluid_ounces() {
    let refused = |inventory: &str, log: &str| {
        let log = format!("{LOG}{log}");
        let texts = [
            ("shop.toml", SHOP),
            ("rooms.csv", ROOMS),
            ("places.csv", PLACES),
            ("inventory.csv", inventory),
            ("log.csv", &log),
        ];
        match Shop::from_texts(&texts).and_then(|shop| shop.stock(day()).map(|_| ())) {
            Ok(()) => String::new(),
            Err(not) => format!("{not:?}"),
        }
    };
    let head = "container,product,vessel,capacity,place,since,amount\n";
    let shellac = format!("{head}J-1,shellac 2 lb cut,glass,1 qt,bench 1,2026-10-01,10 oz\n");
    assert!(refused(&shellac, "").contains("10 fl oz"));
    let alcohol = format!("{head}A-1,acetone,metal,1 gal,bench 1,2026-10-01,1 qt\n");
    assert!(refused(&alcohol, "1,2026-10-05T09:00,use,A-1,2 oz,,,10,\n").contains("2 fl oz"));
    let flakes = format!("{head}F-1,seedlac,bag,1 lb,bench 1,2026-10-01,10 oz\n");
    assert_eq!(refused(&flakes, ""), "");
}

/// No work lasts longer than a day: at the keyboard such minutes are refused before they are written.
#[test]
fn minutes_of_more_than_a_day_are_not_written() {
    let folder = tempfile::TempDir::new().unwrap();
    let run = |args: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_sandarac"));
        let output = command
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap();
        (
            output.status.code(),
            String::from_utf8(output.stderr).unwrap(),
        )
    };
    assert_eq!(run(&["new", "shop"]).0, Some(0));
    let log = folder.path().join("shop/log.csv");
    let before = std::fs::read_to_string(&log).unwrap();
    let used = [
        "log",
        "use",
        "J-1",
        "1 fl oz",
        "--shop",
        "shop",
        "--when",
        "2026-11-03T09:00",
    ];
    let (code, told) = run(&[&used[..], &["--minutes", "10081"]].concat());
    assert_eq!(code, Some(2), "{told}");
    assert!(
        told.contains("10081 minutes of work is more than a day"),
        "{told}"
    );
    assert_eq!(std::fs::read_to_string(&log).unwrap(), before);
    assert_eq!(
        run(&[&used[..], &["--minutes", "24 h"]].concat()).0,
        Some(0)
    );
}

/// What `mix` writes fits the jar that it makes as much as fits of.
#[test]
fn a_quart_is_mixed_into_a_quart_jar() {
    let folder = tempfile::TempDir::new().unwrap();
    let run = |args: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_sandarac"));
        let output = command
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap();
        let told = [output.stdout, output.stderr].concat();
        (output.status.code(), String::from_utf8(told).unwrap())
    };
    assert_eq!(run(&["new", "shop"]).0, Some(0));
    let mix = [
        "mix",
        "--shop",
        "shop",
        "--cut",
        "2",
        "--make",
        "1 qt",
        "--flake",
        "dewaxed",
        "--log",
        "J-9",
        "--capacity",
        "1 qt",
        "--place",
        "cabinet",
        "--when",
        "2026-11-03T09:00",
    ];
    let (code, told) = run(&mix);
    assert!(!told.contains("qt in a vessel"), "{told}");
    assert_eq!(code, Some(0), "{told}");
}

/// Who is over only by all rooms together is named on the screen of the air, and calls.
#[test]
fn the_air_names_people_in_several_rooms() {
    use sandarac::report::{AirView, air_month};
    let log =
        "1,2026-10-05T09:00,use,A-1,105 mL,,,10,Ann\n2,2026-10-05T11:00,use,A-2,105 mL,,,10,Ann\n";
    let shop = shop(log);
    let stock = shop.stock(day()).unwrap_or_else(|not| panic!("{not:?}"));
    let all = sessions(&shop.tables, &stock);
    let view = AirView::new(&shop.tables, &all, day());
    let text = air_month(&view, 80, true);
    assert!(text.contains("OVER: Ann"), "{text}");
    assert!(view.calls());
}

/// In a small room two things cannot be far apart, wherever in it they are.
#[test]
fn a_small_room_settles_a_distance() {
    let found = |size: &str| {
        let rooms =
            format!("room,use,length,width,height,level\none,finishing,{size},2.5 m,ground\n");
        let fixtures = "fixture,room,kind,rating,x,y\n";
        let places = "place,room,kind,rated,capacity,x,y\nbench,one,bench,,,,\nrag can,one,oily-waste-can,yes,,,\n";
        let shop_toml = SHOP.replace("\"us-workplace\"", "\"us-fire-code\"");
        let shop = shop_with(&[
            ("shop.toml", &shop_toml),
            ("rooms.csv", &rooms),
            ("places.csv", places),
            ("fixtures.csv", fixtures),
            ("inventory.csv", "container,product\n"),
        ]);
        let audit = audit(&shop);
        let found = of_rule(&audit, "rag-can-well-clear");
        verdicts(&about(&found, SubjectKind::Place, "rag can"))
    };
    // The diagonal of 8 by 6 ft is 10 ft, and the two have a size.
    assert_eq!(found("8 ft,6 ft"), [Verdict::Breach]);
    assert_eq!(found("9 ft,6 ft"), [Verdict::CannotJudge]);
}

fn starter(args: &[&[&str]]) -> (tempfile::TempDir, String) {
    let folder = tempfile::TempDir::new().unwrap();
    let run = |args: &[&str]| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_sandarac"));
        let output = command
            .current_dir(folder.path())
            .args(args)
            .output()
            .unwrap();
        let told = String::from_utf8([output.stdout, output.stderr].concat()).unwrap();
        assert_eq!(output.status.code(), Some(0), "{told}");
        told
    };
    run(&["new", "shop"]);
    let told = args.iter().map(|args| run(args)).collect();
    (folder, told)
}

/// A can as bought has its maker's label, which is to be looked for; a jar that is filled here has none yet.
#[test]
fn a_can_as_bought_is_not_accused_of_having_no_label() {
    let bought = "log receive N-1 qt --product acetone --vessel metal --place cabinet --shop shop";
    let mut bought: Vec<&str> = bought.split(' ').collect();
    bought[3] = "1 qt";
    bought.extend(["--capacity", "1 qt", "--when", "2026-11-03T09:00"]);
    let (folder, _) = starter(&[&bought]);
    let inventory = std::fs::read_to_string(folder.path().join("shop/inventory.csv")).unwrap();
    let row = inventory
        .lines()
        .find(|line| line.starts_with("N-1"))
        .unwrap();
    assert!(row.ends_with(','), "{row}");
    let json = std::process::Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder.path())
        .args([
            "audit",
            "shop",
            "--on",
            "2026-11-03",
            "--no-reports",
            "--json",
            "-",
        ])
        .output()
        .unwrap();
    let audit: serde_json::Value = serde_json::from_slice(&json.stdout).unwrap();
    let findings = audit["findings"].as_array().unwrap();
    let mine = findings.iter().filter(|f| f["subject"]["id"] == "N-1");
    let mine: Vec<_> = mine
        .filter(|f| f["topic"] == "labels" || f["rule"].to_string().contains("label"))
        .collect();
    assert!(!mine.is_empty());
    assert!(mine.iter().all(|f| f["verdict"] != "breach"), "{mine:?}");
}

/// A sealed can was not opened "on a day not known".
#[test]
fn a_sealed_can_is_not_labeled_as_opened() {
    let (folder, _) = starter(&[&["labels", "shop", "V-1", "--on", "2026-11-03"]]);
    let page =
        std::fs::read_to_string(folder.path().join("shop/reports/2026-11-03-labels.html")).unwrap();
    assert!(
        page.contains("V-1") && !page.contains("opened on a day not known"),
        "{page}"
    );
}

/// A bare number of sandpaper is most likely a number of sheets.
#[test]
fn a_bare_number_of_what_is_dry_is_asked_for_in_pieces() {
    let inventory = "container,product,vessel,capacity,place,since,amount\nP-1,abrasive paper,box,,bench 1,2026-10-01,3\n";
    let texts = [
        ("shop.toml", SHOP),
        ("rooms.csv", ROOMS),
        ("places.csv", PLACES),
        ("inventory.csv", inventory),
    ];
    let Err(not) = Shop::from_texts(&texts) else {
        panic!("a bare 3 was taken")
    };
    assert!(
        format!("{not:?}").contains("Write \\\"3 pcs\\\""),
        "{not:?}"
    );
}

/// A rag does not become harmless because the jar it met is emptied and filled again.
#[test]
fn a_refill_cleans_no_rag() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        L-1,boiled linseed oil,metal,4 L,bench 1,2026-10-01,4 L\n\
        S-1,mineral spirits,metal,4 L,bench 1,2026-10-01,1 L\n\
        R-1,cotton rags,rag,,bench 1,2026-10-01,5 pcs\n";
    let soiled =
        "1,2026-10-20T08:00,mix,L-1,500 mL,S-1,,,\n2,2026-10-20T09:00,soil,R-1,1 pcs,S-1,,,\n";
    let refilled = "3,2026-10-20T10:00,discard,S-1,,,,,\n4,2026-10-20T11:00,receive,S-1,1 L,,,,\n";
    let found = |log: &str| {
        let shop = shop_of(inventory, log);
        let audit = audit(&shop);
        let found = of_rule(&audit, "rags-secured");
        found.iter().any(|f| f.verdict == Verdict::Breach)
    };
    assert!(found(soiled));
    assert!(found(&format!("{soiled}{refilled}")));
    assert!(
        !found("1,2026-10-20T09:00,soil,R-1,1 pcs,S-1,,,\n"),
        "spirits alone do not heat a rag"
    );
}

/// Ammonia, water or waste on an oily rag makes it no less an oily rag, however well it is known what each of them is.
#[test]
fn an_oily_rag_is_one_whatever_else_is_on_it() {
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        V-1,oil varnish,metal,4 L,bench 1,2026-10-01,4 L\nN-1,household ammonia,plastic,1 L,bench 1,2026-10-01,1 L\n\
        W-1,spent solvent,metal,4 L,bench 1,2026-10-01,4 L\nL-1,boiled linseed oil,metal,4 L,bench 1,2026-10-01,4 L\n\
        R-1,cotton rags,rag,,bench 1,2026-10-01,5 pcs\n";
    let found = |rows: &str| {
        let log = format!("entry,when,what,container,amount,into,place,from\n{rows}");
        let shop = shop_with(&[("inventory.csv", inventory), ("log.csv", &log)]);
        let audit = audit(&shop);
        let found = of_rule(&audit, "rags-secured");
        found
            .iter()
            .map(|f| (f.verdict, f.unconfirmed))
            .collect::<Vec<_>>()
    };
    let soil = "1,2026-10-31T09:00,soil,R-1,2 pcs,V-1,bench 1,\n";
    let breach = [(Verdict::Breach, false)];
    assert_eq!(found(soil), breach);
    for other in ["N-1", "W-1"] {
        let again = format!("2,2026-10-31T09:10,soil,R-1,2 pcs,{other},bench 1,entry 1\n");
        assert_eq!(found(&format!("{soil}{again}")), breach, "{other}");
    }
    assert_eq!(found(&soil.replace("V-1", "W-1")), breach);
    let poured = "0,2026-10-31T08:00,decant,L-1,500 mL,W-1,,\n";
    assert_eq!(
        found(&format!("{poured}{}", soil.replace("V-1", "W-1"))),
        breach
    );
    assert_eq!(found(&soil.replace("V-1", "N-1"))[0].0, Verdict::Near);
}

/// Each caution that needs a material is said where that is, and only there.
#[test]
fn what_is_in_the_shop_decides_its_cautions() {
    let said = |product: &str, row: &str| -> Vec<String> {
        let inventory = format!(
            "container,product,vessel,capacity,place,since,amount\nC-1,{product},plastic,1 L,bench 1,2026-10-01,1 L\n"
        );
        let products = format!("product,kind,made_of,flash_point\n{row}\n");
        let shop = shop_with(&[("inventory.csv", &inventory), ("products.csv", &products)]);
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let file = files.hold("cautions.toml", CAUTIONS.as_bytes());
        let cautions = read_cautions(&files, file, &mut problems);
        let audit = audit(&shop);
        let view = View::new(&audit, &cautions);
        view.cautions.iter().map(|c| c.name.clone()).collect()
    };
    let cases = [
        ("lye", "", "metal-eaters"),
        ("household ammonia", "", "metal-eaters"),
        ("bleach", "", "oxidizers"),
        ("potassium dichromate", "", "dichromate"),
        ("potassium dichromate", "", "oxidizers"),
        (
            "dichromate stain",
            "dichromate stain,stain,potassium dichromate 5 mass %; water 95 mass %,none",
            "dichromate",
        ),
        (
            "stripper",
            "stripper,solvent,dichloromethane 80 mass %; methanol 20 mass %,none",
            "methylene-chloride",
        ),
        ("hardener", "hardener,other,HDI 100 mass %,", "isocyanates"),
        (
            "isocyanate hardener",
            "isocyanate hardener,other,,200 F",
            "isocyanates",
        ),
        (
            "brushing lacquer",
            "brushing lacquer,lacquer,,40 F",
            "lacquer-overspray",
        ),
    ];
    let fresh = said("acetone", "");
    for (product, row, caution) in cases {
        let found = said(product, row);
        assert!(
            found.iter().any(|name| name == caution),
            "{product}: {found:?}"
        );
        assert!(
            !fresh.iter().any(|name| name == caution),
            "acetone: {caution}"
        );
    }
}

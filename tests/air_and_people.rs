//! Air over rooms, people and mixtures: what is known never hides behind what is not, and only confirmed limits break a rule.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

use sandarac::audit::{Audit, Shop};
use sandarac::finding::{Finding, SubjectKind, Verdict};
use sandarac::quantity::{Day, Moment};
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
    Q-1,nobody knows,metal,20 L,bench 1,2026-10-01,20 L\n";
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
    let mine = audit.findings().iter().filter(|f| *f.rule == *rule);
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
    let (unnamed, nobody) = rooms(&log("", ""));
    assert_eq!(
        nobody,
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

/// What is not known can only add to what is already over.
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
    // The only legal limit of tetrahydrofuran on record is from memory.
    let thf = "1,2026-10-05T09:00,use,T-1,1 L,,,10,Ann\n";
    assert_eq!(found(thf, LEGAL), [(Verdict::Near, true)]);
    // Xylenes: 100 ppm is confirmed, 20 ppm is remembered.
    let few = "1,2026-10-05T09:00,use,X-1,10 mL,,,10,Ann\n";
    assert_eq!(found(few, GUIDE), [(Verdict::Near, true)]);
    let many = "1,2026-10-05T09:00,use,X-1,80 mL,,,10,Ann\n";
    assert_eq!(found(many, GUIDE), [(Verdict::Breach, false)]);
}

/// Two sessions within eight hours: the substance by itself agrees with the sum.
#[test]
fn a_substance_is_averaged_over_the_same_hours_as_the_sum() {
    let all =
        month("1,2026-10-05T08:00,use,A-4,2 L,,,10,Ann\n2,2026-10-05T12:00,use,A-4,2 L,,,10,Ann\n");
    let [_, second] = all.list.as_slice() else {
        panic!("{} sessions", all.list.len())
    };
    let parts = all.components(second);
    let [part] = parts.as_slice() else {
        panic!("{parts:?}")
    };
    let ratio = part.shift_ppm / part.legal_ppm.unwrap();
    let sum = second.legal.unwrap();
    assert!((ratio / sum - 1.0).abs() < 1e-6, "{ratio} and {sum}");
}

#[test]
fn a_fan_that_cannot_be_is_named_as_the_reason() {
    let shop = shop("1,2026-10-05T09:00,use,A-3,1 L,,,10,Ann\n");
    let audit = audit(&shop);
    let found = of_rule(&audit, LEL);
    let found = about(&found, SubjectKind::Room, "blown");
    assert_eq!(verdicts(&found), [Verdict::CannotJudge]);
    assert!(
        found[0].observed.contains("1,000 times an hour"),
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
    assert_eq!(before.list[0].legal, after.list[0].legal);
    let pure = month("1,2026-10-05T09:00,use,S-1,1 L,,,10,Ann\n");
    assert!(before.list[0].legal > pure.list[0].legal);
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
    let content = stock.containers[at].content.clone().unwrap();
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

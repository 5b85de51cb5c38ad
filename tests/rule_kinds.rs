//! What a rule of a pack means, wherever it is asked: the audit, the round, the calendar, the mixing bench. Packs and shops
//! are made up; no source.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::Shop;
use sandarac::check::vessel_sizes;
use sandarac::finding::{Finding, Verdict};
use sandarac::pack::{Pack, load_held};
use sandarac::quantity::{Day, Period};
use sandarac::record::Vessel;
use sandarac::text::{Files, Problems, show_all};
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const ON: &str = "2026-11-24";
const PACK: &str = "title = \"A county\"\njurisdiction = \"A county\"\nbinds = \"everyone\"\nabout = \"Made up.\"\n";
const SOURCES: &str = "[made-up]\ntitle = \"Ordinance\"\nedition = \"1\"\nissuer = \"A county\"\n";
const CLASSES: &str = include_str!("problems/base/pack/classes.toml");

/// A rule file: kind, the lines of its own, and the value of its limit, if it has one.
fn rule(check: &str, lines: &str, value: &str) -> String {
    let value = match value {
        "" => String::new(),
        value => format!("value = \"{value}\"\n"),
    };
    format!(
        "title = \"A rule\"\ntopic = \"storage\"\ncheck = \"{check}\"\nseverity = \"must\"\nwhy = \"Made up.\"\naction = \"Do it.\"\n\
         {lines}\n[limit.2020-01-01]\n{value}source = \"made-up\"\nclause = \"2\"\nread = \"2026-11\"\nseen = \"text\"\n"
    )
}

fn files_of_pack(rules: &[(&str, String)]) -> Vec<(String, String)> {
    let rules = rules
        .iter()
        .map(|(name, text)| (format!("rules/{name}.toml"), text.clone()));
    let fixed = [
        ("pack.toml", PACK),
        ("sources.toml", SOURCES),
        ("classes.toml", CLASSES),
    ];
    let fixed = fixed.map(|(name, text)| (name.to_string(), text.to_string()));
    fixed.into_iter().chain(rules).collect()
}

#[track_caller]
fn pack(rules: &[(&str, String)]) -> Pack {
    let (mut files, mut problems) = (Files::default(), Problems::new());
    let parts: Vec<_> = files_of_pack(rules)
        .into_iter()
        .map(|(name, text)| (name.clone(), files.hold(name, text.into_bytes())))
        .collect();
    let pack = load_held("county", &parts, &mut files, &mut problems);
    assert!(problems.none(), "{}", show_all(&problems, &files));
    pack.unwrap()
}

/// A shop of these tables, held against one pack.
#[track_caller]
fn shop(pack: Pack, tables: &[(&str, &str)]) -> Shop {
    let settings = "name = \"Made up\"\nunits = \"us\"\npacks = [\"county\"]\n";
    let mut texts: Vec<(&str, &[u8])> = vec![
        ("shop.toml", settings.as_bytes()),
        ("rooms.csv", b"room,use\nfinishing,finishing\n"),
        ("inventory.csv", b"container,product\n"),
    ];
    for (name, text) in tables {
        texts.retain(|(known, _)| known != name);
        texts.push((name, text.as_bytes()));
    }
    Shop::from_texts_with(&texts, vec![pack]).unwrap_or_else(|why| panic!("{why:?}"))
}

#[track_caller]
fn findings(shop: &Shop) -> Vec<Finding> {
    let audit = shop.audit(Day::parse(ON).unwrap());
    let audit = audit.unwrap_or_else(|why| panic!("{why:?}"));
    audit.findings().to_vec()
}

#[track_caller]
fn verdict(shop: &Shop, rule: &str) -> (Verdict, String) {
    let list = findings(shop);
    let of_rule: Vec<_> = list.iter().filter(|f| *f.rule.id == *rule).collect();
    let [found] = of_rule.as_slice() else {
        panic!("{} findings of {rule}", of_rule.len());
    };
    (found.verdict, found.observed.clone())
}

const FLUSH: &str =
    "per = \"fixture\"\nanswer = \"eyewash-flush\"\n[where]\nfixture = [\"eyewash\"]";
const EYEWASH: [(&str, &str); 2] = [
    (
        "fixtures.csv",
        "fixture,room,kind\nsink,finishing,eyewash\n",
    ),
    (
        "checks.csv",
        "when,check,where,answer\n2026-11-21T09:00,eyewash-flush,sink,yes\n",
    ),
];

/// When the eyewash is due by the round, and how often, with the source of that.
#[track_caller]
fn eyewash_due(rules: &[(&str, String)], more: &[(&str, &str)]) -> (String, Period, String) {
    let shop = shop(pack(rules), &[&EYEWASH[..], more].concat());
    let audit = shop.audit(Day::parse(ON).unwrap()).unwrap();
    let round = &audit.checked.round;
    let asked: Vec<_> = round
        .iter()
        .filter(|asked| asked.question.check == "eyewash-flush")
        .collect();
    let [asked] = asked.as_slice() else {
        panic!("asked {} times", asked.len());
    };
    assert_eq!(asked.about, "sink");
    (asked.due.to_string(), asked.every, asked.source.clone())
}

#[test]
fn the_strictest_rule_in_force_decides_when_a_question_is_due() {
    let week = || ("week", rule("due-within", FLUSH, "7 days"));
    let two = || ("two", rule("due-within", FLUSH, "2 days"));
    // Where no rule speaks, the interval that is built in.
    let (due, every, _) = eyewash_due(&[("label", rule("must-have", LABEL, ""))], &[]);
    assert_eq!((due.as_str(), every), ("2026-11-28", Period::Days(7)));
    let strict = ("2026-11-23".to_string(), Period::Days(2));
    for rules in [vec![two()], vec![week(), two()], vec![two(), week()]] {
        let (due, every, source) = eyewash_due(&rules, &[]);
        assert_eq!((due, every), strict);
        assert_eq!(source, "Ordinance, 1, 2");
    }
    // A rule that is laxer than what is built in is the law all the same.
    let month = ("month", rule("due-within", FLUSH, "1 month"));
    let (due, every, _) = eyewash_due(&[month], &[]);
    assert_eq!((due.as_str(), every), ("2026-12-21", Period::Months(1)));
    // The local authority's own word counts with the rules.
    let settings = "name = \"Made up\"\nunits = \"us\"\npacks = [\"county\"]\n\
        [[limit]]\nrule = \"week\"\nvalue = \"36 h\"\nby = \"the marshal\"\non = 2026-01-01\n";
    let (due, every, source) = eyewash_due(&[week()], &[("shop.toml", settings)]);
    assert_eq!((due.as_str(), every), ("2026-11-22", Period::Days(1)));
    assert_eq!(source, "word of the marshal");
    // A rule that is not in force yet says nothing.
    let later = rule("due-within", FLUSH, "2 days").replace("2020-01-01", "2027-01-01");
    let (due, _, _) = eyewash_due(&[week(), ("later", later)], &[]);
    assert_eq!(due, "2026-11-28");
}

#[test]
fn audit_round_and_calendar_agree_on_a_due_day() {
    let folder = TempDir::new().unwrap();
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    };
    for (name, text) in files_of_pack(&[("two", rule("due-within", FLUSH, "2 days"))]) {
        put(&format!("county/{name}"), &text);
    }
    for (name, text) in EYEWASH {
        put(&format!("shop/{name}"), text);
    }
    let settings = "name = \"Made up\"\nunits = \"us\"\npacks = [\"../county\"]\n";
    put("shop/shop.toml", settings);
    put("shop/rooms.csv", "room,use\nfinishing,finishing\n");
    put("shop/inventory.csv", "container,product\n");
    let said = |args: &[&str]| said(folder.path(), args);
    let round = said(&["round", "shop", "--on", ON, "--csv", "-"]);
    let line = round.lines().find(|line| line.contains("eyewash-flush"));
    let line = line.unwrap_or_else(|| panic!("{round}"));
    assert!(line.contains("due since 23 Nov"), "{line}");
    let calendar = said(&["calendar", "shop", "--on", ON]).replace("\r\n ", "");
    assert!(
        calendar.contains("23 Nov 2026: Was the eyewash flushed? (sink)"),
        "{calendar}"
    );
    let audit = said(&["audit", "shop", "--on", ON, "--no-reports", "--json", "-"]);
    assert!(audit.contains("\"limit\""), "{audit}");
    let two = rule("due-within", FLUSH, "2 days");
    let (verdict, observed) = verdict(&shop(pack(&[("two", two)]), &EYEWASH), "two");
    assert_eq!((verdict, observed.as_str()), (Verdict::Breach, "3 days"));
}

fn said(folder: &Path, args: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let output = command.current_dir(folder).args(args).output().unwrap();
    String::from_utf8(output.stdout).unwrap()
}

const LABEL: &str = "per = \"container\"\nhave = \"label\"";

/// A rule on the size of a container counts capacities unless it says otherwise, for the audit and for a mix alike.
#[test]
fn a_rule_on_sizes_means_the_same_for_the_audit_and_for_a_mix() {
    let glass = |measure: &str| {
        let lines = format!("{measure}\n[where]\nclass = [\"quick\"]\nvessel = [\"glass\"]");
        rule("each-at-most", &lines, "1 qt")
    };
    let by_class = "[where]\nclass = [\"quick\", \"slow\"]";
    let by_class = rule("each-at-most", by_class, "")
        + "[limit.2020-01-01.value]\nquick = \"2 qt\"\nslow = \"1 gal\"\n";
    let rules = [
        ("a-unsaid", glass("")),
        ("b-capacity", glass("measure = \"capacity\"")),
        ("c-amount", glass("measure = \"amount\"")),
        ("d-by-class", by_class),
    ];
    let pack = pack(&rules);
    let sizes = |class, vessel| -> Vec<(String, String)> {
        let list = vessel_sizes(&pack, Day::parse(ON).unwrap(), class, vessel);
        list.iter()
            .map(|size| (size.rule.to_string(), size.most.text()))
            .collect()
    };
    let of = |list: &[(&str, &str)]| -> Vec<(String, String)> {
        list.iter()
            .map(|(rule, most)| (rule.to_string(), most.to_string()))
            .collect()
    };
    let in_glass = of(&[
        ("a-unsaid", "1 qt"),
        ("b-capacity", "1 qt"),
        ("d-by-class", "2 qt"),
    ]);
    assert_eq!(sizes(0, Vessel::Glass), in_glass);
    assert_eq!(sizes(0, Vessel::Metal), of(&[("d-by-class", "2 qt")]));
    assert_eq!(sizes(1, Vessel::Glass), of(&[("d-by-class", "1 gal")]));
    // A gallon jar with half a pint in it.
    let tables = [
        (
            "inventory.csv",
            "container,product,vessel,capacity,amount\nJ-1,quick liquid,glass,1 gal,0.5 pt\n",
        ),
        (
            "products.csv",
            "product,kind,flash_point\nquick liquid,solvent,50 F\n",
        ),
    ];
    let shop = shop(pack.clone(), &tables);
    let found = |rule| verdict(&shop, rule).0;
    assert_eq!(found("a-unsaid"), Verdict::Breach);
    assert_eq!(found("b-capacity"), Verdict::Breach);
    assert_eq!(found("c-amount"), Verdict::Meets);
    assert_eq!(found("d-by-class"), Verdict::Breach);
}

/// A drop that counts and a tank that may count: together they have more digits than are kept, which is no reason to leave
/// out the tank.
#[test]
fn a_sum_that_is_too_fine_is_no_pass() {
    let lines = "per = \"shop\"\n[where]\nclass = [\"quick\"]";
    let pack = pack(&[("total", rule("total-at-most", lines, "10 gal"))]);
    let tables = |drop: &str| {
        format!(
            "container,product,vessel,amount\nJ-1,quick liquid,glass,{drop}\nT-1,mystery,portable-tank,99999999 gal\n"
        )
    };
    let products = (
        "products.csv",
        "product,kind,flash_point\nquick liquid,solvent,50 F\n",
    );
    let found = |drop: &str| {
        let inventory = tables(drop);
        let shop = shop(pack.clone(), &[("inventory.csv", &inventory), products]);
        verdict(&shop, "total")
    };
    let (verdict, why) = found("0.0000000000000000001 gal");
    assert_eq!(verdict, Verdict::CannotJudge);
    assert_eq!(
        why,
        "Record the amounts with fewer digits. They cannot be added exactly."
    );
    assert_eq!(found("1 gal").0, Verdict::CannotJudge, "the tank may count");
    assert_eq!(
        found("11 gal").0,
        Verdict::Breach,
        "whatever is in the tank"
    );
}

/// Of several parts the one that boils lowest decides the class: it is the first vapor there is.
#[test]
fn the_part_that_boils_lowest_decides() {
    let products = "product,kind,flash_point,made_of\nblend,solvent,0 F,acetone 90 mass %; ammonia 10 mass %\n";
    let settings = "name = \"Made up\"\nunits = \"us\"\npacks = [\"us-workplace\"]\n";
    let shop = Shop::from_texts(&[
        ("shop.toml", settings),
        ("rooms.csv", "room,use\nfinishing,finishing\n"),
        (
            "inventory.csv",
            "container,product,vessel,amount\nB-1,blend,metal,1 qt\n",
        ),
        ("products.csv", products),
    ]);
    let shop = shop.unwrap_or_else(|why| panic!("{why:?}"));
    let audit = shop.audit(Day::parse(ON).unwrap()).unwrap();
    let classes = &audit.checked.classes;
    let (_, titles) = classes
        .iter()
        .find(|(pack, _)| pack == "us-workplace")
        .unwrap();
    // Acetone boils at 133 F, which would be category 2; ammonia far below 95 F.
    assert_eq!(titles, &[Some("Category 1".to_string())]);
}

#[test]
fn a_fixture_that_the_shop_must_have_may_be_in_any_room() {
    let lines = "per = \"shop\"\nhave = \"fixture\"\nfixture = [\"eyewash\"]";
    let rules = [("eyewash", rule("must-have", lines, ""))];
    let found = |fixtures: &str| {
        let tables = [("fixtures.csv", fixtures)];
        verdict(&shop(pack(&rules), &tables), "eyewash").0
    };
    let sink = "fixture,room,kind\nsink,finishing,eyewash\n";
    assert_eq!(found(sink), Verdict::Meets);
    assert_eq!(
        found(&format!("{sink}door,finishing,exit\n")),
        Verdict::Meets
    );
    assert_eq!(
        found("fixture,room,kind\ndoor,finishing,exit\n"),
        Verdict::Breach
    );
}

/// A shop that has a room which the rule means is meant, even if nothing is on record in it.
#[test]
fn a_room_without_places_calls_for_what_the_shop_must_have() {
    let lines = |room: &str| {
        format!(
            "per = \"shop\"\nhave = \"fixture\"\nfixture = [\"eyewash\"]\n[where]\nroom = [\"{room}\"]"
        )
    };
    let found = |room: &str| {
        let rules = [("eyewash", rule("must-have", &lines(room), ""))];
        let tables = [("fixtures.csv", "fixture,room,kind\ndoor,finishing,exit\n")];
        verdict(&shop(pack(&rules), &tables), "eyewash").0
    };
    assert_eq!(found("finishing"), Verdict::Breach);
    assert_eq!(found("spraying"), Verdict::Meets);
}

/// Local limits that the rule cannot compare are unknown, never within.
#[test]
fn a_local_limit_that_measures_something_else_is_unknown() {
    let settings = |value: &str| {
        format!(
            "name = \"Made up\"\nunits = \"us\"\npacks = [\"county\"]\n[[limit]]\nrule = \"two\"\nvalue = \"{value}\"\n\
             by = \"the marshal\"\non = 2026-01-01\n"
        )
    };
    for (value, expected) in [
        ("1 day", Verdict::Breach),
        ("4 days", Verdict::Meets),
        ("1.5 days", Verdict::CannotJudge),
        ("3 ft", Verdict::CannotJudge),
    ] {
        let settings = settings(value);
        let tables = [&EYEWASH[..], &[("shop.toml", settings.as_str())]].concat();
        let shop = shop(
            pack(&[("two", rule("due-within", FLUSH, "30 days"))]),
            &tables,
        );
        let list = findings(&shop);
        let local: Vec<_> = list.iter().filter(|f| f.local).collect();
        assert_eq!(local.len(), 1, "{value}");
        assert_eq!(local[0].verdict, expected, "{value}");
    }
}

/// Products made of products made of products: what lies too deep to be looked into may be corrosive.
#[test]
fn a_hazard_that_lies_deep_is_unknown_and_no_pass() {
    let lines = "[where]\nhazard = [\"corrosive\"]\n[never]\nplace = [\"bench\"]";
    let rules = [("no-acid", rule("not-in-place", lines, ""))];
    let places = "place,room,kind\nbench,finishing,bench\n";
    let inventory = "container,product,place,amount\nA-1,mix 1,bench,1 qt\n";
    let found = |deep: u32| {
        let mut products = "product,kind,flash_point,made_of\n".to_string();
        for at in 1..deep {
            let row = format!("mix {at},cleaner,none,mix {} 100 mass %\n", at + 1);
            products.push_str(&row);
        }
        products.push_str(&format!(
            "mix {deep},cleaner,none,sodium hydroxide 100 mass %\n"
        ));
        let tables = [
            ("places.csv", places),
            ("inventory.csv", inventory),
            ("products.csv", &products),
        ];
        verdict(&shop(pack(&rules), &tables), "no-acid").0
    };
    assert_eq!(found(3), Verdict::Breach);
    assert_eq!(found(6), Verdict::CannotJudge);
}

/// A limit for each square foot is the pack's; what the authority allows in a room is allowed in all of it.
#[test]
fn a_local_limit_in_place_of_one_for_each_square_foot_is_a_total() {
    let lines = "per = \"room\"\nfloor = \"1 ft2\"\n[where]\nclass = [\"quick\"]";
    let settings = "name = \"Made up\"\nunits = \"us\"\npacks = [\"county\"]\n\
        [[limit]]\nrule = \"load\"\nvalue = \"50 gal\"\nby = \"the marshal\"\non = 2026-01-01\n";
    let tables = [
        ("shop.toml", settings),
        (
            "rooms.csv",
            "room,use,length,width\nfinishing,finishing,10 ft,10 ft\n",
        ),
        (
            "inventory.csv",
            "container,product,vessel,place,amount\nT-1,quick liquid,portable-tank,finishing,60 gal\n",
        ),
        (
            "products.csv",
            "product,kind,flash_point\nquick liquid,solvent,50 F\n",
        ),
    ];
    let shop = shop(
        pack(&[("load", rule("total-at-most", lines, "2 gal"))]),
        &tables,
    );
    let list = findings(&shop);
    let verdict = |local: bool| list.iter().find(|f| f.local == local).unwrap().verdict;
    assert_eq!(verdict(false), Verdict::Meets, "60 of 200 gal");
    assert_eq!(verdict(true), Verdict::Breach, "60 of 50 gal");
}

/// A factor of nothing needs its condition, and an answer that does not hold leaves the limit as it is.
#[test]
fn an_answer_of_the_round_multiplies_a_limit() {
    let lines = "per = \"room\"\n[where]\nclass = [\"quick\"]\n";
    let adjust = "[[adjust]]\nanswer = \"store-room-walls\"\ntimes = \"2\"\nclause = \"3\"\n\
        [[adjust]]\nanswer = \"store-room-walls\"\nanswered = \"no\"\nfloor_over = \"100 ft2\"\ntimes = \"0\"\nclause = \"4\"\n";
    let rules = [("load", rule("total-at-most", lines, "50 gal") + adjust)];
    let found = |length: &str, answer: &str| {
        let rooms = format!("room,use,length,width\nfinishing,finishing,{length},10 ft\n");
        let checks = match answer {
            "" => String::new(),
            answer => format!("2026-11-21T09:00,store-room-walls,finishing,{answer}\n"),
        };
        let checks = format!("when,check,where,answer\n{checks}");
        let tables = [
            ("rooms.csv", rooms.as_str()),
            ("checks.csv", &checks),
            (
                "inventory.csv",
                "container,product,vessel,place,amount\nT-1,quick liquid,portable-tank,finishing,60 gal\n",
            ),
            (
                "products.csv",
                "product,kind,flash_point\nquick liquid,solvent,50 F\n",
            ),
        ];
        verdict(&shop(pack(&rules), &tables), "load").0
    };
    assert_eq!(found("10 ft", "yes"), Verdict::Meets, "60 of 100 gal");
    assert_eq!(found("10 ft", "no"), Verdict::Breach, "60 of 50 gal");
    assert_eq!(found("10 ft", ""), Verdict::CannotJudge, "50 or 100 gal");
    assert_eq!(found("10.1 ft", "no"), Verdict::Breach, "nothing at all");
    assert_eq!(
        found("", "yes"),
        Verdict::Meets,
        "the floor does not matter"
    );
}

/// A "no" is reported once: by the rule that reads the question, or else by the rule for all other questions.
#[test]
fn a_no_is_reported_by_the_rule_that_reads_it_or_by_the_one_for_the_rest() {
    let reads = "per = \"shop\"\nhave = \"answer\"\nanswer = \"drips\"";
    let answers =
        "when,check,where,answer\n2026-11-20T09:00,drips,,no\n2026-11-20T09:00,children,,no\n";
    let subjects = |rules: &[(&str, String)]| -> Vec<String> {
        let shop = shop(pack(rules), &[("checks.csv", answers)]);
        let broken = findings(&shop).into_iter();
        let mut subjects: Vec<String> = broken
            .filter(|f| f.verdict == Verdict::Breach)
            .map(|f| format!("{}: {}", f.rule.id, f.subject.id))
            .collect();
        subjects.sort();
        subjects
    };
    let rest = [("rest", rule("answers-in-order", "", ""))];
    let both = ["rest: children", "rest: drips"];
    assert_eq!(of_rule(&subjects(&rest), "rest"), both);
    let read = [
        ("drips", rule("must-have", reads, "")),
        ("rest", rule("answers-in-order", "", "")),
    ];
    let found = subjects(&read);
    assert_eq!(of_rule(&found, "rest"), ["rest: children"]);
    assert_eq!(of_rule(&found, "drips"), ["drips: drips"]);
}

/// Those of one rule.
fn of_rule<'s>(subjects: &'s [String], rule: &str) -> Vec<&'s str> {
    let mut list: Vec<&str> = subjects.iter().map(String::as_str).collect();
    list.retain(|subject| subject.split(':').next() == Some(rule));
    list
}

/// What nothing is known of may be anything; a product whose kind or parts are known is known.
#[test]
fn a_product_of_unknown_make_may_hold_what_a_rule_names() {
    let apart = "within = \"place\"\n[where]\ncontains = [\"ammonia\"]\n[with]\ncontains = [\"chlorine bleach\"]";
    let lone = "[where]\nhazard = [\"oxidizer\"]\n[never]\nplace = [\"bench\"]";
    let total = "per = \"shop\"\n[where]\ncontains = [\"acetone\"]";
    let rules = [
        ("apart", rule("never-together", apart, "")),
        ("lone", rule("not-in-place", lone, "")),
        ("total", rule("total-at-most", total, "10 gal")),
    ];
    let inventory = "container,product,vessel,place,amount\nB-1,bleach,plastic,finishing,1 qt\n\
        X-9,cleaner X9,plastic,bench,11 gal\nB-2,bleach,plastic,bench,1 qt\n";
    let found = |row: &str| {
        let products = format!("product,kind,flash_point,made_of\n{row}\n");
        let tables = [
            ("places.csv", "place,room,kind\nbench,finishing,bench\n"),
            ("inventory.csv", inventory),
            ("products.csv", &products),
        ];
        let list = findings(&shop(pack(&rules), &tables));
        let on = |rule: &str, subject: &str| {
            let mut findings = list.iter();
            let found = findings.find(|f| *f.rule.id == *rule && f.subject.id == subject);
            found.map(|f| f.verdict)
        };
        [
            on("apart", "bench").unwrap_or(Verdict::Meets),
            on("lone", "X-9").unwrap_or(Verdict::Meets),
            on("total", "Made up").unwrap_or(Verdict::Meets),
        ]
    };
    let unknown = [Verdict::CannotJudge; 3];
    assert_eq!(found(""), unknown, "in no list");
    assert_eq!(found("cleaner X9,,none,"), unknown, "without a kind");
    assert_eq!(
        found("cleaner X9,cleaner,none,"),
        unknown,
        "a cleaner of any kind"
    );
    assert_eq!(
        found("cleaner X9,cleaner,none,secret 100 mass %"),
        unknown,
        "of an unknown part"
    );
    let known = [Verdict::Meets; 3];
    assert_eq!(found("cleaner X9,stain,none,"), known);
    assert_eq!(found("cleaner X9,cleaner,none,water 100 mass %"), known);
    // Parts of parts count.
    let wash = found("cleaner X9,cleaner,none,brush wash 100 mass %");
    assert_eq!(wash[0], Verdict::Breach);
}

/// One number is needed at any distance; who wants a smaller one to count within 30 ft writes both.
#[test]
fn a_least_rating_holds_at_any_distance() {
    let found = |measure: &str, plate: &str| {
        let measure = match measure {
            "" => String::new(),
            measure => format!("measure = \"{measure}\"\n"),
        };
        let lines = format!("fixture = [\"extinguisher\"]\n{measure}[where]\nclass = [\"quick\"]");
        let fixtures = format!(
            "fixture,room,kind,rating,x,y\ndoor,finishing,extinguisher,{plate},15 ft,0 ft\n"
        );
        let tables = [
            (
                "rooms.csv",
                "room,use,length,width\nfinishing,finishing,40 ft,20 ft\n",
            ),
            (
                "places.csv",
                "place,room,kind,x,y\nbench,finishing,bench,0 ft,0 ft\n",
            ),
            ("fixtures.csv", &fixtures),
            (
                "inventory.csv",
                "container,product,vessel,place,amount\nA-1,quick liquid,metal,bench,1 gal\n",
            ),
            (
                "products.csv",
                "product,kind,flash_point\nquick liquid,solvent,50 F\n",
            ),
        ];
        verdict(
            &shop(
                pack(&[("reach", rule("within-reach", &lines, "50 ft"))]),
                &tables,
            ),
            "reach",
        )
    };
    assert_eq!(found("40", "5B:C").0, Verdict::Breach);
    assert_eq!(found("40", "40B:C").0, Verdict::Meets);
    assert_eq!(found("40", "ABC").0, Verdict::CannotJudge);
    assert_eq!(found("40 / 5", "5B:C").0, Verdict::Meets);
    // An extinguisher that is there and is for something else is not said to be missing.
    let other = "no extinguisher for class B fires in fixtures.csv".to_string();
    assert_eq!(found("", "2A"), (Verdict::Breach, other));
}

/// A total airflow is not multiplied by anything, and the working does not say so.
#[test]
fn the_working_of_an_airflow_in_total_has_no_product() {
    let found = |value: &str| {
        let tables = [(
            "rooms.csv",
            "room,use,length,width,height,exhaust\nfinishing,finishing,20 ft,10 ft,9 ft,600 cfm\n",
        )];
        let air = rule("air-at-least", "", value);
        let shop = shop(pack(&[("air", air)]), &[&tables[..], &LIQUID].concat());
        let list = findings(&shop);
        let finding = list.iter().find(|f| &*f.rule.id == "air").unwrap();
        assert_eq!(finding.verdict, Verdict::Meets, "{value}");
        finding.working.iter().any(|line| line.contains("× that"))
    };
    assert!(!found("500 cfm"));
    assert!(found("6 /h"));
}

const LIQUID: [(&str, &str); 2] = [
    (
        "inventory.csv",
        "container,product,vessel,place,amount\nA-1,quick liquid,metal,finishing,1 gal\n",
    ),
    (
        "products.csv",
        "product,kind,flash_point\nquick liquid,solvent,50 F\n",
    ),
];

/// The limit under reductions that may both hold is that of both. Those for different levels exclude each other.
#[test]
fn reductions_that_are_unknown_are_all_counted() {
    let found = |adjust: &str, amount: &str, answers: &str| {
        let lines = "per = \"room\"\n[where]\nclass = [\"quick\"]\n";
        let checks = format!("when,check,where,answer\n{answers}");
        let inventory = format!(
            "container,product,vessel,place,amount\nT-1,quick liquid,portable-tank,finishing,{amount}\n"
        );
        let tables = [
            ("checks.csv", checks.as_str()),
            ("inventory.csv", &inventory),
            (
                "products.csv",
                "product,kind,flash_point\nquick liquid,solvent,50 F\n",
            ),
        ];
        let load = rule("total-at-most", lines, "40 gal") + adjust;
        verdict(&shop(pack(&[("load", load)]), &tables), "load").0
    };
    let step = |condition: &str, times: &str| {
        format!("[[adjust]]\n{condition}\ntimes = \"{times}\"\nclause = \"3\"\n")
    };
    let no = |question: &str| format!("answer = \"{question}\"\nanswered = \"no\"");
    let two = step(&no("bonding"), "0.5") + &step(&no("spill-kit"), "0.5");
    assert_eq!(
        found(&two, "15 gal", ""),
        Verdict::CannotJudge,
        "10 to 40 gal"
    );
    assert_eq!(found(&two, "9 gal", ""), Verdict::Meets, "within 10 gal");
    let both = "2026-11-20T09:00,bonding,,no\n2026-11-20T09:00,spill-kit,,no\n";
    assert_eq!(found(&two, "15 gal", both), Verdict::Breach);
    let levels = step("level = [\"basement\"]", "0.5") + &step("level = [\"2\"]", "0.5");
    assert_eq!(found(&levels, "15 gal", ""), Verdict::Meets, "20 or 40 gal");
    // An old "no" neither raises a limit nor keeps one from being lowered.
    let raised = step(&no("bonding"), "2");
    let (new, old) = (
        "2026-11-20T09:00,bonding,,no\n",
        "2024-09-20T09:00,bonding,,no\n",
    );
    assert_eq!(found(&raised, "60 gal", new), Verdict::Meets);
    assert_eq!(found(&raised, "60 gal", old), Verdict::CannotJudge);
    let lowered = step("answer = \"bonding\"", "0.5");
    assert_eq!(found(&lowered, "30 gal", new), Verdict::Meets);
    assert_eq!(found(&lowered, "30 gal", old), Verdict::CannotJudge);
    let kept = step(&no("bonding"), "0.5");
    assert_eq!(
        found(&kept, "30 gal", old),
        Verdict::Breach,
        "a low limit stays"
    );
}

/// What may be a drying oil may be none: a rule about those that are none cannot pass it over.
#[test]
fn an_unknown_oil_may_be_no_drying_oil() {
    let lines = "[where]\ndrying_oil = [\"no\"]\n[never]\nplace = [\"bench\"]";
    let found = |heats: &str| {
        let products = format!("product,kind,flash_point,drying_oil\noil X,other,none,{heats}\n");
        let tables = [
            ("places.csv", "place,room,kind\nbench,finishing,bench\n"),
            (
                "inventory.csv",
                "container,product,place,amount\nO-1,oil X,bench,1 qt\n",
            ),
            ("products.csv", &products),
        ];
        verdict(
            &shop(pack(&[("oil", rule("not-in-place", lines, ""))]), &tables),
            "oil",
        )
        .0
    };
    assert_eq!(found("no"), Verdict::Breach);
    assert_eq!(found("yes"), Verdict::Meets);
    assert_eq!(found(""), Verdict::CannotJudge);
}

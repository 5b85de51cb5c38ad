//! A rule pack of the user's own: begun, checked, adopted rules changed, a question added to the round, and explained.
#![allow(clippy::unwrap_used, clippy::panic)]

use sandarac::audit::Shop;
use sandarac::finding::Verdict;
use sandarac::quantity::Day;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let command = command.current_dir(folder).env("COLUMNS", "80").args(args);
    command.output().unwrap()
}

#[track_caller]
fn said(folder: &Path, args: &[&str], code: i32) -> String {
    let output = run(folder, args);
    let text = [output.stdout, output.stderr].concat();
    let text = String::from_utf8(text).unwrap();
    assert_eq!(output.status.code(), Some(code), "{args:?}\n{text}");
    text
}

/// A folder with the pack to start from, and a shop that is held against it.
fn begun() -> TempDir {
    let folder = TempDir::new().unwrap();
    said(folder.path(), &["rules", "new", "county"], 0);
    said(folder.path(), &["new", "shop"], 0);
    put(
        folder.path(),
        "shop/shop.toml",
        "name = \"Made up\"\nunits = \"us\"\npacks = [\"../county\"]\nemployees = 0\n",
    );
    folder
}

fn put(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).unwrap();
}

#[test]
fn the_pack_to_start_from_passes_its_own_check() {
    let folder = begun();
    let text = said(folder.path(), &["rules", "check", "county"], 0);
    assert!(text.starts_with("county: 1 rule, 6 cases, "), "{text}");
    assert!(
        text.ends_with("adopted as they are. All cases hold.\n"),
        "{text}"
    );
    // It is not written over.
    let again = said(folder.path(), &["rules", "new", "county"], 2);
    assert!(again.ends_with("Nothing was written.\n"), "{again}");
}

#[test]
fn a_change_replaces_the_adopted_limit_and_inherits_the_rest() {
    let folder = begun();
    let inventory = "container,product,vessel,capacity,place,since,amount\n\
        D-1,denatured alcohol,drum,65 gal,cabinet,2020-01-01,65 gal\n";
    put(folder.path(), "shop/inventory.csv", inventory);
    put(folder.path(), "shop/log.csv", "entry,when,what\n");
    put(
        folder.path(),
        "shop/places.csv",
        "place,room,kind,rated\ncabinet,finishing,cabinet,yes\n",
    );
    put(
        folder.path(),
        "shop/rooms.csv",
        "room,use\nfinishing,finishing\n",
    );
    put(folder.path(), "shop/fixtures.csv", "fixture,room,kind\n");
    put(
        folder.path(),
        "shop/checks.csv",
        "when,check,where,answer\n",
    );
    let shop = Shop::open(&folder.path().join("shop"), &[]).unwrap();
    let verdict = |day: &str| {
        let audit = shop.audit(Day::parse(day).unwrap()).unwrap();
        let found = audit
            .findings()
            .iter()
            .find(|f| &*f.rule.id == "cabinet-contents");
        let found = found.unwrap();
        (
            found.verdict,
            found.limit.clone(),
            found.rule.pack.to_string(),
        )
    };
    // 65 gal: within the adopted 120 gal, over the county's 60 gal from its first day on.
    assert_eq!(
        verdict("2024-06-30"),
        (Verdict::Meets, "120 gal".into(), "county".into())
    );
    assert_eq!(
        verdict("2024-07-01"),
        (Verdict::Breach, "60 gal".into(), "county".into())
    );
    // Every report shows both limits.
    let text = said(
        folder.path(),
        &["audit", "shop", "--full", "--no-reports"],
        1,
    );
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("This replaces 120 gal in us-fire-code ("),
        "{text}"
    );
    // Classes are inherited: without them nothing could be judged.
    assert!(
        shop.packs()
            .any(|pack| pack.id == "county" && pack.scheme.is_some())
    );
}

#[test]
fn own_rules_are_listed_and_explained_with_what_they_replace() {
    let folder = begun();
    let text = said(folder.path(), &["rules", "shop"], 0);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("changes us-fire-code"), "{text}");
    assert!(text.contains("adopted from us-fire-code"), "{text}");
    let text = said(
        folder.path(),
        &["rules", "shop", "county/cabinet-contents"],
        0,
    );
    assert!(text.contains("Limit now: 60 gal\n"), "{text}");
    assert!(
        text.contains("From:   replaces 120 gal of us-fire-code"),
        "{text}"
    );
    let text = said(folder.path(), &["rules", "shop", "cabinet-content"], 2);
    assert!(
        text.contains("Did you mean \"cabinet-contents\"?"),
        "{text}"
    );
}

#[test]
fn a_question_of_the_pack_is_asked_on_the_round() {
    let folder = begun();
    let text = said(folder.path(), &["round", "shop", "--csv", "-"], 0);
    assert!(text.contains("key-box"), "{text}");
    // And its answer is known.
    put(
        folder.path(),
        "shop/checks.csv",
        "when,check,where,answer\n2026-11-02T09:00,key-box,,yes\n",
    );
    said(
        folder.path(),
        &["audit", "shop", "--quiet", "--no-reports"],
        1,
    );
}

#[test]
fn faults_of_an_adopting_pack_are_named_at_their_place() {
    let folder = begun();
    put(
        folder.path(),
        "county/rules/cabinet-contents.toml",
        "place = \"cabinet\"\n[limit.2024-07-01]\nvalue = \"60 gal\"\nsource = \"county-ordinance\"\nclause = \"3\"\n\
         read = \"2026-11\"\nseen = \"text\"\n",
    );
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(
        text.starts_with(
            "county/rules/cabinet-contents.toml, line 1: The key \"place\" is unknown here.\n  Known: "
        ),
        "{text}"
    );
    let pack = std::fs::read_to_string(folder.path().join("county/pack.toml")).unwrap();
    put(
        folder.path(),
        "county/pack.toml",
        &pack.replace("us-fire-code", "us-fire-cod"),
    );
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(
        text.contains("There is no pack \"us-fire-cod\".\n  Did you mean \"us-fire-code\"?"),
        "{text}"
    );
    // A pack that adopts itself comes to an end.
    put(
        folder.path(),
        "county/pack.toml",
        &pack.replace("us-fire-code", "../county"),
    );
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(text.contains("leads back to this pack."), "{text}");
}

/// The rest of a rule file: what it limits by, and its source in the pack to start from.
fn limit(value: &str) -> String {
    format!(
        "[limit.2024-07-01]\n{value}source = \"county-ordinance\"\nclause = \"3\"\nread = \"2026-11\"\nseen = \"text\"\n"
    )
}

/// A rule of its own with these lines.
fn own_rule(check: &str, lines: &str, value: &str) -> String {
    let value = match value {
        "" => String::new(),
        value => format!("value = \"{value}\"\n"),
    };
    format!(
        "title = \"A rule\"\ntopic = \"storage\"\ncheck = \"{check}\"\nseverity = \"must\"\nwhy = \"Made up.\"\naction = \"Do it.\"\n{lines}\n{}",
        limit(&value)
    )
}

/// What `rules check` says of the pack to start from with one more rule.
#[track_caller]
fn refused(name: &str, text: &str) -> String {
    let folder = begun();
    put(folder.path(), &format!("county/rules/{name}.toml"), text);
    let said = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(
        said.starts_with(&format!("county/rules/{name}.toml")),
        "{said}"
    );
    said
}

/// The pack to start from, under another name and with another pack adopted.
fn renamed(folder: &Path, name: &str, adopts: &str) {
    std::fs::rename(folder.join("county"), folder.join(name)).unwrap();
    let about = std::fs::read_to_string(folder.join(name).join("pack.toml")).unwrap();
    put(
        folder,
        &format!("{name}/pack.toml"),
        &about.replace("us-fire-code", adopts),
    );
    let settings =
        format!("name = \"Made up\"\nunits = \"us\"\npacks = [\"../{name}\"]\nemployees = 0\n");
    put(folder, "shop/shop.toml", &settings);
}

#[test]
fn a_folder_with_the_name_of_a_built_in_pack_is_refused() {
    for name in ["trade", "Trade", "us-fire-code"] {
        let folder = begun();
        renamed(folder.path(), name, "us-fire-code");
        for args in [
            &["rules", "check", name],
            &["audit", "shop", "--no-reports"][..],
        ] {
            let text = said(folder.path(), args, 2);
            assert!(
                text.contains("is the name of a built-in rule pack."),
                "{text}"
            );
            assert!(text.contains("Rename the folder."), "{text}");
        }
        // Nor can another pack adopt it.
        std::fs::create_dir(folder.path().join("city")).unwrap();
        let about = std::fs::read_to_string(folder.path().join(name).join("pack.toml")).unwrap();
        let about = about.replace("us-fire-code", &format!("../{name}"));
        put(folder.path(), "city/pack.toml", &about);
        let text = said(folder.path(), &["rules", "check", "city"], 2);
        assert!(
            text.contains("is the name of a built-in rule pack."),
            "{text}"
        );
    }
}

/// Rags are no matter of jurisdiction: whoever adopts the trade pack and ends a rule of it ends only its own copy.
#[test]
fn the_rules_about_rags_cannot_be_ended() {
    let folder = begun();
    renamed(folder.path(), "county", "trade");
    std::fs::remove_file(folder.path().join("county/rules/cabinet-contents.toml")).unwrap();
    put(
        folder.path(),
        "county/rules/rags-secured.toml",
        "[limit.2024-07-01]\nended = true\n",
    );
    for (name, text) in [
        (
            "inventory",
            "container,product,vessel,capacity,place,since,amount\nR-1,cotton rags,rag,,bench,2026-11-01,9 pcs\n\
            T-1,tung oil,metal,1 gal,bench,2026-11-01,1 qt\n",
        ),
        (
            "log",
            "entry,when,what,container,amount,into,place\n1,2026-11-23T09:00,soil,R-1,2 pcs,T-1,bench\n",
        ),
        ("rooms", "room,use\nfinishing,finishing\n"),
        ("places", "place,room,kind\nbench,finishing,bench\n"),
        ("fixtures", "fixture,room,kind\n"),
        ("checks", "when,check,where,answer\n"),
    ] {
        put(folder.path(), &format!("shop/{name}.csv"), text);
    }
    let shop = Shop::open(&folder.path().join("shop"), &[]).unwrap_or_else(|why| panic!("{why:?}"));
    let audit = shop.audit(Day::parse("2026-11-24").unwrap()).unwrap();
    let of_rule = audit
        .findings()
        .iter()
        .filter(|f| &*f.rule.id == "rags-secured");
    let found: Vec<_> = of_rule
        .map(|f| (f.rule.pack.to_string(), f.verdict))
        .collect();
    assert!(
        found.contains(&("trade".to_string(), Verdict::Breach)),
        "{found:?}"
    );
}

#[test]
fn a_rule_that_would_mean_something_else_is_refused() {
    let bench = "[never]\nplace = [\"bench\"]";
    for (name, check, lines, value, message) in [
        (
            "acetone",
            "not-in-place",
            "[where]\ncontains = [\"acetonne\"]",
            "",
            "There is no material \"acetonne\".\n  Did you mean \"acetone\"?",
        ),
        (
            "empty",
            "not-in-place",
            "[where]\ncontains = [\"  \"]",
            "",
            "Write the name of a material",
        ),
        (
            "sizes",
            "not-in-place",
            "[where]\nlarger_than = [\"50 gal\", \"5 gal\"]",
            "",
            "Write one volume and one weight at most",
        ),
        (
            "both",
            "not-in-place",
            "[where]\nplace = [\"bench\"]\nnot_place = [\"Bench\"]",
            "",
            "Write \"bench\" in only one of place and not_place.",
        ),
        (
            "rooms",
            "not-in-place",
            "[where]\nroom = [\"office\"]\nnot_room = [\"office\"]",
            "",
            "Write \"office\" in only one of room and not_room.",
        ),
        (
            "share",
            "dilution-at-least",
            "",
            "200 %",
            "Write a share of at most 100 %.",
        ),
        (
            "no-class",
            "each-at-most",
            "",
            "",
            "needs \"class\" in [where]",
        ),
    ] {
        let text = match name {
            "no-class" => {
                own_rule(check, lines, value) + "[limit.2024-07-01.value]\nib = \"1 gal\"\n"
            }
            "share" => own_rule(check, lines, value),
            _ => own_rule(check, &format!("{lines}\n{bench}"), value),
        };
        let said = refused(name, &text);
        assert!(said.contains(message), "{said}");
    }
    // Trimmed, and by any name of a material.
    let folder = begun();
    let rule = own_rule(
        "not-in-place",
        &format!("[where]\ncontains = [\" Chlorine bleach \"]\n{bench}"),
        "",
    );
    put(folder.path(), "county/rules/bleach.toml", &rule);
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(
        text.contains("Every rule needs its worked cases."),
        "{text}"
    );
    assert!(
        text.contains(
            "A shop can use the pack, but its cases do not show that its rules are right."
        ),
        "{text}"
    );
}

#[test]
fn the_same_reduction_twice_is_refused() {
    let step = "[[adjust]]\nlevel = [\"basement\", \"ground\"]\ntimes = \"2\"\nclause = \"3\"\n";
    let again = step.replace("\"basement\", \"ground\"", "\"ground\", \"basement\"");
    let text = own_rule(
        "total-at-most",
        "per = \"shop\"\n[where]\nclass = [\"ib\"]",
        "10 gal",
    );
    let said = refused("twice", &format!("{text}{step}{again}"));
    assert!(
        said.contains("conditions in each [[adjust]] that no other [[adjust]] has"),
        "{said}"
    );
}

/// A new rule does not remove an adopted one by having its name, and a change changes something.
#[test]
fn a_rule_and_an_adopted_rule_of_its_name_are_told_apart() {
    let text = own_rule(
        "total-at-most",
        "per = \"place\"\n[where]\nclass = [\"ia\"]",
        "60 gal",
    );
    let said = refused("cabinet-contents", &text);
    assert!(
        said.contains("The adopted pack \"us-fire-code\" has a rule of this name."),
        "{said}"
    );
    let said = refused("cabinet-content", &limit("value = \"60 gal\"\n"));
    assert!(
        said.contains("Did you mean rules/cabinet-contents.toml?"),
        "{said}"
    );
    assert!(said.contains("1 problem."), "{said}");
}

#[test]
fn a_file_that_would_not_be_read_is_a_problem_and_a_note_is_none() {
    for name in [
        "rules/x.toml.txt",
        "rules/x.TOML",
        "rules/.x.toml",
        "rules/x.tml",
        "x.toml",
        "Checks.csv",
    ] {
        let folder = begun();
        put(folder.path(), &format!("county/{name}"), "");
        let text = said(folder.path(), &["rules", "check", "county"], 2);
        assert!(text.starts_with(&format!("county/{name}")), "{text}");
        assert!(text.contains("This file would not be read."), "{text}");
        let text = said(folder.path(), &["audit", "shop", "--no-reports"], 2);
        assert!(text.contains("This file would not be read."), "{text}");
    }
    let folder = begun();
    std::fs::create_dir(folder.path().join("county/rules/more")).unwrap();
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(text.starts_with("county/rules/more"), "{text}");
    let folder = begun();
    for name in [
        "README.md",
        "notes.txt",
        "rules/README.txt",
        "rules/.cabinet-contents.toml.swp",
        "rules/cabinet-contents.toml~",
    ] {
        put(folder.path(), &format!("county/{name}"), "");
    }
    said(folder.path(), &["rules", "check", "county"], 0);
}

const QUESTIONS: &str =
    "check,question,pass,interval,severity,topic,where,source,seen,grade,if_absent\n";

/// A pack of the shop in a folder of its own, with one question.
fn neighbor(folder: &Path, name: &str, adopts: &str, question: &str) {
    let path = folder.join(name);
    std::fs::create_dir_all(path.join("rules")).unwrap();
    let about = std::fs::read_to_string(folder.join("county/pack.toml")).unwrap();
    put(&path, "pack.toml", &about.replace("us-fire-code", adopts));
    std::fs::copy(
        folder.join("county/sources.toml"),
        path.join("sources.toml"),
    )
    .unwrap();
    let text = own_rule(
        "must-have",
        "per = \"shop\"\nhave = \"answer\"\nanswer = \"exits-clear\"",
        "",
    );
    put(&path, &format!("rules/{name}-rule.toml"), &text);
    put(&path, "checks.csv", &format!("{QUESTIONS}{question}"));
}

#[test]
fn the_question_of_the_pack_that_adopts_wins() {
    let asks = |words: &str| {
        format!("spill-drum,{words},it is there,7 days,must,storage,shop,made up,text,H,wanting\n")
    };
    let folder = begun();
    let path = folder.path();
    neighbor(
        path,
        "state",
        "us-fire-code",
        &asks("The words of the state?"),
    );
    neighbor(path, "city", "../state", &asks("The words of the city?"));
    for packs in [
        "\"../city\"",
        "\"../state\", \"../city\"",
        "\"../city\", \"../state\"",
    ] {
        put(
            path,
            "shop/shop.toml",
            &format!("name = \"Made up\"\nunits = \"us\"\npacks = [{packs}]\nemployees = 0\n"),
        );
        let text = said(path, &["round", "shop", "--csv", "-"], 0);
        assert!(text.contains("The words of the city?"), "{packs}\n{text}");
        assert!(!text.contains("The words of the state?"), "{packs}\n{text}");
    }
    // Two packs that have nothing to do with each other must not share a name.
    neighbor(
        path,
        "town",
        "us-fire-code",
        &asks("The words of the town?"),
    );
    put(
        path,
        "shop/shop.toml",
        "name = \"Made up\"\nunits = \"us\"\npacks = [\"../state\", \"../town\"]\nemployees = 0\n",
    );
    let text = said(path, &["audit", "shop", "--no-reports"], 2);
    assert!(
        text.contains("The question \"spill-drum\" is a duplicate."),
        "{text}"
    );
}

#[test]
fn a_question_in_place_of_a_built_in_one_is_told_and_those_about_rags_stay() {
    let folder = begun();
    let row = |name: &str| {
        format!(
            "{QUESTIONS}{name},Is lunch served?,it is,7 days,must,storage,shop,made up,text,H,wanting\n"
        )
    };
    put(folder.path(), "county/checks.csv", &row("lids-closed"));
    let text = said(folder.path(), &["rules", "check", "county"], 0);
    assert!(
        text.contains("It replaces 1 question of the built-in round: lids-closed."),
        "{text}"
    );
    let text = said(folder.path(), &["rules", "shop", "lids-closed"], 0);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("asked in the words of a rule pack of the shop, not in the built-in ones: \"Is lunch served?\""), "{text}");
    put(folder.path(), "county/checks.csv", &row("rags-accounted"));
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(
        text.contains("\"rags-accounted\" is a built-in question about rags."),
        "{text}"
    );
}

/// A county pack that is no longer used leaves true answers behind. They lock no one out, least of all while rags lie there.
#[test]
fn answers_that_no_pack_asks_for_are_reported_and_stop_nothing() {
    let folder = begun();
    put(
        folder.path(),
        "shop/checks.csv",
        "when,check,where,answer\n2026-11-02T09:00,key-box,,no\n2026-11-02T09:00,lid-closed,,yes\n",
    );
    put(
        folder.path(),
        "shop/shop.toml",
        "name = \"Made up\"\nunits = \"us\"\npacks = []\nemployees = 0\n",
    );
    let text = said(
        folder.path(),
        &[
            "audit",
            "shop",
            "--full",
            "--no-reports",
            "--on",
            "2026-11-24",
        ],
        0,
    );
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Correct the question \"key-box\" in checks.csv, or name the rule pack that asks it in shop.toml."), "{text}");
    assert!(
        text.contains("The last one was no on 2 Nov 2026."),
        "{text}"
    );
    assert!(
        text.contains("Correct \"lid-closed\" in checks.csv if \"lids-closed\" was meant"),
        "{text}"
    );
}

#[test]
fn one_slip_in_a_pack_is_one_problem() {
    let about = std::fs::read_to_string(begun().path().join("county/pack.toml")).unwrap();
    let cases = [
        (
            "pack.toml",
            about.replace("\"us-fire-code\"", "[\"us-fire-code\"]"),
            "Write a text in quotation marks.",
        ),
        (
            "pack.toml",
            about.replace("\"us-fire-code\"", "\"shop\""),
            "There is no pack \"shop\".",
        ),
        (
            "pack.toml",
            about.replace("\"us-fire-code\"", "\"../nowhere\""),
            "The folder is missing.",
        ),
        (
            "checks.csv",
            format!(
                "{QUESTIONS}key-box,Is it there?,it is,soon,must,records,shop,made up,text,H,fine\n"
            ),
            "\"soon\"",
        ),
        (
            "sources.toml",
            "[county-ordinance]\ntitle = \"Ordinance\"\nedition = \"1\"\n".to_string(),
            "The key \"issuer\" is missing",
        ),
        (
            "rules/cabinet-contents.toml",
            limit("value = 60\n"),
            "Write a text in quotation marks.",
        ),
        (
            "rules/cabinet-contents.toml",
            limit("value = \"60 gal\"\n").replace("clause = \"3\"\n", ""),
            "The key \"clause\" is missing from [limit.2024-07-01].",
        ),
        (
            "rules/cabinet-contents.toml",
            limit("value = \"60 gal\"\n").replace("clause = \"3\"\n", "clause = \" \"\n"),
            "Write a text that is not empty.",
        ),
        (
            "classes.toml",
            include_str!("problems/base/pack/classes.toml").replace("made-up", "county-ordinance"),
            "Rules of the adopted pack \"us-fire-code\" name classes that are missing here: ",
        ),
    ];
    for (name, text, message) in cases {
        let folder = begun();
        put(folder.path(), &format!("county/{name}"), &text);
        let text = said(folder.path(), &["rules", "check", "county"], 2);
        assert!(text.contains(message), "{text}");
        assert!(
            text.contains("\n1 problem. The pack cannot be used."),
            "{text}"
        );
    }
    // A pack beside this one is named by its path.
    let folder = begun();
    neighbor(folder.path(), "state", "us-fire-code", "");
    put(
        folder.path(),
        "county/pack.toml",
        &about.replace("us-fire-code", "state"),
    );
    let text = said(folder.path(), &["rules", "check", "county"], 2);
    assert!(text.contains("Did you mean \"../state\"?"), "{text}");
    put(
        folder.path(),
        "shop/shop.toml",
        "name = \"Made up\"\nunits = \"us\"\npacks = [\"state\"]\nemployees = 0\n",
    );
    let text = said(folder.path(), &["audit", "shop", "--no-reports"], 2);
    assert!(text.contains("Did you mean \"../state\"?"), "{text}");
}

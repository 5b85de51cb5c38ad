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
            .find(|f| &*f.rule == "cabinet-contents");
        let found = found.unwrap();
        (found.verdict, found.limit.clone(), found.pack.to_string())
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

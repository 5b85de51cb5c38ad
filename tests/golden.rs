//! Whole runs of the program: what it prints, what it writes, how it ends.
//!
//! `SNAPSHOTS=overwrite cargo test --test golden` writes `tests/golden/` and `reports/` again; read the difference before
//! committing it.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/files.rs"]
mod files;
#[path = "golden/json.rs"]
mod json;
#[path = "golden/labels.rs"]
mod labels;
#[path = "golden/names.rs"]
mod names;
#[path = "golden/shops.rs"]
mod odd_shops;

use sandarac::quantity::Day;
use sandarac::report::FORMATS;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;
use unicode_width::UnicodeWidthStr;

/// The day of the demo, and of the shop to start from.
const DEMO_DAY: &str = "2026-10-31";
const NEW_DAY: &str = "2026-11-24";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn program(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).args(args).env_remove("COLUMNS");
    command
}

fn run(folder: &Path, args: &[&str]) -> Output {
    program(folder, args).output().unwrap()
}

/// What a run printed, if it ended with this code and printed nothing where it should not.
#[track_caller]
fn said(folder: &Path, args: &[&str], code: i32) -> String {
    let output = run(folder, args);
    let (out, err) = (text(&output.stdout), text(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "{args:?}\n{out}\n{err}");
    let (wanted, other) = if code == 2 { (err, out) } else { (out, err) };
    assert!(other.is_empty(), "{args:?}: {other}");
    wanted
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A folder with the demo shop and a new shop in it.
fn shops() -> TempDir {
    let folder = TempDir::new().unwrap();
    said(folder.path(), &["demo", "--write", "demo-shop"], 0);
    said(folder.path(), &["new", "my-shop"], 0);
    folder
}

fn overwrites() -> bool {
    std::env::var("SNAPSHOTS").is_ok_and(|word| word == "overwrite")
}

/// Compares with a file of the project, or writes it.
#[track_caller]
fn same_as(path: &Path, found: &str) {
    if overwrites() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, found).unwrap();
        return;
    }
    let there = std::fs::read_to_string(path).unwrap_or_default();
    let differs = |(a, b): &(&str, &str)| a != b;
    let first = there
        .lines()
        .zip(found.lines())
        .position(|pair| differs(&pair));
    let line = first.unwrap_or(there.lines().count().min(found.lines().count()));
    assert!(
        there == found,
        "{} differs from line {} on: `{}` there, `{}` now",
        path.display(),
        line + 1,
        there.lines().nth(line).unwrap_or(""),
        found.lines().nth(line).unwrap_or("")
    );
}

#[track_caller]
fn golden(name: &str, found: &str) {
    same_as(&root().join("tests/golden").join(name), found);
}

fn files_in(folder: &Path) -> BTreeSet<String> {
    let list = std::fs::read_dir(folder).unwrap();
    list.map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect()
}

fn report(ending: &str) -> String {
    format!("{DEMO_DAY}-audit.{ending}")
}

/// The JSON of an audit that ends with findings.
fn as_json(folder: &Path, args: &[&str]) -> Value {
    let mut all = vec!["audit"];
    all.extend(args);
    all.extend(["--no-reports", "--json", "-"]);
    let output = run(folder, &all);
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{}",
        text(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

fn demo_json() -> Value {
    as_json(shops().path(), &["demo-shop", "--on", DEMO_DAY])
}

#[test]
fn the_screen() {
    let folder = shops();
    let folder = folder.path();
    let runs: [(&str, &[&str], i32); 18] = [
        ("demo.txt", &["demo"], 0),
        ("demo-full.txt", &["demo", "--full"], 0),
        ("demo-write.txt", &["demo", "--write", "other-shop"], 0),
        ("new.txt", &["new", "new-shop"], 0),
        ("new-again.txt", &["new", "new-shop"], 2),
        (
            "new-audit.txt",
            &["audit", "my-shop", "--on", NEW_DAY, "--no-reports"],
            1,
        ),
        ("stock.txt", &["stock", "demo-shop", "--on", DEMO_DAY], 0),
        (
            "stock-why.txt",
            &["stock", "demo-shop", "--on", DEMO_DAY, "--why", "J-3"],
            0,
        ),
        (
            "stock-reconcile.txt",
            &["stock", "demo-shop", "--on", DEMO_DAY, "--reconcile"],
            0,
        ),
        (
            "stock-use-first.txt",
            &["stock", "demo-shop", "--on", DEMO_DAY, "--use-first"],
            0,
        ),
        (
            "stock-expiring.txt",
            &["stock", "demo-shop", "--on", DEMO_DAY, "--expiring", "60d"],
            0,
        ),
        (
            "stock-running-low.txt",
            &["stock", "demo-shop", "--on", DEMO_DAY, "--running-low"],
            0,
        ),
        (
            "close.txt",
            &["close", "demo-shop", "--at", "2026-10-31T18:00"],
            1,
        ),
        ("rules.txt", &["rules", "demo-shop", "--on", DEMO_DAY], 0),
        (
            "rules-one.txt",
            &["rules", "demo-shop", "cabinet-contents"],
            0,
        ),
        (
            "rules-nothing-like-it.txt",
            &["rules", "nothing-like-it"],
            2,
        ),
        ("rules-packs.txt", &["rules", "--packs"], 0),
        ("rules-kinds.txt", &["rules", "--kinds"], 0),
    ];
    for (name, args, code) in runs {
        let found = said(folder, args, code);
        golden(name, &found);
        // The rows of a log are shown as they stand, however long; and so are the titles of packs.
        let as_it_stands = matches!(name, "stock-why.txt" | "rules-packs.txt");
        let wide = found
            .lines()
            .find(|line| line.width() > 80 && !line.contains(" sandarac log "));
        assert!(
            wide.is_none() || as_it_stands,
            "{args:?} is wider than eighty columns: {wide:?}"
        );
        assert!(
            !found.contains('\u{1b}'),
            "{args:?} is coloured into a pipe"
        );
        let trailing = found.lines().find(|line| line.ends_with(' '));
        assert_eq!(trailing, None, "{args:?}: a space at the end of a line");
    }
}

/// The demo that is built in and the demo that is written out are one shop.
#[test]
fn the_demo_written_out_audits_alike() {
    let folder = shops();
    let written = said(
        folder.path(),
        &["audit", "demo-shop", "--on", DEMO_DAY, "--no-reports"],
        1,
    );
    assert_eq!(written, said(folder.path(), &["demo"], 0));
    let names = files_in(&folder.path().join("demo-shop"));
    assert_eq!(names, files_in(&root().join("data/demo")));
    for name in names {
        let there = std::fs::read(folder.path().join("demo-shop").join(&name)).unwrap();
        let data = std::fs::read(root().join("data/demo").join(&name)).unwrap();
        assert!(there == data, "{name}");
    }
}

#[test]
fn the_committed_reports_are_current() {
    let folder = shops();
    said(folder.path(), &["audit", "demo-shop", "--on", DEMO_DAY], 1);
    let reports = folder.path().join("demo-shop/reports");
    let day = Day::parse(DEMO_DAY).unwrap();
    let wanted: BTreeSet<String> = FORMATS.iter().map(|format| format.file(day)).collect();
    assert_eq!(files_in(&reports), wanted, "these and nothing half written");
    for ending in ["csv", "html", "json", "md"] {
        let found = std::fs::read_to_string(reports.join(report(ending))).unwrap();
        same_as(&root().join("reports").join(report(ending)), &found);
    }
}

/// A second run writes the same bytes: no clock, no chance, no order of a hash table.
#[test]
fn two_runs_write_the_same() {
    let folder = shops();
    let args = [
        "audit",
        "demo-shop",
        "--on",
        DEMO_DAY,
        "--no-reports",
        "--json",
        "-",
    ];
    let first = said(folder.path(), &args, 1);
    for _ in 0..3 {
        assert!(said(folder.path(), &args, 1) == first);
    }
}

#[test]
fn how_a_run_ends() {
    let folder = shops();
    let folder = folder.path();
    let ends = |args: &[&str]| run(folder, args).status.code().unwrap();
    let quiet = ["audit", "quiet-shop", "--on", "2026-11-24", "--no-reports"];
    let shop = folder.join("quiet-shop");
    std::fs::create_dir(&shop).unwrap();
    for (name, text) in [
        (
            "shop.toml",
            "name = \"q\"\nunits = \"us\"\npacks = [\"trade\"]\nemployees = 0\nbusiness = false\n",
        ),
        ("rooms.csv", "room,use\nbench,bench\n"),
        ("places.csv", "place,room,kind\nshelf,bench,shelf\n"),
        (
            "inventory.csv",
            "container,product,vessel,capacity,place,amount\nM-1,mineral spirits,metal,1 qt,shelf,1 pt\n",
        ),
    ] {
        std::fs::write(shop.join(name), text).unwrap();
    }
    let with = |weight| ends(&[&quiet[..], &["--fail-on", weight]].concat());
    assert_eq!((ends(&quiet), with("must"), with("should")), (0, 0, 1));
    let demo = ["audit", "demo-shop", "--on", DEMO_DAY, "--no-reports"];
    let with = |weight| ends(&[&demo[..], &["--fail-on", weight]].concat());
    assert_eq!(
        (ends(&demo), with("must"), with("should"), with("note")),
        (1, 1, 1, 1)
    );
    let wrong: [&[&str]; 9] = [
        &[],
        &["no-such-command"],
        &["audit", "no-such-shop"],
        &["audit"],
        &["audit", "demo-shop", "--on", "24.11.2026"],
        &["audit", "demo-shop", "--fail-on", "never"],
        &["audit", "demo-shop", "--pack", "nowhere"],
        &["stock", "demo-shop", "--why", "J-99"],
        &["rules", "check", "no-such-pack"],
    ];
    for args in wrong {
        let output = run(folder, args);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(
            output.stdout.is_empty() && !output.stderr.is_empty(),
            "{args:?}"
        );
    }
    assert!(!folder.join("no-such-shop").exists());
}

#[test]
fn one_pack_alone() {
    let folder = shops();
    for pack in ["us-workplace", "us-fire-code", "trade"] {
        let found = as_json(folder.path(), &["my-shop", "--on", NEW_DAY, "--pack", pack]);
        let packs: BTreeSet<&str> = list(&found, "findings")
            .iter()
            .map(|f| word(f, "pack"))
            .collect();
        assert_eq!(
            packs,
            BTreeSet::from([pack, "trade"]),
            "trade always applies"
        );
    }
}

/// What the owner accepted under one pack is no slip when another pack is asked for alone.
#[test]
fn one_pack_alone_of_a_shop_that_accepts() {
    let folder = shops();
    for pack in ["us-workplace", "us-fire-code", "trade"] {
        as_json(
            folder.path(),
            &["demo-shop", "--on", DEMO_DAY, "--pack", pack],
        );
    }
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let folder = shops();
    let runs: [&[&str]; 7] = [
        &["demo"],
        &["audit", "demo-shop", "--on", DEMO_DAY],
        &["close", "demo-shop", "--at", "2026-10-31T18:00"],
        &["audit", "demo-shop", "--on", DEMO_DAY, "--json", "-"],
        &["stock", "demo-shop", "--on", DEMO_DAY],
        &["rules", "demo-shop"],
        &["rules", "--packs"],
    ];
    for args in runs {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let child = program(folder.path(), args)
            .stdout(writer)
            .stderr(Stdio::piped())
            .spawn();
        let output = child.unwrap().wait_with_output().unwrap();
        assert!(
            output.stderr.is_empty(),
            "{args:?}: {}",
            text(&output.stderr)
        );
        // What was found is found, whether or not anybody reads it.
        let read = program(folder.path(), args).output().unwrap();
        assert_eq!(output.status.code(), read.status.code(), "{args:?}");
    }
}

fn list<'v>(value: &'v Value, key: &str) -> &'v Vec<Value> {
    value[key]
        .as_array()
        .unwrap_or_else(|| panic!("{key} is no list"))
}

fn word<'v>(value: &'v Value, key: &str) -> &'v str {
    value[key]
        .as_str()
        .unwrap_or_else(|| panic!("{key} is no text in {value}"))
}

/// The entries that are named make the amount: corrections and an emptied can among them.
#[test]
fn why_names_every_entry() {
    let folder = shops();
    let log = "entry,when,what,container,amount,into,place\n\
        1,2026-11-03T09:00,use,A-1,40 fl oz,,\n2,2026-11-04T09:00,correct,,4 fl oz,1,\n\
        3,2026-11-05T09:00,soil,R-1,2 pcs,V-1,\n4,2026-11-05T10:00,bin,R-1,2 pcs,,rag can\n\
        5,2026-11-05T17:00,empty,,,,rag can\n";
    std::fs::write(folder.path().join("my-shop/log.csv"), log).unwrap();
    for (container, line) in [("A-1", "log.csv:3 "), ("R-1", "log.csv:6 ")] {
        let args = ["stock", "my-shop", "--on", NEW_DAY, "--why", container];
        let told = said(folder.path(), &args, 0);
        assert!(told.contains(line), "{told}");
    }
}

/// The limits of US packs, in the units of a metric shop: no gallon, foot or pound is left in the list or in a rule.
#[test]
fn a_metric_shop_reads_rules_in_its_units() {
    let folder = shops();
    let path = folder.path().join("demo-shop/shop.toml");
    let settings = std::fs::read_to_string(&path).unwrap();
    let metric = settings.replace("= \"us\"\n", "= \"metric\"\n");
    assert_ne!(settings, metric);
    std::fs::write(&path, metric).unwrap();
    for words in [
        &["rules", "demo-shop"][..],
        &["rules", "demo-shop", "cabinet-contents"],
        &["rules", "demo-shop", "extinguisher-by-storage"],
        &["rules", "demo-shop", "ten-gallons-outside-cabinets"],
    ] {
        let output = run(folder.path(), words);
        let text = String::from_utf8(output.stdout).unwrap();
        // A key stays as it is written in the rule's file, and what a kind of check takes is the same for all shops.
        let text = text.split("kind of check:").next().unwrap();
        let lines = text.lines().filter(|line| !line.starts_with("Key:"));
        let words: Vec<&str> = lines.flat_map(str::split_whitespace).collect();
        for pair in words.windows(2) {
            let is_number = pair[0].starts_with(|c: char| c.is_ascii_digit());
            let unit = pair[1].trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
            let is_us = ["gal", "qt", "pt", "ft", "fl", "oz", "lb", "cfm", "F"].contains(&unit);
            assert!(!(is_number && is_us), "{pair:?}: {text}");
        }
    }
}

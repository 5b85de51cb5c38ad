//! Whole runs of the program: what it prints, what it writes, how it ends.
//!
//! `SNAPSHOTS=overwrite cargo test --test golden` writes `tests/golden/` and `reports/` anew; read the difference before
//! committing it.
#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
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
fn json(folder: &Path, args: &[&str]) -> Value {
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
    json(shops().path(), &["demo-shop", "--on", DEMO_DAY])
}

#[test]
fn the_screen() {
    let folder = shops();
    let folder = folder.path();
    let runs: [(&str, &[&str], i32); 12] = [
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
        ("rules.txt", &["rules", "demo-shop", "--on", DEMO_DAY], 0),
        ("explain.txt", &["explain", "cabinet-contents"], 0),
        (
            "explain-nothing-like-it.txt",
            &["explain", "nothing-like-it"],
            2,
        ),
        ("packs.txt", &["packs"], 0),
    ];
    for (name, args, code) in runs {
        let found = said(folder, args, code);
        golden(name, &found);
        // The rows of a log are shown as they stand, however long; and so are the titles of packs.
        let as_it_stands = matches!(name, "stock-why.txt" | "packs.txt");
        let wide = found
            .lines()
            .find(|line| line.width() > 80 && !line.starts_with("error"));
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
    let endings = ["csv", "json", "md"];
    let wanted: BTreeSet<String> = endings.iter().map(|ending| report(ending)).collect();
    assert_eq!(files_in(&reports), wanted, "these and nothing half written");
    for ending in endings {
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
        ("inventory.csv", "container,product\n"),
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
        &["packs", "check", "no-such-pack"],
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
        let found = json(folder.path(), &["my-shop", "--on", NEW_DAY, "--pack", pack]);
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
#[ignore = "awaited: `--pack` takes an acceptance or a local limit of a pack left out for a slip, and ends with 2"]
fn one_pack_alone_of_a_shop_that_accepts() {
    let folder = shops();
    for pack in ["us-workplace", "us-fire-code", "trade"] {
        json(
            folder.path(),
            &["demo-shop", "--on", DEMO_DAY, "--pack", pack],
        );
    }
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let folder = shops();
    let runs: [&[&str]; 5] = [
        &["demo"],
        &["audit", "demo-shop", "--on", DEMO_DAY, "--json", "-"],
        &["stock", "demo-shop", "--on", DEMO_DAY],
        &["rules", "demo-shop"],
        &["packs"],
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
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{args:?}: {:?}",
            output.status
        );
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

fn keys(value: &Value) -> BTreeSet<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

#[track_caller]
fn has(value: &Value, documented: &[&str]) {
    let there = keys(value);
    for key in documented {
        assert!(there.contains(key), "{key} is missing from {there:?}");
    }
}

#[track_caller]
fn is_quantity(value: &Value) {
    if value.is_null() {
        return;
    }
    assert_eq!(keys(value), BTreeSet::from(["unit", "value"]), "{value}");
    let digits = word(value, "value");
    let plain = digits.strip_prefix('-').unwrap_or(digits);
    assert!(plain.starts_with(|c: char| c.is_ascii_digit()), "{value}");
    assert!(
        plain.chars().all(|c| c.is_ascii_digit() || c == '.'),
        "{value}"
    );
    assert!(!word(value, "unit").is_empty());
}

/// The keys that programs may lean on.
#[test]
fn the_json_has_its_documented_keys() {
    let found = demo_json();
    let top = [
        "format",
        "on",
        "shop",
        "packs",
        "counts",
        "findings",
        "stock",
        "use_by_month",
        "air",
        "cautions",
        "problems",
    ];
    assert_eq!(keys(&found), BTreeSet::from(top));
    assert_eq!(
        (&found["format"], word(&found, "on")),
        (&Value::from(1), DEMO_DAY)
    );
    assert!(list(&found, "problems").is_empty());
    for key in ["packs", "findings", "stock", "use_by_month", "cautions"] {
        assert!(!list(&found, key).is_empty(), "{key}");
    }
    for row in list(&found, "stock") {
        has(
            row,
            &[
                "container",
                "product",
                "place",
                "room",
                "amount",
                "capacity",
                "age_days",
                "use_by",
                "class",
            ],
        );
        is_quantity(&row["amount"]);
        is_quantity(&row["capacity"]);
        assert!(row["class"].is_object());
    }
    for row in list(&found, "air") {
        has(
            row,
            &[
                "room",
                "volume",
                "air_changes_per_hour",
                "session",
                "components",
                "peak_share_of_lel",
                "airflow_for_fire",
                "airflow_for_health",
                "minutes_to_clear",
            ],
        );
        for part in list(row, "components") {
            has(part, &["substance", "peak_ppm", "mean_8h_ppm", "limits"]);
        }
    }
}

#[test]
fn every_finding_has_every_key() {
    let found = demo_json();
    let findings = list(&found, "findings");
    let documented = [
        "rule", "pack", "topic", "subject", "severity", "verdict", "observed", "limit", "margin",
        "working", "citation", "action", "evidence", "accepted",
    ];
    let all = keys(&findings[0]);
    for finding in findings {
        has(finding, &documented);
        assert_eq!(keys(finding), all, "the same keys in every finding");
        assert_eq!(keys(&finding["subject"]), BTreeSet::from(["id", "kind"]));
        let kinds = ["container", "place", "room", "rag", "check", "shop"];
        assert!(
            kinds.contains(&word(&finding["subject"], "kind")),
            "{finding}"
        );
        has(
            &finding["citation"],
            &["document", "edition", "clause", "in_force", "seen"],
        );
        for key in ["document", "clause"] {
            assert!(!word(&finding["citation"], key).is_empty(), "{finding}");
        }
        for key in ["observed", "limit", "margin"] {
            is_quantity(&finding[key]);
        }
        for key in ["working", "evidence"] {
            assert!(finding[key].is_array());
        }
        assert!(!word(finding, "action").is_empty() && !word(finding, "title").is_empty());
    }
    let counts = &found["counts"];
    assert_eq!(counts["findings"], Value::from(findings.len()));
    for verdict in ["breach", "near", "meets", "cannot-judge", "not-in-force"] {
        let seen = findings
            .iter()
            .filter(|f| word(f, "verdict") == verdict)
            .count();
        assert_eq!(counts[verdict], Value::from(seen), "{verdict}");
        assert!(seen > 0, "the demo shows no {verdict}");
    }
    let ids: BTreeSet<String> = list(&found, "packs")
        .iter()
        .map(|p| word(p, "id").into())
        .collect();
    assert!(findings.iter().all(|f| ids.contains(word(f, "pack"))));
}

/// Every row that a finding rests on is a row: neither blank nor a comment nor beyond the end. Only shop.toml, which is
/// no table, may be named as a whole.
#[test]
fn every_piece_of_evidence_is_a_row() {
    let found = demo_json();
    for finding in list(&found, "findings") {
        for place in list(finding, "evidence") {
            if place == "shop.toml" {
                continue;
            }
            let (file, line) = place.as_str().unwrap().rsplit_once(':').unwrap();
            let path = [root().join("data/demo").join(file), root().join(file)];
            let path = path
                .iter()
                .find(|p| p.exists())
                .unwrap_or_else(|| panic!("{place}: no such file"));
            let text = std::fs::read_to_string(path).unwrap();
            let row = text
                .lines()
                .nth(line.parse::<usize>().unwrap() - 1)
                .unwrap_or("");
            assert!(
                !row.trim().is_empty() && !row.starts_with('#'),
                "{place}: `{row}`"
            );
        }
    }
}

/// A margin is what lies between the number observed and its limit, exactly.
#[test]
fn every_margin_is_the_difference() {
    let found = demo_json();
    let mut seen = 0;
    for finding in list(&found, "findings") {
        let [observed, limit, margin] = ["observed", "limit", "margin"].map(|key| &finding[key]);
        if margin.is_null() {
            continue;
        }
        let unit = word(margin, "unit");
        assert!(
            unit == word(observed, "unit") && unit == word(limit, "unit"),
            "{finding}"
        );
        let [a, b, between] = [observed, limit, margin].map(|v| tens(word(v, "value")));
        assert!(between == b - a || between == a - b, "{finding}");
        let verdict = word(finding, "verdict");
        if finding["accepted"].is_null() {
            assert_eq!(
                between < 0,
                verdict == "breach" || finding["unconfirmed"] == true && between < 0,
                "{finding}"
            );
        }
        seen += 1;
    }
    assert!(seen > 5, "only {seen} margins");
}

/// A decimal text as a whole number of its 28th decimal.
fn tens(digits: &str) -> i128 {
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    format!("{whole}{part:0<28}").parse().unwrap()
}

/// A shop whose names a spreadsheet would run.
fn hostile_shop(folder: &Path) -> PathBuf {
    let shop = folder.join("hostile-shop");
    std::fs::create_dir(&shop).unwrap();
    let tables = [
        (
            "shop.toml",
            "name = \"=1+1\"\nunits = \"us\"\npacks = [\"us-workplace\"]\nemployees = 1\nbusiness = true\n",
        ),
        (
            "rooms.csv",
            "room,use,length,width,height,level\n@room,finishing,20 ft,12 ft,9 ft,ground\n",
        ),
        (
            "places.csv",
            "place,room,kind\n+bench,@room,bench\n-can,@room,oily-waste-can\n",
        ),
        (
            "inventory.csv",
            "container,product,vessel,capacity,place,since,amount,labelled\n\
             =cmd|' /C calc'!A0,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             +1,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             -1,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             \"@x, \"\"y\"\"\nz | <b> `\",@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n\
             \u{1b}[31mred,@spirit,glass,2 gal,+bench,2026-11-02,1 gal,no\n",
        ),
    ];
    for (name, text) in tables {
        std::fs::write(shop.join(name), text).unwrap();
    }
    shop
}

#[test]
fn the_csv_runs_nothing_and_leaves_nothing_out() {
    let folder = shops();
    hostile_shop(folder.path());
    for (shop, day) in [("demo-shop", DEMO_DAY), ("hostile-shop", NEW_DAY)] {
        said(folder.path(), &["audit", shop, "--on", day], 1);
        let reports = folder.path().join(shop).join("reports");
        let table = std::fs::read_to_string(reports.join(format!("{day}-audit.csv"))).unwrap();
        let object = std::fs::read_to_string(reports.join(format!("{day}-audit.json"))).unwrap();
        let found: Value = serde_json::from_str(&object).unwrap();
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let columns = reader.headers().unwrap().clone();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(rows.len(), list(&found, "findings").len());
        for (row, finding) in rows.iter().zip(list(&found, "findings")) {
            assert_eq!(row.len(), columns.len());
            for cell in row {
                assert!(
                    !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                    "{cell}"
                );
            }
            let rule = columns.iter().position(|name| name == "rule").unwrap();
            assert_eq!(&row[rule], word(finding, "rule"), "in the same order");
        }
    }
}

/// Names from a file cannot steer a terminal, break a table or open a tag.
#[test]
fn names_are_shown_as_names() {
    let folder = shops();
    hostile_shop(folder.path());
    let screen = said(
        folder.path(),
        &["audit", "hostile-shop", "--on", NEW_DAY, "--full"],
        1,
    );
    let stock = said(
        folder.path(),
        &["stock", "hostile-shop", "--on", NEW_DAY],
        0,
    );
    assert!(!screen.contains('\u{1b}') && !stock.contains('\u{1b}'));
    let path = folder
        .path()
        .join(format!("hostile-shop/reports/{NEW_DAY}-audit.md"));
    let page = std::fs::read_to_string(path).unwrap();
    assert!(!page.contains('\u{1b}') && !page.contains("<b>"), "{page}");
    let mut columns = None;
    for line in page.lines() {
        let bars = line.replace("\\|", "").matches('|').count();
        columns = match (line.starts_with('|'), columns) {
            (false, _) => None,
            (true, None) => Some(bars),
            (true, Some(wanted)) => {
                assert_eq!(bars, wanted, "{line}");
                Some(wanted)
            }
        };
    }
}

/// A run that fails leaves the reports that were there, and nothing half written.
#[test]
fn reports_are_whole_or_not_at_all() {
    let folder = shops();
    let shop = folder.path().join("demo-shop");
    let reports = shop.join("reports");
    let args = ["audit", "demo-shop", "--on", DEMO_DAY];
    said(folder.path(), &args, 1);
    let before = std::fs::read(reports.join(report("json"))).unwrap();
    let log = std::fs::read_to_string(shop.join("log.csv")).unwrap();
    std::fs::write(shop.join("log.csv"), log.replace("fl oz", "jars")).unwrap();
    said(folder.path(), &args, 2);
    assert!(std::fs::read(reports.join(report("json"))).unwrap() == before);
    assert_eq!(files_in(&reports).len(), 3);
    // A folder in the place of a report: that report cannot be written, and no other name is left behind.
    std::fs::write(shop.join("log.csv"), log).unwrap();
    std::fs::remove_file(reports.join(report("json"))).unwrap();
    std::fs::create_dir(reports.join(report("json"))).unwrap();
    let told = said(folder.path(), &args, 2);
    assert!(
        told.starts_with("error: ") && told.contains("cannot be written"),
        "{told}"
    );
    let wanted: BTreeSet<String> = ["csv", "json", "md"]
        .iter()
        .map(|ending| report(ending))
        .collect();
    assert_eq!(files_in(&reports), wanted);
}

/// Nothing is made in a folder that is no shop, or whose files cannot be trusted.
#[test]
fn nothing_is_written_before_the_shop_reads_cleanly() {
    let folder = shops();
    let shop = folder.path().join("my-shop");
    std::fs::write(shop.join("rooms.csv"), "room,use\nbench,kitchen\n").unwrap();
    said(
        folder.path(),
        &["audit", "my-shop", "--on", NEW_DAY, "--json", "out.json"],
        2,
    );
    assert!(!shop.join("reports").exists() && !folder.path().join("out.json").exists());
}

#[cfg(unix)]
#[test]
fn a_link_does_not_lead_reports_out_of_the_shop() {
    let folder = shops();
    let outside = folder.path().join("outside");
    std::fs::create_dir(&outside).unwrap();
    std::os::unix::fs::symlink(&outside, folder.path().join("my-shop/reports")).unwrap();
    let told = said(folder.path(), &["audit", "my-shop", "--on", NEW_DAY], 2);
    assert!(told.contains("leads out of the shop folder"), "{told}");
    assert!(files_in(&outside).is_empty());
}

//! The shelf: what to use first, what runs out of its time, what runs low, and how much may be bought.
//!
//! Expected days and amounts are worked by hand from the rows given here and from `data/keeping.csv`, whose own sources are
//! held in `tests/published/keeping_times.rs`.
#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const SHOP: &str = "name = \"t\"\nunits = \"metric\"\npacks = [\"us-fire-code\"]\nemployees = 0\nbusiness = true\n";
const PRODUCTS: &str = "product,kind,flash_point,boiling_point,drying_oil,keeps_opened\n\
    spirit,solvent,55 F,173 F,no,\nmy varnish,oil-varnish,104 F,310 F,yes,\n\
    house polish,shellac,55 F,173 F,no,30 days\nmystery,cleaner,,,,\n";
const HEAD: &str =
    "container,product,lot,vessel,capacity,place,since,amount,opened,made,best_before\n";
const LOG: &str = "entry,when,what,container,amount,into,minutes,note\n";

fn shop(inventory: &str, log: &str, more: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    let shop = format!("{SHOP}{more}");
    let inventory = format!("{HEAD}{inventory}");
    let log = format!("{LOG}{log}");
    for (name, text) in [
        ("shop.toml", shop.as_str()),
        (
            "rooms.csv",
            "room,use,level,sprinklered\nroom,finishing,ground,no\n",
        ),
        ("places.csv", "place,room,kind,rated\nbench,room,bench,\n"),
        ("products.csv", PRODUCTS),
        ("inventory.csv", &inventory),
        ("log.csv", &log),
    ] {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).env("COLUMNS", "140");
    command.args(args).output().unwrap()
}

#[track_caller]
fn stock(folder: &Path, on: &str, flags: &[&str]) -> String {
    let output = run(folder, &[&["stock", ".", "--on", on], flags].concat());
    let told = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(0), "{told}");
    String::from_utf8(output.stdout).unwrap()
}

/// The cells of the rows of a table, by the cell in one column.
fn rows(text: &str) -> Vec<Vec<String>> {
    text.lines()
        .filter(|line| line.contains('|') && !line.contains("---"))
        .map(|line| {
            line.split('|')
                .map(|cell| cell.trim().to_string())
                .collect()
        })
        .collect()
}

/// container → (use by, is), in the order of the table.
fn used_first(text: &str) -> Vec<(String, String, String)> {
    rows(text)
        .into_iter()
        .skip(1)
        .map(|row| (row[2].clone(), row[4].clone(), row[5].clone()))
        .collect()
}

fn of<'r>(rows: &'r [(String, String, String)], container: &str) -> (&'r str, &'r str) {
    let row = rows.iter().find(|(name, _, _)| name == container);
    let (_, by, is) = row.unwrap_or_else(|| panic!("no {container} in {rows:?}"));
    (by, is)
}

/// By use-by day, then opened before sealed, then the oldest; what is past or failed goes on no work.
#[test]
fn what_to_use_first() {
    // 24 months from opening; 36 from arrival to a test, and no day to throw out, for what is sealed.
    let inventory = "V-1,my varnish,,metal,1 L,bench,2026-01-01,1 L,2026-01-01,,\n\
        V-2,my varnish,,metal,1 L,bench,2025-01-01,1 L,2025-01-01,,\n\
        V-3,my varnish,,metal,1 L,bench,2026-03-01,1 L,,,\n\
        V-4,my varnish,,metal,1 L,bench,2026-02-01,1 L,,,\n\
        V-5,my varnish,,metal,1 L,bench,2024-01-01,1 L,2024-01-01,,\n\
        S-1,spirit,,metal,1 L,bench,2026-03-01,1 L,,,\n\
        S-2,spirit,,metal,1 L,bench,2026-02-01,1 L,,,\n\
        S-3,spirit,,metal,1 L,bench,2026-04-01,1 L,2026-04-02,,\n";
    let folder = shop(inventory, "", "");
    let text = stock(folder.path(), "2026-06-01", &["--use-first"]);
    let order: Vec<String> = used_first(&text).into_iter().map(|row| row.0).collect();
    assert_eq!(
        order,
        ["V-2", "V-1", "V-4", "V-3", "V-5", "S-3", "S-2", "S-1"],
        "{text}"
    );
    let list = used_first(&text);
    assert_eq!(of(&list, "V-2"), ("1 Jan 2027", "test"));
    assert_eq!(of(&list, "V-1"), ("1 Jan 2028", "good"));
    assert_eq!(of(&list, "V-5"), ("1 Jan 2026", "expired"));
    assert_eq!(of(&list, "S-1"), ("", ""), "no keeping time in print");
    assert!(
        text.contains("[data/keeping.csv:20]"),
        "the row is named: {text}"
    );
}

/// A mixed jar runs by its own rule from the day it was mixed, whatever the flakes; their lot and age are named.
#[test]
fn a_mixed_jar_never_outlives_its_rule() {
    let inventory = "F-1,bleached shellac flakes,BL-1,bag,1 kg,bench,2026-05-01,500 g,,,\n\
        S-1,spirit,,metal,1 L,bench,2026-05-01,1 L,,,\n\
        J-1,\"shellac 2 lb cut, bleached\",,glass,1 L,bench,2026-05-01,0 L,,,\n";
    let log = "1,2026-06-01T09:00,mix,S-1,300 mL,J-1,,\n2,2026-06-01T09:05,mix,F-1,60 g,J-1,,\n\
        3,2026-08-01T09:00,mix,F-1,10 g,J-1,,\n";
    let folder = shop(inventory, log, "");
    let text = stock(folder.path(), "2026-08-15", &["--use-first"]);
    // Six months from the first of the mixing, not from the flakes that were added.
    assert_eq!(
        of(&used_first(&text), "J-1"),
        ("1 Dec 2026", "good"),
        "{text}"
    );
    let flat = text.replace("\n  ", " ");
    assert!(
        flat.contains("- J-1: mixed from flakes of lot BL-1 (F-1), received by 1 May 2026"),
        "{text}"
    );
}

/// What each result of a test does.
#[test]
fn what_a_test_does() {
    let inventory =
        "J-1,\"shellac 2 lb cut, bleached\",,glass,1 L,bench,2026-01-01,1 L,,2026-01-01,\n";
    let after = |log: &str, on: &str| {
        let folder = shop(inventory, log, "");
        let text = stock(folder.path(), on, &["--use-first"]);
        let list = used_first(&text);
        let (by, is) = of(&list, "J-1");
        (by.to_string(), is.to_string())
    };
    let test = |minutes: u32| format!("1,2026-06-20T09:00,test,J-1,,glass,{minutes},\n");
    let is = |by: &str, is: &str| (by.to_string(), is.to_string());
    assert_eq!(after("", "2026-02-01"), is("1 Jul 2026", "good"));
    assert_eq!(after("", "2026-06-25"), is("1 Jul 2026", "test"));
    assert_eq!(after("", "2026-07-02"), is("1 Jul 2026", "expired"));
    assert_eq!(
        after(&test(15), "2026-07-02"),
        is("20 Sep 2026", "good"),
        "a pass keeps it three months"
    );
    assert_eq!(
        after(&test(16), "2026-06-25"),
        is("1 Jul 2026", "test"),
        "a retest moves nothing"
    );
    assert_eq!(after(&test(30), "2026-07-02"), is("1 Jul 2026", "expired"));
    assert_eq!(after(&test(31), "2026-06-25"), is("", "failed"));
    let nail = format!(
        "{}2,2026-06-21T09:00,test,J-1,,nail,,fail: dents\n",
        test(9)
    );
    assert_eq!(
        after(&nail, "2026-06-25"),
        is("", "failed"),
        "the nail overrides the minutes"
    );
}

/// The user's own figure wins over the table, and is named.
#[test]
fn ones_own_figure_wins() {
    let inventory = "H-1,house polish,,glass,1 L,bench,2026-05-01,1 L,,2026-05-01,\n";
    let folder = shop(inventory, "", "");
    let text = stock(folder.path(), "2026-05-10", &["--use-first"]);
    assert_eq!(of(&used_first(&text), "H-1"), ("31 May 2026", "good"));
    assert!(
        text.contains("your own figure, keeps_opened in products.csv"),
        "{text}"
    );
    assert!(text.contains("[products.csv:4]"), "{text}");
}

#[test]
fn what_expires_within_a_span() {
    let inventory = "V-1,my varnish,,metal,1 L,bench,2024-07-01,1 L,2024-07-01,,\n\
        V-2,my varnish,,metal,1 L,bench,2024-08-01,1 L,2024-08-01,,\n\
        V-3,my varnish,,metal,1 L,bench,2026-05-01,1 L,2026-05-01,,\n\
        C-1,my varnish,,metal,1 L,bench,2026-05-01,1 L,,,2026-06-20\n";
    let folder = shop(inventory, "", "");
    let listed = |span: &str| {
        let text = stock(folder.path(), "2026-06-01", &["--expiring", span]);
        let list = rows(&text).into_iter().skip(1).map(|row| row[0].clone());
        list.collect::<Vec<_>>()
    };
    // All of V-1 and V-2 are past their test; V-3 is a month old.
    assert_eq!(listed("60d"), ["C-1", "V-1", "V-2"]);
    for span in ["60 days", "2 months", "60d", "8 weeks"] {
        assert_eq!(listed(span), listed("60d"), "{span}");
    }
    assert_eq!(listed("1 year"), ["C-1", "V-1", "V-2", "V-3"]);
    for wrong in ["12 h", "60", "1.5d", "soon", ""] {
        let output = run(folder.path(), &["stock", ".", "--expiring", wrong]);
        assert_eq!(output.status.code(), Some(2), "{wrong}");
        let told = String::from_utf8(output.stderr).unwrap();
        assert!(
            told.contains("write whole days, weeks, months or years: 60d, '2 months'"),
            "{told}"
        );
    }
}

/// product → holds, a month, months left, target, may be bought and by which rules.
fn supply(folder: &Path, on: &str) -> (BTreeMap<String, Vec<String>>, String) {
    let text = stock(folder, on, &["--running-low"]);
    let list = rows(&text).into_iter().skip(1);
    let map = list
        .map(|row| (row[0].clone(), row[1..].to_vec()))
        .collect();
    (map, text)
}

#[test]
fn how_long_it_lasts() {
    let inventory = "S-1,spirit,,metal,5 L,bench,2026-01-01,4 L,,,\n\
        V-1,my varnish,,metal,1 L,bench,2026-01-01,1 L,2026-01-01,,\n\
        R-1,rags,,rag,,bench,2026-01-01,40 pcs,,,\n";
    // 300 mL in each of March, April and May; 500 mL in June, which is not over yet.
    let log = "1,2026-03-05T09:00,use,S-1,300 mL,,,\n2,2026-04-05T09:00,use,S-1,300 mL,,,\n\
        3,2026-05-05T09:00,use,S-1,300 mL,,,\n4,2026-06-05T09:00,use,S-1,500 mL,,,\n";
    let target = "[[target]]\nproduct = \"spirit\"\namount = \"3 L\"\n";
    let folder = shop(inventory, log, target);
    let (list, text) = supply(folder.path(), "2026-06-15");
    let spirit = &list["spirit"];
    // 4 − 1.4 = 2.6 L are left, and 2.6 / 0.3 is 8.7.
    assert_eq!(
        &spirit[..4],
        ["2.6 L", "300 mL", "8.7", "3 L, LOW"],
        "{text}"
    );
    let varnish = &list["my varnish"];
    assert_eq!(&varnish[..4], ["1 L", "unknown", "unknown", ""]);
    let flat = text.replace("\n  ", " ");
    assert!(
        flat.contains("my varnish: no use is on record from Mar 2026 to May 2026, so how long it lasts is unknown"),
        "{text}"
    );
    // On the last day of June, June is over: (0.3 + 0.3 + 0.5) / 3 a month.
    let (list, _) = supply(folder.path(), "2026-06-30");
    assert_eq!(&list["spirit"][1..3], ["367 mL", "7.1"]);
    // A book that is younger than a month has no rate.
    let young = shop(
        "S-1,spirit,,metal,5 L,bench,2026-06-02,4 L,,,\n",
        "1,2026-06-05T09:00,use,S-1,1 L,,,\n",
        "",
    );
    let (list, text) = supply(young.path(), "2026-06-20");
    assert_eq!(&list["spirit"][..3], ["3 L", "unknown", "unknown"]);
    assert!(
        text.contains("less than a whole month is on record"),
        "{text}"
    );
}

/// As much as the tightest storage limit leaves, or as would be used before it ages out; unknown is said.
#[test]
fn how_much_may_be_bought() {
    let inventory = "S-1,spirit,,metal,20 L,bench,2026-01-01,18 L,,,\n\
        J-1,\"shellac 2 lb cut, bleached\",,glass,1 L,bench,2026-01-01,1 L,,2026-05-20,\n\
        M-1,mystery,,metal,1 L,bench,2026-01-01,1 L,,,\n\
        V-1,my varnish,,metal,1 L,bench,2026-01-01,0 L,,,\n";
    let log = "1,2026-05-25T09:00,use,J-1,300 mL,,,\n";
    let folder = shop(inventory, log, "");
    let (list, text) = supply(folder.path(), "2026-06-15");
    // The mystery may be of class I: then 19.7 L stand here, of the 5 gal (18.927 L) above which a permit is wanted.
    assert_eq!(list["spirit"][4], "unknown", "{text}");
    assert!(
        text.contains("us-fire-code/permit-class-i, the whole shop is unknown"),
        "{text}"
    );
    let known = inventory.replace("M-1,mystery,,metal,1 L,bench,2026-01-01,1 L,,,\n", "");
    let known = shop(&known, log, "");
    let (sure, text) = supply(known.path(), "2026-06-15");
    // 18.7 L of 18.927 L, so 0.227 L are left, shown as no more than that.
    assert!(sure["spirit"][4].starts_with("227 mL ("), "{text}");
    assert!(
        text.contains("storage: us-fire-code/permit-class-i, the whole shop: 227 mL are left"),
        "{text}"
    );
    // 300 mL in three months, six months of it are 600 mL, and 700 mL stand here.
    assert_eq!(
        &list["shellac 2 lb cut, bleached"][1..3],
        ["100 mL", "7"],
        "{text}"
    );
    let shellac = &list["shellac 2 lb cut, bleached"][4];
    assert!(shellac.starts_with("none ("), "{shellac}");
    assert_eq!(list["mystery"][4], "unknown", "its flash point is unknown");
    assert_eq!(list["my varnish"][4], "unknown", "none of it stands here");
}

/// The maker's last day: the table and the rule count the same days before it.
#[test]
fn the_makers_day_is_near_on_the_same_day_everywhere() {
    let inventory = "L-1,spirit,,metal,1 L,bench,2026-01-01,1 L,,,2026-06-30\n";
    let folder = shop(inventory, "", "");
    let trade = SHOP.replace("us-fire-code", "trade");
    std::fs::write(folder.path().join("shop.toml"), trade).unwrap();
    for (on, is, verdict) in [
        ("2026-05-31", "good", "meets"),
        ("2026-06-01", "test", "near"),
        ("2026-06-30", "test", "near"),
        ("2026-07-01", "expired", "breach"),
    ] {
        let list = used_first(&stock(folder.path(), on, &["--use-first"]));
        assert_eq!(of(&list, "L-1"), ("30 Jun 2026", is), "{on}");
        let audit = ["audit", ".", "--on", on, "--no-reports", "--json", "-"];
        let output = run(folder.path(), &audit);
        let found: Value = serde_json::from_slice(&output.stdout).unwrap();
        let mut findings = found["findings"].as_array().unwrap().iter();
        let finding = findings.find(|f| f["rule"] == "kept-within" && f["subject"]["id"] == "L-1");
        assert_eq!(finding.unwrap()["verdict"], verdict, "{on}");
    }
}

/// The tables say the same as the rule: one truth.
#[test]
fn the_tables_agree_with_the_rule() {
    let folder = TempDir::new().unwrap();
    run(folder.path(), &["demo", "--write", "demo"]);
    for on in [
        "2026-07-15",
        "2026-09-30",
        "2026-10-31",
        "2027-06-30",
        "2030-01-01",
    ] {
        let output = run(
            folder.path(),
            &["audit", "demo", "--on", on, "--no-reports", "--json", "-"],
        );
        let found: Value = serde_json::from_slice(&output.stdout).unwrap();
        let output = run(folder.path(), &["stock", "demo", "--on", on, "--use-first"]);
        let list = used_first(&String::from_utf8(output.stdout).unwrap());
        let mut seen = 0;
        for finding in found["findings"].as_array().unwrap() {
            let container = finding["subject"]["id"].as_str().unwrap();
            if finding["rule"] != "kept-within" || finding["subject"]["kind"] != "container" {
                continue;
            }
            seen += 1;
            let (_, is) = of(&list, container);
            let fits: &[&str] = match finding["verdict"].as_str().unwrap() {
                "breach" => &["expired", "failed"],
                "near" => &["test"],
                "cannot-judge" => &["?"],
                _ => &["good"],
            };
            assert!(
                fits.contains(&is),
                "{on} {container}: {is}, but the rule says {finding}"
            );
        }
        assert!(seen > 10, "{on}: only {seen}");
        // The JSON has the day that the list shows, of mixed shellac too.
        let stock = found["stock"].as_array().unwrap();
        let dated: Vec<_> = list.iter().filter(|(_, by, _)| !by.is_empty()).collect();
        assert!(dated.iter().any(|(name, ..)| name.starts_with("J-")));
        for (name, by, _) in dated {
            let row = stock.iter().find(|row| row["container"] == name.as_str());
            let day = row.unwrap()["use_by"].as_str().map(|day| {
                let day = sandarac::quantity::Day::parse(day).unwrap();
                sandarac::quantity::when::date(day)
            });
            assert_eq!(day.as_deref(), Some(by.as_str()), "{on} {name}");
        }
    }
}

/// A steady loss is named with its numbers and the lines of its counts, and never as evaporation.
#[test]
fn a_steady_loss_is_named() {
    let inventory = "S-1,spirit,,metal,1 L,bench,2026-01-01,1 L,,,\n";
    let log = "1,2026-01-31T17:00,count,S-1,980 mL,,,\n2,2026-02-28T17:00,count,S-1,950 mL,,,\n\
        3,2026-03-31T17:00,count,S-1,930 mL,,,\n";
    let folder = shop(inventory, log, "");
    let before = stock(folder.path(), "2026-03-30", &["--reconcile"]);
    assert!(!before.contains("STEADY LOSS"), "{before}");
    let text = stock(folder.path(), "2026-03-31", &["--reconcile"]).replace('\n', " ");
    let told = "A STEADY LOSS: S-1 (spirit) was short at 3 counts in a row, by 70 mL in all. 2026-01-31: counted 980 mL, \
        book amount 1 L (log.csv:2); 2026-02-28: counted 950 mL, book amount 980 mL (log.csv:3); 2026-03-31: counted 930 mL, \
        book amount 950 mL (log.csv:4). Check for a loose lid, a missing log entry, or theft.";
    assert!(text.contains(told), "{text}");
}

/// A sheet prints four figures, and `ok` counts what it prints: three differences that small are not a loss.
#[test]
fn what_a_sheet_rounds_away_is_no_loss() {
    let inventory = "S-1,spirit,,metal,1 L,bench,2026-01-01,1 L,,,\n";
    let counted = |amounts: [&str; 3]| {
        let months = ["2026-01-31", "2026-02-28", "2026-03-31"];
        let rows = amounts.iter().zip(months).zip(1..);
        let rows = rows
            .map(|((amount, day), row)| format!("{row},{day}T17:00,count,S-1,{amount} mL,,,\n"));
        let folder = shop(inventory, &rows.collect::<String>(), "");
        stock(folder.path(), "2026-03-31", &["--reconcile"]).contains("STEADY LOSS")
    };
    assert!(
        !counted(["999", "998.001", "997.1"]),
        "a thousandth each, or less"
    );
    assert!(counted(["998.9", "997.8", "996.7"]), "more than that");
}

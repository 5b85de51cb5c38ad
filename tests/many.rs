//! `sandarac audit` over many shops: side by side, one summary, and one bad shop stops no other.
#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::Value;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

fn run(folder: &Path, args: &[&str]) -> (String, String, Option<i32>) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let output = command
        .current_dir(folder)
        .args(args)
        .env_remove("COLUMNS")
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        text(output.stdout),
        text(output.stderr),
        output.status.code(),
    )
}

fn shops() -> TempDir {
    let folder = TempDir::new().unwrap();
    for name in ["north", "south"] {
        let (_, err, code) = run(folder.path(), &["demo", "--write", name]);
        assert_eq!((err.as_str(), code), ("", Some(0)));
    }
    let (_, err, _) = run(folder.path(), &["new", "school"]);
    assert_eq!(err, "");
    folder
}

#[test]
fn the_worst_comes_first_and_each_shop_gets_its_reports() {
    let folder = shops();
    let (out, err, code) = run(
        folder.path(),
        &["audit", "school", "north", "south", "--on", "2026-11-10"],
    );
    assert_eq!((err.as_str(), code), ("", Some(1)));
    assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
    assert!(
        out.contains("3 shops at the end of 2026-11-10: 2 break a required rule"),
        "{out}"
    );
    let order: Vec<usize> = [" north", " south", " school"]
        .iter()
        .map(|name| out.find(name).unwrap())
        .collect();
    assert!(order.is_sorted(), "{out}");
    for name in ["north", "south", "school"] {
        let report = folder
            .path()
            .join(name)
            .join("reports/2026-11-10-audit.json");
        assert!(report.exists(), "{name}");
    }
}

/// The sums over all shops are those of the shops, taken one by one.
#[test]
fn the_totals_are_the_sums_of_the_shops() {
    let folder = shops();
    let totals = |args: &[&str]| {
        let mut all = vec!["audit"];
        all.extend(args);
        all.extend(["--on", "2026-11-10", "--no-reports", "--json", "-"]);
        let (out, _, _) = run(folder.path(), &all);
        serde_json::from_str::<Value>(&out).unwrap()
    };
    let one: Value = totals(&["north"]);
    let litres: f64 = one["stock"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|row| row["class"]["us-fire-code"] == "Class IB" && row["amount"]["unit"] == "L")
        .map(|row| {
            row["amount"]["value"]
                .as_str()
                .unwrap()
                .parse::<f64>()
                .unwrap()
        })
        .sum();
    let both = totals(&["north", "south"]);
    let sum = both["totals"]
        .as_array()
        .unwrap()
        .iter()
        .find(|row| row["class"] == "us-fire-code: Class IB")
        .unwrap();
    let sum: f64 = sum["value"].as_str().unwrap().parse().unwrap();
    assert!(
        (sum - 2.0 * litres).abs() < 1e-9 && litres > 0.0,
        "{sum} {litres}"
    );
    let common = both["common"].as_array().unwrap();
    assert!(!common.is_empty() && common.iter().all(|row| row["shops"] == 2));
}

#[test]
fn one_bad_shop_stops_no_other() {
    let folder = shops();
    std::fs::write(folder.path().join("north/rooms.csv"), "room\nx,y\n").unwrap();
    let (out, err, code) = run(
        folder.path(),
        &[
            "audit",
            "north",
            "nowhere",
            "south",
            "--on",
            "2026-11-10",
            "--no-reports",
        ],
    );
    assert_eq!(code, Some(2));
    assert_eq!(
        err,
        "2 shops could not be audited.\n  Audit one by itself to see all its problems.\n\n\
         Shops that were not audited are not in the totals.\n"
    );
    assert!(
        out.contains("3 shops at the end of 2026-11-10: 1 break a required rule, 2 not"),
        "{out}"
    );
    assert!(
        out.contains("\nNot audited\n  north: rooms.csv, row 2 (x): This row has 2 cells, but")
            && out.contains("\n  nowhere: nowhere/shop.toml: The file is missing."),
        "{out}"
    );
}

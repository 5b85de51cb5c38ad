//! The JSON: the keys that programs may lean on, and what must be true of every finding.

use crate::{DEMO_DAY, demo_json, list, root, word};
use serde_json::Value;
use std::collections::BTreeSet;

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
        "against",
        "trend",
        "actions",
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
    let month = [
        "product",
        "month",
        "used",
        "mixed",
        "discarded",
        "received",
        "start",
        "poured_in",
        "poured_out",
        "unexplained",
        "untracked",
        "end",
        "closes",
    ];
    for row in list(&found, "use_by_month") {
        assert_eq!(keys(row), BTreeSet::from(month));
        for key in &month[2..12] {
            is_quantity(&row[*key]);
        }
        assert_eq!(row["closes"], true, "{row}");
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
        let over = between < 0;
        let excused = finding["unconfirmed"] == true;
        assert!(
            over == (verdict == "breach") || over && excused,
            "{finding}"
        );
        seen += 1;
    }
    assert!(seen > 5, "only {seen} margins");
}

/// A decimal text as a whole number of its 28th decimal.
fn tens(digits: &str) -> i128 {
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    format!("{whole}{part:0<28}").parse().unwrap()
}

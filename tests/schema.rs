//! `data/audit.schema.json`: what the program prints fits it, and what does not fit is refused.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "golden/shops.rs"]
mod odd_shops;

use jsonschema::Validator;
use odd_shops::{DAY, NAMES};
use sandarac::finding::Verdict;
use sandarac::pack::{Seen, Severity, TOPICS};
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

const DEMO_DAY: &str = "2026-10-31";

fn schema() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/audit.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn validator() -> Validator {
    let schema = schema();
    assert!(
        jsonschema::draft202012::meta::is_valid(&schema),
        "the schema is one of draft 2020-12"
    );
    jsonschema::draft202012::new(&schema).unwrap()
}

fn audit(folder: &Path, shop: &str, day: &str) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_sandarac"))
        .current_dir(folder)
        .args(["audit", shop, "--on", day, "--no-reports", "--json", "-"])
        .output()
        .unwrap();
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

fn demo() -> Value {
    let folder = TempDir::new().unwrap();
    write(folder.path(), &["demo", "--write", "demo-shop"]);
    audit(folder.path(), "demo-shop", DEMO_DAY)
}

fn write(folder: &Path, args: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    assert!(
        command
            .current_dir(folder)
            .args(args)
            .output()
            .unwrap()
            .status
            .success()
    );
}

#[track_caller]
fn fits(validator: &Validator, value: &Value) {
    let faults: Vec<String> = validator
        .iter_errors(value)
        .take(5)
        .map(|fault| format!("{}: {fault}", fault.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn what_is_printed_fits() {
    let validator = validator();
    fits(&validator, &demo());
    let folder = TempDir::new().unwrap();
    // Held against an audit of a month before.
    write(folder.path(), &["demo", "--write", "demo-shop"]);
    let mut before = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    let args = ["audit", "demo-shop", "--on", "2026-09-30"];
    before
        .current_dir(folder.path())
        .args(args)
        .output()
        .unwrap();
    let held = audit(folder.path(), "demo-shop", DEMO_DAY);
    assert_eq!(held["against"]["on"], "2026-09-30");
    assert_eq!(held["trend"].as_array().unwrap().len(), 2);
    fits(&validator, &held);
    write(folder.path(), &["new", "my-shop"]);
    odd_shops::named(folder.path(), &NAMES);
    odd_shops::quiet(folder.path());
    odd_shops::large(folder.path(), 60);
    for shop in ["my-shop", "named-shop", "silent-shop", "large-shop"] {
        fits(&validator, &audit(folder.path(), shop, DAY));
    }
}

/// Every object of a value, by its path.
fn objects(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            found.insert(path.to_string());
            for (key, inner) in map {
                let key = key.replace('~', "~0").replace('/', "~1");
                objects(inner, &format!("{path}/{key}"), found);
            }
        }
        Value::Array(list) => {
            for (at, inner) in list.iter().enumerate() {
                objects(inner, &format!("{path}/{at}"), found);
            }
        }
        _ => {}
    }
}

/// A path without its numbers: one of each sort is enough.
fn sort_of(path: &str) -> String {
    let parts = path.split('/').map(|part| match part.parse::<usize>() {
        Ok(_) => "*",
        Err(_) => part,
    });
    parts.collect::<Vec<_>>().join("/")
}

/// In every sort of object: a key that is unknown is refused, and so is one that lacks.
#[test]
fn no_key_more_and_no_key_less() {
    let validator = validator();
    let demo = demo();
    let mut paths = BTreeSet::new();
    objects(&demo, "", &mut paths);
    let (mut sorts, mut tried) = (BTreeSet::new(), 0);
    for path in &paths {
        // The classes of a container are keyed by pack: any key is one.
        if !sorts.insert(sort_of(path)) || path.ends_with("/class") {
            continue;
        }
        let mut more = demo.clone();
        more.pointer_mut(path).unwrap()["no-such-key"] = json!(1);
        assert!(!validator.is_valid(&more), "{path} takes any key");
        let keys: Vec<String> = demo
            .pointer(path)
            .unwrap()
            .as_object()
            .unwrap()
            .keys()
            .cloned()
            .collect();
        // What an older audit did not count is left out.
        let may_lack = sort_of(path) == "/trend/*/counts";
        for key in keys.into_iter().filter(|_| !may_lack) {
            let mut less = demo.clone();
            less.pointer_mut(path)
                .unwrap()
                .as_object_mut()
                .unwrap()
                .remove(&key);
            assert!(!validator.is_valid(&less), "{path} does without {key}");
            tried += 1;
        }
    }
    assert!(
        sorts.len() > 25 && tried > 100,
        "{} sorts, {tried} keys",
        sorts.len()
    );
}

#[test]
fn what_does_not_fit_is_refused() {
    let validator = validator();
    let demo = demo();
    let wrong = [
        ("/format", json!(2)),
        ("/on", json!("31.10.2026")),
        ("/findings/0/verdict", json!("fine")),
        ("/findings/0/severity", json!("may")),
        ("/findings/0/topic", json!("weather")),
        ("/findings/0/evidence", json!("log.csv:1")),
        ("/stock/0/amount/value", json!(1.5)),
        ("/stock/0/amount/value", json!("1,5")),
        ("/stock/0/amount/unit", json!("gal")),
        ("/use_by_month/0/month", json!("2026")),
        ("/air/0/components/0/peak_ppm/about", json!(false)),
        ("/counts/breach", json!(-1)),
        ("/problems", json!(["one"])),
    ];
    for (path, value) in wrong {
        let mut broken = demo.clone();
        *broken.pointer_mut(path).unwrap() = value.clone();
        assert!(!validator.is_valid(&broken), "{path} may be {value}");
    }
}

/// The words of the schema are the words of the program.
#[test]
fn the_words_are_the_programs_own() {
    let schema = schema();
    let words = |path: &str| -> Vec<String> {
        let list = schema.pointer(path).unwrap().as_array().unwrap();
        list.iter()
            .filter_map(Value::as_str)
            .map(str::to_string)
            .collect()
    };
    let finding = "/$defs/finding/properties";
    assert_eq!(words(&format!("{finding}/topic/enum")), TOPICS);
    assert_eq!(
        words(&format!("{finding}/verdict/enum")),
        Verdict::WORDS.map(|(word, _)| word)
    );
    assert_eq!(
        words(&format!("{finding}/severity/enum")),
        Severity::WORDS.map(|(word, _)| word)
    );
    assert_eq!(
        words("/$defs/citation/properties/seen/enum"),
        Seen::WORDS.map(|(word, _)| word)
    );
}

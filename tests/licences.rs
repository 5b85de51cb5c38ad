//! Every crate that is built in comes from crates.io, under a licence that `.ci/deny.toml` allows.
#![allow(clippy::unwrap_used, clippy::panic)]

use serde_json::Value;
use std::path::Path;
use std::process::Command;

fn run(program: &str, args: &[&str]) -> String {
    let output = Command::new(program)
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program} {args:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// Crates of this platform, tests included: only those are on the disk after a build, and nothing is fetched.
fn crates() -> Vec<Value> {
    let version = run("rustc", &["-vV"]);
    let host = version.lines().find_map(|line| line.strip_prefix("host: "));
    let args = [
        "metadata",
        "--format-version=1",
        "--locked",
        "--offline",
        "--filter-platform",
        host.unwrap(),
    ];
    let told: Value = serde_json::from_str(&run(env!("CARGO"), &args)).unwrap();
    told["packages"].as_array().unwrap().clone()
}

fn allowed() -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(".ci/deny.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let (_, list) = text.split_once("allow = [").unwrap();
    let list = list.split(']').next().unwrap();
    let names = list.split('"').skip(1).step_by(2).map(str::to_string);
    names.collect()
}

/// Does a licence expression hold: one of what stands beside `OR`, all of what stands beside `AND`?
fn holds(expression: &str, allowed: &[String]) -> bool {
    let text = expression.trim();
    if let Some((left, right)) = split(text, &[" OR ", "/"]) {
        return holds(left, allowed) || holds(right, allowed);
    }
    if let Some((left, right)) = split(text, &[" AND "]) {
        return holds(left, allowed) && holds(right, allowed);
    }
    match text
        .strip_prefix('(')
        .and_then(|rest| rest.strip_suffix(')'))
    {
        Some(inner) => holds(inner, allowed),
        None => allowed.iter().any(|name| name == text),
    }
}

/// Parts a text at the first of these words that stands outside of all brackets.
fn split<'t>(text: &'t str, words: &[&str]) -> Option<(&'t str, &'t str)> {
    let mut depth = 0;
    for (at, c) in text.char_indices() {
        depth += i32::from(c == '(') - i32::from(c == ')');
        let word = words.iter().find(|word| text[at..].starts_with(**word));
        if let Some(word) = word.filter(|_| depth == 0) {
            return Some((&text[..at], &text[at + word.len()..]));
        }
    }
    None
}

#[test]
fn every_crate_may_be_built_in() {
    let (crates, allowed) = (crates(), allowed());
    assert!(crates.len() > 60 && allowed.len() > 4);
    let mut wrong = Vec::new();
    for built in &crates {
        let name = built["name"].as_str().unwrap();
        let licence = built["license"].as_str().unwrap_or("not said");
        if !holds(licence, &allowed) {
            wrong.push(format!("{name}: licence {licence}"));
        }
        let from = built["source"].as_str();
        let crates_io = "registry+https://github.com/rust-lang/crates.io-index";
        if name != "sandarac" && from != Some(crates_io) {
            wrong.push(format!("{name}: comes from {from:?}"));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn licences_are_read_as_they_are_written() {
    let allowed = ["MIT", "Unicode-3.0"].map(str::to_string);
    for (expression, right) in [
        ("MIT", true),
        ("MIT/Apache-2.0", true),
        ("Apache-2.0 OR MIT", true),
        ("Apache-2.0", false),
        ("GPL-3.0 AND MIT", false),
        ("(MIT OR Apache-2.0) AND Unicode-3.0", true),
        ("(MIT OR Apache-2.0) AND GPL-3.0", false),
        ("Apache-2.0 AND (GPL-3.0 OR MIT)", false),
        ("not said", false),
    ] {
        assert_eq!(holds(expression, &allowed), right, "{expression}");
    }
}

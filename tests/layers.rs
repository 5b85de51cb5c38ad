//! Arrows between the layers and doors of the outside crates, read from the code under `src/`; and no file too long.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// A layer uses those to its left, never to its right.
const LAYERS: [&str; 19] = [
    "parallel", "quantity", "text", "files", "pack", "record", "stock", "trade", "typing",
    "vapour", "fact", "finding", "check", "audit", "store", "workbook", "report", "bench", "cli",
];
/// The files in which an outside crate may be met. One that ends in `/` is a folder.
const DOORS: &[(&str, &[&str])] = &[
    ("axum", &["bench/"]),
    ("axum_server", &["bench/front.rs", "bench/server.rs"]),
    ("fast_qr", &["report/code.rs"]),
    ("rcgen", &["bench/certificate.rs"]),
    ("ring", &["bench/secret.rs"]),
    ("rustls", &["bench/certificate.rs"]),
    (
        "tokio",
        &[
            "bench/front.rs",
            "bench/guard.rs",
            "bench/routes.rs",
            "bench/server.rs",
            "bench/state.rs",
        ],
    ),
    ("anstream", &["cli/style.rs"]),
    ("anstyle", &["report/paint.rs"]),
    ("calamine", &["workbook/read.rs"]),
    ("chrono", &["quantity/day.rs"]),
    ("clap", &["cli/"]),
    ("clap_complete", &["cli/completions.rs"]),
    ("clap_mangen", &["cli/completions.rs"]),
    (
        "csv",
        &[
            "text/table.rs",
            "text/expected.rs",
            "files/table_edit.rs",
            "files/table_end.rs",
            "files/table_text.rs",
            "report/findings_csv.rs",
            "report/sheet_csv.rs",
        ],
    ),
    (
        "dialoguer",
        &["cli/log/ask.rs", "cli/log/new_jar.rs", "cli/log/prompt.rs"],
    ),
    (
        "foldhash",
        &[
            "stock/entry_names.rs",
            "record/read_tables.rs",
            "record/tables.rs",
            "record/names.rs",
            "report/view.rs",
        ],
    ),
    (
        "maud",
        &[
            "bench/",
            "report/binder/",
            "report/html.rs",
            "report/html_table.rs",
            "report/label/html.rs",
            "report/label/signs.rs",
            "report/sheet_html.rs",
            "report/page/",
        ],
    ),
    ("include_dir", &["pack/embedded.rs"]),
    ("icalendar", &["report/ics.rs"]),
    ("memchr", &["text/"]),
    ("plotters", &["report/plot.rs"]),
    ("rust_xlsxwriter", &["workbook/write.rs"]),
    ("rust_decimal", &["quantity/"]),
    ("serde", &["report/json/", "report/earlier.rs"]),
    ("serde_json", &["report/json/", "report/earlier.rs"]),
    ("strsim", &["text/near.rs"]),
    ("tabled", &["report/table.rs"]),
    (
        "tempfile",
        &[
            "bench/certificate.rs",
            "bench/device.rs",
            "bench/pairing.rs",
            "files/write.rs",
            "files/change.rs",
            "files/photo.rs",
            "files/recover.rs",
            "files/table_edit.rs",
            "files/table_end.rs",
            "files/whole_folder.rs",
            "text/stamp.rs",
            "bench/",
        ],
    ),
    ("terminal_size", &["cli/style.rs"]),
    ("toml", &["pack/document.rs"]),
    ("unicode_width", &["report/wrap.rs"]),
    ("uuid", &["report/ics.rs"]),
];
/// Lines that a file may have: about four hundred.
const MOST_LINES: usize = 400;

/// Path below `src`, and text without comments.
fn sources() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path: PathBuf = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|end| end == "rs") {
                let name = path.strip_prefix(&root).unwrap();
                let name = name.to_string_lossy().replace('\\', "/");
                found.push((name, bare(&std::fs::read_to_string(&path).unwrap())));
            }
        }
    }
    found.sort();
    assert!(found.len() > 80, "only {} files under src", found.len());
    found
}

/// The text without its line comments. `//` in a text in quotation marks ends it too, which hides no path.
fn bare(text: &str) -> String {
    let code = |line: &str| line.split("//").next().unwrap_or("").to_string();
    text.lines().map(code).collect::<Vec<_>>().join("\n")
}

fn is_name(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// What follows each `start::`, where `start` is no tail of a longer name or path: one name, or those in braces.
fn after<'t>(text: &'t str, start: &str) -> Vec<&'t str> {
    let lead = format!("{start}::");
    let mut names = Vec::new();
    for (at, _) in text.match_indices(&lead) {
        let before = &text[..at];
        if before.ends_with(|c| is_name(c) || c == ':') {
            continue;
        }
        let rest = &text[at + lead.len()..];
        match rest.strip_prefix('{') {
            None => names.push(rest.split(|c| !is_name(c)).next().unwrap_or("")),
            Some(list) => names.extend(in_braces(list)),
        }
    }
    names
}

/// The first name of each part of `a::{b, c}, d, e::f}`.
fn in_braces(list: &str) -> Vec<&str> {
    let (mut depth, mut start, mut parts) = (0_usize, 0, Vec::new());
    for (at, c) in list.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth > 0 => depth -= 1,
            ',' | '}' if depth == 0 => {
                parts.push(list[start..at].trim());
                start = at + 1;
                if c == '}' {
                    break;
                }
            }
            _ => {}
        }
    }
    let first = |part: &'_ str| part.find(|c| !is_name(c)).unwrap_or(part.len());
    parts
        .into_iter()
        .map(|part| &part[..first(part)])
        .filter(|name| !name.is_empty())
        .collect()
}

fn layer_of(file: &str) -> Option<usize> {
    let (folder, _) = file.split_once('/')?;
    let at = LAYERS.iter().position(|layer| *layer == folder);
    assert!(at.is_some(), "{file} stands in no layer");
    at
}

#[test]
fn arrows_point_one_way() {
    let mut wrong = Vec::new();
    let mut arrows = 0;
    for (file, text) in sources() {
        let Some(own) = layer_of(&file) else {
            continue;
        };
        // From a file one folder down, this is the root of the crate.
        let up = if file.ends_with("mod.rs") {
            "super"
        } else {
            "super::super"
        };
        for start in ["crate", "sandarac", up] {
            for used in after(&text, start) {
                let Some(other) = LAYERS.iter().position(|layer| *layer == used) else {
                    if start == "crate" {
                        wrong.push(format!("{file} uses crate::{used}, which is no layer"));
                    }
                    continue;
                };
                arrows += 1;
                if other > own {
                    wrong.push(format!("{file} uses {used}, which lies to its right"));
                }
            }
        }
    }
    assert!(arrows > 150, "only {arrows} arrows were seen");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// The layers are what `lib.rs` declares, and nothing else is.
#[test]
fn the_layers_are_the_modules() {
    let (_, lib) = sources()
        .into_iter()
        .find(|(file, _)| file == "lib.rs")
        .unwrap();
    let declared: BTreeSet<&str> = lib
        .lines()
        .filter_map(|line| line.trim().strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    assert_eq!(declared, LAYERS.into_iter().collect());
}

/// Outside crates, by the manifest.
fn outside() -> BTreeSet<String> {
    let manifest = Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml");
    let manifest = std::fs::read_to_string(manifest).unwrap();
    let (_, after) = manifest.split_once("[dependencies]\n").unwrap();
    let own = after.split("\n[").next().unwrap();
    own.lines()
        .filter_map(|line| line.split_once('='))
        .map(|(name, _)| name.trim().replace('-', "_"))
        .collect()
}

/// Is the crate met in this text, as a path or by `use` alone?
fn meets(text: &str, name: &str) -> bool {
    let alone = |line: &str| {
        let line = line.trim();
        line.strip_prefix("use ")
            .or_else(|| line.strip_prefix("extern crate "))
            .and_then(|rest| rest.strip_prefix(name))
            .is_some_and(|rest| !rest.starts_with(is_name))
    };
    !after(text, name).is_empty() || text.lines().any(alone)
}

#[test]
fn each_outside_crate_has_its_door() {
    let known: BTreeSet<String> = DOORS.iter().map(|(name, _)| (*name).to_string()).collect();
    assert_eq!(
        outside(),
        known,
        "crates of Cargo.toml, and those with a door"
    );
    let sources = sources();
    let mut wrong = Vec::new();
    for (name, doors) in DOORS {
        let through: Vec<&str> = sources
            .iter()
            .filter(|(_, text)| meets(text, name))
            .map(|(file, _)| file.as_str())
            .collect();
        let fits =
            |file: &str, door: &str| file == door || door.ends_with('/') && file.starts_with(door);
        for file in &through {
            if !doors.iter().any(|door| fits(file, door)) {
                wrong.push(format!("{file} uses {name}, whose door is {doors:?}"));
            }
        }
        for door in *doors {
            if !through.iter().any(|file| fits(file, door)) {
                wrong.push(format!("{name} is not used in {door}: a door to nothing"));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn no_file_is_too_long() {
    let long: Vec<String> = sources()
        .iter()
        .map(|(file, text)| (file, text.lines().count()))
        .filter(|(_, lines)| *lines > MOST_LINES)
        .map(|(file, lines)| format!("{file} has {lines} lines"))
        .collect();
    assert!(long.is_empty(), "\n{}", long.join("\n"));
}

/// What these tests read with sees what it should.
#[test]
fn paths_are_found() {
    let text =
        "use crate::{pack::{a, b}, text};\nlet x = crate::stock::y(mycrate::z);\nuse a::crate::q;";
    assert_eq!(after(text, "crate"), ["pack", "text", "stock"]);
    assert!(meets("use csv;", "csv") && meets("csv::Reader::new()", "csv"));
    assert!(!meets(
        "let csv = 1; mod csv_like; use csv_other::x;",
        "csv"
    ));
    assert_eq!(bare("a // crate::cli::b"), "a ");
}

//! Every problem that a shop folder or a pack can have: the smallest wrong one, and the whole message.
//!
//! A folder under `tests/problems/` is a case, named by its code, or `code.what-is-special`. Its files replace those of
//! `base/shop` (those under `pack/`: of `base/pack`); `X.gone` takes X away, `X.folder` puts a folder in its place,
//! `X.link` a link to what is written in it. What is too large to be kept here, or no file at all, is in `damage.rs`.
//! `SNAPSHOTS=overwrite cargo test --test problems` writes every `expected.txt` again; read each before committing it.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// Codes without a folder, and why.
const NO_FOLDER: [(&str, &str); 5] = [
    ("amount-gone", "made by workbook.rs"),
    ("record-changed", "made by workbook.rs"),
    ("file-too-large", "made by damage.rs"),
    ("row-too-long", "made by damage.rs"),
    ("table-too-long", "made by damage.rs"),
];

/// Cases that the program does not tell by their code yet, and what it does instead. One that is reported leaves this list.
const AWAITED: [(&str, &str); 0] = [];

fn is_awaited(case: &str) -> bool {
    AWAITED.iter().any(|(name, _)| *name == case)
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/problems")
}

fn names_in(folder: &Path) -> Vec<String> {
    let list = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = list
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// The cases, each a folder.
fn cases() -> Vec<String> {
    let mut names = names_in(&root());
    names.retain(|name| name != "base" && root().join(name).is_dir());
    assert!(names.len() > 60, "only {} cases", names.len());
    names
}

/// Lays the files of a folder over another one.
fn lay(from: &Path, onto: &Path) {
    std::fs::create_dir_all(onto).unwrap();
    for name in names_in(from) {
        let (source, target) = (from.join(&name), onto.join(&name));
        if source.is_dir() {
            lay(&source, &target);
        } else if let Some(there) = name.strip_suffix(".gone") {
            std::fs::remove_file(onto.join(there)).unwrap();
        } else if let Some(there) = name.strip_suffix(".folder") {
            let _ = std::fs::remove_file(onto.join(there));
            std::fs::create_dir(onto.join(there)).unwrap();
        } else if let Some(there) = name.strip_suffix(".link") {
            let _ = std::fs::remove_file(onto.join(there));
            let to = std::fs::read_to_string(&source).unwrap();
            #[cfg(unix)]
            std::os::unix::fs::symlink(to, onto.join(there)).unwrap();
        } else if name != "expected.txt" {
            std::fs::copy(&source, &target).unwrap();
        }
    }
}

/// The base with a case over it.
fn laid(case: Option<&str>) -> TempDir {
    let temporary = TempDir::new().unwrap();
    for part in ["shop", "pack"] {
        lay(
            &root().join("base").join(part),
            &temporary.path().join(part),
        );
    }
    if let Some(case) = case {
        let folder = root().join(case);
        let part = if is_of_a_pack(case) { "" } else { "shop" };
        lay(&folder, &temporary.path().join(part));
    }
    temporary
}

fn is_of_a_pack(case: &str) -> bool {
    root().join(case).join("pack").is_dir()
}

fn run(folder: &Path, of_a_pack: bool) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).env_remove("COLUMNS");
    // A sheet that comes back filled in; `when.txt` has the moment of the round.
    if folder.join("shop/sheet.csv").exists() {
        command.args(["round", "shop", "--enter", "shop/sheet.csv"]);
        if let Ok(when) = std::fs::read_to_string(folder.join("shop/when.txt")) {
            command.args(["--when", when.trim()]);
        }
    } else if of_a_pack {
        command.args(["rules", "check", "pack"]);
    } else {
        command.args(["audit", "shop", "--on", "2026-11-24", "--no-reports"]);
    }
    command.output().unwrap()
}

#[test]
fn the_base_has_no_problem() {
    let folder = laid(None);
    for of_a_pack in [false, true] {
        let output = run(folder.path(), of_a_pack);
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(matches!(output.status.code(), Some(0 | 1)), "{said}");
        assert!(said.is_empty(), "{said}");
    }
}

#[test]
fn every_problem_is_told_in_full() {
    let overwrite = std::env::var("SNAPSHOTS").is_ok_and(|word| word == "overwrite");
    let mut wrong = String::new();
    for case in cases() {
        let folder = laid(Some(&case));
        let output = run(folder.path(), is_of_a_pack(&case));
        let said = String::from_utf8(output.stderr).unwrap();
        let told = output.status.code() == Some(2);
        let mut complain = |what: &str| wrong += &format!("== {case}: {what}\n{said}\n");
        if is_awaited(&case) {
            if told {
                complain("is told now: take it out of AWAITED");
            }
            continue;
        }
        if output.status.code() != Some(2) || !output.stdout.is_empty() {
            complain(&format!(
                "exit {:?} or printed a report",
                output.status.code()
            ));
            continue;
        }
        if !told {
            complain("not the problem that its name says");
        }
        if let Some(misplaced) = misplaced(&said, folder.path()) {
            complain(&misplaced);
        }
        let path = root().join(&case).join("expected.txt");
        if overwrite {
            std::fs::write(&path, &said).unwrap();
        } else if std::fs::read_to_string(&path).unwrap_or_default() != said {
            complain("not the expected text; it said");
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// Holds each row that is shown against the file itself: the row has that number and begins with that cell.
fn misplaced(said: &str, folder: &Path) -> Option<String> {
    for line in said.lines() {
        let Some((name, rest)) = line.split_once(", row ") else {
            continue;
        };
        let number: String = rest.chars().take_while(char::is_ascii_digit).collect();
        let paths = [folder.join(name), folder.join("shop").join(name)];
        let Some(path) = paths.iter().find(|path| path.is_file()) else {
            continue;
        };
        let text = String::from_utf8_lossy(&std::fs::read(path).unwrap()).into_owned();
        let text = text.trim_start_matches('\u{feff}');
        // Lone carriage returns end a row for the reader of tables, and not for a person.
        if said.contains("carriage return") {
            continue;
        }
        let rows = rows_of(text);
        let there = rows.get(number.parse::<usize>().unwrap() - 1);
        let label = rest
            .strip_prefix(&format!("{number} ("))
            .and_then(|rest| rest.split_once(')'))
            .map_or("", |(label, _)| label.trim_end_matches('…'));
        let plain: String = there?
            .trim_start_matches('"')
            .chars()
            .map(|c| {
                if sandarac::text::steers(c) {
                    '\u{fffd}'
                } else {
                    c
                }
            })
            .collect();
        if !plain.trim_start().starts_with(label) {
            return Some(format!("{line} names `{label}`, but the row is `{plain}`"));
        }
    }
    None
}

/// The rows of a table as a spreadsheet counts them: a quoted cell may have several lines.
fn rows_of(text: &str) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    let mut open = false;
    for line in text.split('\n') {
        match rows.last_mut().filter(|_| open) {
            Some(row) => row.push_str(line),
            None => rows.push(line.to_string()),
        }
        let comment = !open && line.starts_with('#');
        open ^= !comment && line.matches('"').count() % 2 == 1;
    }
    rows
}

/// The codes in a file of faults: of a list `faults!`, or of a `fn code`.
fn codes_in(text: &str) -> BTreeSet<String> {
    let Some((_, list)) = text.split_once("fn code(&self)") else {
        let faults = text.lines().filter(|line| line.ends_with("=> ("));
        let codes = faults.map(|line| line.split('"').nth(1).unwrap());
        return codes.map(str::to_string).collect();
    };
    let (list, _) = list.split_once("\n    }\n").unwrap();
    list.split('"')
        .skip(1)
        .step_by(2)
        .map(str::to_string)
        .collect()
}

/// The names of all faults of each layer.
fn codes() -> BTreeSet<String> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut names: Vec<String> = Vec::new();
    for layer in names_in(&src).iter().filter(|name| src.join(name).is_dir()) {
        let files = names_in(&src.join(layer));
        for file in files.iter().filter(|name| name.ends_with("fault.rs")) {
            let text = std::fs::read_to_string(src.join(layer).join(file)).unwrap();
            names.extend(codes_in(&text));
        }
    }
    let all: BTreeSet<String> = names.iter().cloned().collect();
    assert_eq!(all.len(), names.len(), "a duplicate code");
    assert!(all.len() > 50, "only {} codes", all.len());
    all
}

#[test]
fn every_code_has_its_case() {
    let shown: BTreeSet<String> = cases()
        .iter()
        .map(|case| case.split('.').next().unwrap().to_string())
        .collect();
    let codes = codes();
    let excused: BTreeSet<String> = NO_FOLDER.iter().map(|(code, _)| code.to_string()).collect();
    let strange: Vec<&String> = shown
        .iter()
        .chain(&excused)
        .filter(|c| !codes.contains(*c))
        .collect();
    assert!(strange.is_empty(), "no code: {strange:?}");
    let both: Vec<&String> = shown.intersection(&excused).collect();
    assert!(both.is_empty(), "excused, and yet shown: {both:?}");
    let untold: Vec<&String> = codes
        .iter()
        .filter(|c| !shown.contains(*c) && !excused.contains(*c))
        .collect();
    assert!(untold.is_empty(), "no folder in tests/problems: {untold:?}");
}

/// A message says what, where, and what to write instead; it names nothing of the machine.
#[test]
fn every_message_is_whole() {
    for case in cases().into_iter().filter(|case| !is_awaited(case)) {
        let path = root().join(&case).join("expected.txt");
        let text = std::fs::read_to_string(&path).unwrap();
        let count = |what: fn(&str) -> bool| text.lines().filter(|line| what(line)).count();
        let fixes = count(|line| {
            let more = ["  See also ", "  The same problem is in "];
            line.starts_with("  ") && !more.iter().any(|words| line.starts_with(words))
        });
        let wrongs = count(|line| {
            !line.starts_with(' ') && line.contains(": ") && !line.starts_with("pack: ")
        });
        assert!(fixes > 0 && fixes == wrongs, "{case}: {fixes} of {wrongs}");
        for old in ["-->", "error[", "= help", "^", "/tmp"] {
            assert!(!text.contains(old), "{case}: {old}");
        }
        let mut said = text.lines().filter(|line| !line.starts_with("pack: "));
        let last = said.next_back().unwrap_or_default();
        assert!(last.contains("problem"), "{case}: {last}");
    }
}

//! The worked cases of the built-in packs guard each limit: a limit that is moved a little makes a case fail. A fifth of the
//! limits is tried; `SANDARAC_LIMITS=all` tries all.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_arithmetic)]

use sandarac::audit::check_pack;
use sandarac::text::{Files, Problems};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// Files of a pack beside its rules, where it has them.
const SHARED: [&str; 3] = ["pack.toml", "sources.toml", "classes.toml"];

fn entries(folder: &Path) -> Vec<PathBuf> {
    let list = fs::read_dir(folder).unwrap();
    let mut paths: Vec<PathBuf> = list.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths
}

/// A pack of one rule and its cases.
fn pack_of(pack: &Path, rule: &Path) -> TempDir {
    let folder = TempDir::new().unwrap();
    for name in SHARED {
        if pack.join(name).exists() {
            fs::copy(pack.join(name), folder.path().join(name)).unwrap();
        }
    }
    fs::create_dir(folder.path().join("rules")).unwrap();
    fs::create_dir(folder.path().join("cases")).unwrap();
    let name = rule.file_name().unwrap();
    fs::copy(
        pack.join("cases").join(name),
        folder.path().join("cases").join(name),
    )
    .unwrap();
    folder
}

fn holds(folder: &Path, rule: &Path, text: &str) -> bool {
    let path = folder.join("rules").join(rule.file_name().unwrap());
    fs::write(path, text).unwrap();
    let (mut files, mut problems) = (Files::default(), Problems::new());
    check_pack(folder, &mut files, &mut problems);
    problems.none()
}

/// The number and the unit of a line that states a limit: `value = "60 gal"`, a line of a table with one for each class, or the
/// factor of an adjustment, which has no unit.
fn limit_of<'t>(section: &str, line: &'t str) -> Option<(&'t str, &'t str)> {
    let (key, rest) = line.split_once('=')?;
    let is_limit = matches!(key.trim(), "value" | "above" | "beyond" | "floor" | "times");
    if !is_limit && !section.ends_with(".value]") {
        return None;
    }
    let text = rest.trim().strip_prefix('"')?.strip_suffix('"')?;
    Some(text.split_once(' ').unwrap_or((text, "")))
}

/// The kinds that compare estimates, which are close to their limit within a wide band.
const ESTIMATES: [&str; 2] = ["exposure-at-most", "dilution-at-least"];

/// The same number a little larger and a little smaller. What is counted moves by one, and what estimates are compared with by
/// half of itself.
fn moved(number: &str, unit: &str, is_estimate: bool) -> Vec<String> {
    let is_counted = ["day", "month", "hour"]
        .iter()
        .any(|word| unit.starts_with(word));
    let value: f64 = number.parse().unwrap();
    let step = match value {
        _ if is_counted => 1.0,
        // A factor of nothing.
        0.0 if unit.is_empty() => return Vec::new(),
        0.0 => 0.01,
        value if is_estimate => value * 0.5,
        value => value * 0.005,
    };
    let both = [value + step, value - step];
    let above_zero = both.into_iter().filter(|value| *value > 0.0);
    above_zero.map(|value| format!("{value:.6}")).collect()
}

#[test]
fn no_limit_can_move_without_a_case_that_fails() {
    let packs = entries(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/packs"));
    let step = match std::env::var("SANDARAC_LIMITS").as_deref() {
        Ok("all") => 1,
        Ok(_) | Err(_) => 5,
    };
    let (mut unguarded, mut met) = (Vec::new(), 0);
    for pack in packs {
        for rule in entries(&pack.join("rules")) {
            let text = fs::read_to_string(&rule).unwrap();
            let folder = pack_of(&pack, &rule);
            let is_estimate = ESTIMATES
                .iter()
                .any(|kind| text.contains(&format!("\"{kind}\"")));
            let lines: Vec<&str> = text.lines().collect();
            let (mut section, mut is_sound) = ("", false);
            for (at, line) in lines.iter().enumerate() {
                if line.starts_with('[') {
                    section = line;
                }
                let Some((old, unit)) = limit_of(section, line) else {
                    continue;
                };
                for number in moved(old, unit, is_estimate) {
                    met += 1;
                    if met % step > 0 {
                        continue;
                    }
                    if !std::mem::replace(&mut is_sound, true) {
                        assert!(holds(folder.path(), &rule, &text), "{}", rule.display());
                    }
                    let new = line.replacen(&format!("\"{old}"), &format!("\"{number}"), 1);
                    let mut changed = lines.clone();
                    changed[at] = &new;
                    if holds(folder.path(), &rule, &changed.join("\n")) {
                        unguarded.push(format!("{}: {section} {new}", rule.display()));
                    }
                }
            }
        }
    }
    assert!(met > 250, "only {met} limits were found");
    assert!(unguarded.is_empty(), "\n{}", unguarded.join("\n"));
}

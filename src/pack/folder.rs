//! The files of a pack folder: which of them are read, and which look as if they were meant to be. A file that is passed
//! over in silence would be a rule that never applies.

use super::fault::PackFault;
use crate::text::{FileFault, Files, Problem, Problems, Span, unseen};
use std::path::Path;

/// Questions that a pack adds to the round.
pub(super) const QUESTIONS: &str = "checks.csv";
/// What a pack folder is, for whoever left something out.
pub(super) const PACK_FOLDER: &str = "A pack is a folder with pack.toml, sources.toml and rules/. `sandarac rules new FOLDER` writes one to start from.";
/// The TOML files beside `rules/`.
const OWN: [&str; 3] = ["pack.toml", "sources.toml", "classes.toml"];
/// As many rules as a pack may have.
const MOST_RULES: usize = 2000;

/// The files that a pack folder holds or must hold.
pub(super) fn paths_of(
    folder: &Path,
    shown: &str,
    files: &mut Files,
    problems: &mut Problems,
) -> Vec<String> {
    let mut paths = vec!["pack.toml".to_string(), "sources.toml".to_string()];
    for name in ["classes.toml", QUESTIONS] {
        if std::fs::symlink_metadata(folder.join(name)).is_ok() {
            paths.push(name.to_string());
        }
    }
    let mut unread = |path: String, wanted: &'static str| {
        let file = files.hold(format!("{shown}/{path}"), Vec::new());
        problems.add(Problem::new(
            PackFault::NotRead { wanted },
            Span::whole(file),
        ));
    };
    for name in names_in(folder).unwrap_or_default() {
        if is_stray(&name) {
            unread(
                name,
                "Rules belong in rules/, each in a file that ends in .toml. Questions belong in checks.csv. Correct the name, or move the file out of the pack.",
            );
        }
    }
    let rules = names_in(&folder.join("rules"));
    for name in rules.iter().flatten() {
        if !is_rule(name) && is_stray_rule(name, rules.as_deref().unwrap_or_default()) {
            unread(
                format!("rules/{name}"),
                "A rule is a file in rules/ itself, and its name ends in .toml. Correct the name, or move the file out of rules/.",
            );
        }
    }
    let fault = match rules.and_then(rule_names) {
        Ok(names) if !names.is_empty() => {
            paths.extend(names.into_iter().map(|name| format!("rules/{name}")));
            return paths;
        }
        Ok(_) => FileFault::Missing {
            name: "A rule in rules/".to_string(),
            hint: PACK_FOLDER.to_string(),
        },
        Err(fault) => fault,
    };
    let file = files.hold(format!("{shown}/rules"), Vec::new());
    problems.add(Problem::new(fault, Span::whole(file)));
    paths
}

fn unreadable(why: String) -> FileFault {
    FileFault::Unreadable { why }
}

/// The names in a folder, in order; none if there is no such folder.
fn names_in(folder: &Path) -> Result<Vec<String>, FileFault> {
    let list = match std::fs::read_dir(folder) {
        Ok(list) => list,
        Err(fault) if fault.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(fault) => return Err(unreadable(fault.to_string())),
    };
    let mut names = Vec::new();
    for entry in list {
        let name = entry.map_err(|fault| unreadable(fault.to_string()))?;
        names.push(name.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    Ok(names)
}

/// The names of rule files among these. A name that cannot be a rule's is a problem.
fn rule_names(names: Vec<String>) -> Result<Vec<String>, FileFault> {
    let rules: Vec<String> = names.into_iter().filter(|name| is_rule(name)).collect();
    let odd = |c: char| c == '\u{fffd}' || unseen(c.encode_utf8(&mut [0; 4])).is_some();
    let is_odd = |name: &&String| name.contains(odd) || name.chars().count() > 200;
    if let Some(name) = rules.iter().find(is_odd) {
        return Err(unreadable(format!("`{name}` cannot be the name of a rule")));
    }
    if rules.len() > MOST_RULES {
        return Err(unreadable(format!("it has more than {MOST_RULES} rules")));
    }
    Ok(rules)
}

fn is_rule(name: &str) -> bool {
    name.ends_with(".toml") && !name.starts_with('.')
}

/// A hidden file is one of an editor or a system, unless it is a rule with a dot before its name.
fn is_hidden(name: &str) -> bool {
    let of_a_system = name.starts_with("._") || name.starts_with(".#");
    name.starts_with('.') && (of_a_system || !name.ends_with(".toml"))
}

/// Could it be a rule or a table of questions that is in the wrong place or has the wrong name?
fn is_stray(name: &str) -> bool {
    let lower = name.to_lowercase();
    let is_known =
        OWN.contains(&name) || [QUESTIONS, "rules", "cases", "shop.toml"].contains(&name);
    let is_copy = is_copy(name, &OWN) || is_copy(name, &[QUESTIONS]);
    let is_questions = lower.starts_with("check") && lower.contains(".csv");
    let is_folder = ["rules", "cases"].contains(&lower.as_str());
    let is_meant = lower.contains(".toml") || is_questions || is_folder;
    is_meant && !is_known && !is_copy && !is_hidden(name)
}

/// In `rules/`, all but notes and copies is meant as a rule.
fn is_stray_rule(name: &str, names: &[String]) -> bool {
    let lower = name.to_lowercase();
    let is_note = lower.starts_with("readme") && !lower.contains(".toml");
    let of_a_system = ["thumbs.db", "desktop.ini"].contains(&lower.as_str());
    !(is_hidden(name) || is_note || of_a_system || is_copy(name, names))
}

/// Is it a copy that an editor keeps beside one of these?
fn is_copy(name: &str, names: &[impl AsRef<str>]) -> bool {
    let endings = ["~", ".bak", ".orig", ".old"];
    names.iter().any(|known| {
        let rest = name.strip_prefix(known.as_ref());
        rest.is_some_and(|rest| endings.contains(&rest)) || name == format!("#{}#", known.as_ref())
    })
}

#[cfg(test)]
mod tests {
    use super::{is_stray, is_stray_rule};

    #[test]
    fn what_may_be_meant_as_a_rule_is_told_and_the_files_of_editors_are_not() {
        let names = ["x.toml".to_string()];
        for name in [
            "y.toml.txt",
            "x.TOML",
            "sub",
            ".y.toml",
            "y.tml",
            "y.txt",
            "README.toml.txt",
            "y.toml~",
        ] {
            assert!(is_stray_rule(name, &names), "{name}");
        }
        for name in [
            ".x.toml.swp",
            "._x.toml",
            ".#x.toml",
            "#x.toml#",
            "x.toml~",
            "x.toml.bak",
            ".DS_Store",
            "README.txt",
            "readme",
            "Thumbs.db",
        ] {
            assert!(!is_stray_rule(name, &names), "{name}");
        }
        for name in [
            "x.toml",
            "x.toml.txt",
            "Checks.csv",
            "checks.csv.txt",
            "check.csv",
            "Rules",
            "CLASSES.toml",
        ] {
            assert!(is_stray(name), "{name}");
        }
        for name in [
            "pack.toml",
            "checks.csv",
            "rules",
            "cases",
            "README.md",
            "notes.txt",
            "letter.pdf",
            ".git",
            "pack.toml~",
            "checks.csv.bak",
            "photos",
        ] {
            assert!(!is_stray(name), "{name}");
        }
    }
}

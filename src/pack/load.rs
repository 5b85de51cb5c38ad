//! A folder or the built-in list to a pack, all problems gathered.

use super::about::{About, SourceDocument, read_about, read_sources};
use super::classes::{Scheme, read_scheme};
use super::document::Document;
use super::embedded::BUILT_IN_PACKS;
use super::rule::{Rule, read_rule};
use crate::files::{Barred, open_in};
use crate::text::{FileFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Span, unseen};
use std::collections::BTreeMap;
use std::path::Path;

/// A pack that read cleanly.
#[derive(Clone, Debug)]
pub struct Pack {
    /// Its folder's name.
    pub id: String,
    /// What it is.
    pub about: About,
    /// The documents it rests on.
    pub sources: BTreeMap<String, SourceDocument>,
    /// Its classes of liquids, if it has any.
    pub scheme: Option<Scheme>,
    /// Its rules, by id.
    pub rules: Vec<Rule>,
}

/// The packs that are built in.
pub fn built_in_names() -> Vec<&'static str> {
    let mut names: Vec<&str> = BUILT_IN_PACKS
        .iter()
        .filter_map(|(path, _)| path.split('/').next())
        .collect();
    names.dedup();
    names
}

/// Loads a built-in pack; `None` if there is none of that name.
pub fn load_built_in(id: &str, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    let prefix = format!("{id}/");
    let parts: Vec<(String, FileId)> = BUILT_IN_PACKS
        .iter()
        .filter_map(|(path, text)| {
            let inner = path.strip_prefix(&prefix)?;
            Some((
                inner.to_string(),
                files.hold(format!("data/packs/{path}"), text.as_bytes()),
            ))
        })
        .collect();
    if parts.is_empty() {
        return None;
    }
    load_held(id, &parts, files, problems)
}

/// Loads a pack from a folder.
pub fn load_folder(folder: &Path, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    let shown = folder.display().to_string();
    let id = folder
        .file_name()
        .map_or_else(|| shown.clone(), |name| name.to_string_lossy().into_owned());
    let mut parts = Vec::new();
    let mut paths = vec!["pack.toml".to_string(), "sources.toml".to_string()];
    if std::fs::symlink_metadata(folder.join("classes.toml")).is_ok() {
        paths.push("classes.toml".to_string());
    }
    let rules = toml_files(&folder.join("rules"));
    match rules {
        Ok(names) if names.is_empty() => {
            let file = files.hold(format!("{shown}/rules"), Vec::new());
            let name = "rule in rules/".to_string();
            let hint = "a pack is a folder with pack.toml, sources.toml and rules/".to_string();
            problems.add(Problem::new(
                FileFault::Missing { name, hint },
                Span::whole(file),
            ));
        }
        Ok(names) => paths.extend(names.into_iter().map(|name| format!("rules/{name}"))),
        Err(code) => {
            let file = files.hold(format!("{shown}/rules"), Vec::new());
            problems.add(Problem::new(code, Span::whole(file)));
        }
    }
    for path in paths {
        let name = format!("{shown}/{path}");
        let code = match open_in(files, name, folder, &path, MOST_BYTES_KEPT) {
            Ok(file) => {
                parts.push((path, file));
                continue;
            }
            Err(Barred::For(code)) => code,
            Err(Barred::Missing) => {
                let hint = "a pack is a folder with pack.toml, sources.toml and rules/".to_string();
                FileFault::Missing {
                    name: path.clone(),
                    hint,
                }
            }
        };
        let file = files.hold(format!("{shown}/{path}"), Vec::new());
        problems.add(Problem::new(code, Span::whole(file)));
    }
    load_held(&id, &parts, files, problems)
}

/// As many rules as a pack may have.
const MOST_RULES: usize = 2000;

/// The TOML files of a folder, in order; none if there is no such folder. A file that is passed over in silence would be
/// a rule that nobody is held to, so a name that cannot be a rule's is told.
fn toml_files(folder: &Path) -> Result<Vec<String>, FileFault> {
    let unreadable = |why: String| FileFault::Unreadable { why };
    let list = match std::fs::read_dir(folder) {
        Ok(list) => list,
        Err(fault) if fault.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(fault) => return Err(unreadable(fault.to_string())),
    };
    let mut names = Vec::new();
    for entry in list {
        let name = entry.map_err(|fault| unreadable(fault.to_string()))?;
        let name = name.file_name().to_string_lossy().into_owned();
        if !name.ends_with(".toml") || name.starts_with('.') {
            continue;
        }
        let odd = |c: char| c == '\u{fffd}' || unseen(c.encode_utf8(&mut [0; 4])).is_some();
        if name.contains(odd) || name.chars().count() > 200 {
            return Err(unreadable(format!("`{name}` is no name for a rule")));
        }
        names.push(name);
        if names.len() > MOST_RULES {
            return Err(unreadable(format!("it has more than {MOST_RULES} rules")));
        }
    }
    names.sort();
    Ok(names)
}

/// Puts a pack together from files that are held already, each named by its path inside the pack.
pub fn load_held(
    id: &str,
    parts: &[(String, FileId)],
    files: &Files,
    problems: &mut Problems,
) -> Option<Pack> {
    let find = |name: &str| {
        parts
            .iter()
            .find(|(path, _)| path == name)
            .map(|(_, file)| *file)
    };
    let about = find("pack.toml")
        .and_then(|file| Document::parse(files, file, problems))
        .and_then(|document| read_about(&document, problems));
    let sources = find("sources.toml")
        .and_then(|file| Document::parse(files, file, problems))
        .map(|document| read_sources(&document, problems))
        .unwrap_or_default();
    let scheme = find("classes.toml")
        .and_then(|file| Document::parse(files, file, problems))
        .and_then(|document| read_scheme(&document, &sources, problems));
    let mut rules = Vec::new();
    for (path, file) in parts {
        let Some(rule_id) = path
            .strip_prefix("rules/")
            .and_then(|name| name.strip_suffix(".toml"))
        else {
            continue;
        };
        let Some(document) = Document::parse(files, *file, problems) else {
            continue;
        };
        rules.extend(read_rule(rule_id, *file, &document, &sources, problems));
    }
    Some(Pack {
        id: id.to_string(),
        about: about?,
        sources,
        scheme,
        rules,
    })
}

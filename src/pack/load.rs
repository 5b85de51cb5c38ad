//! A folder or the built-in list to a pack, all problems gathered.

use super::about::{About, SourceDocument, read_about, read_sources};
use super::classes::{Scheme, read_scheme};
use super::document::Document;
use super::embedded::BUILT_IN_PACKS;
use super::rule::{Rule, read_rule};
use crate::text::{Code, FileId, Files, Place, Problem, Problems};
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
    assemble(id, &parts, files, problems)
}

/// Loads a pack from a folder.
pub fn load_folder(folder: &Path, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    let shown = folder.display().to_string();
    let id = folder
        .file_name()
        .map_or_else(|| shown.clone(), |name| name.to_string_lossy().into_owned());
    let mut parts = Vec::new();
    let mut paths = vec!["pack.toml".to_string(), "sources.toml".to_string()];
    if folder.join("classes.toml").exists() {
        paths.push("classes.toml".to_string());
    }
    paths.extend(
        toml_files(&folder.join("rules"))
            .into_iter()
            .map(|name| format!("rules/{name}")),
    );
    for path in paths {
        match files.open(format!("{shown}/{path}"), &folder.join(&path)) {
            Ok(file) => parts.push((path, file)),
            Err(fault) => {
                let file = files.hold(format!("{shown}/{path}"), Vec::new());
                let code = if fault.kind() == std::io::ErrorKind::NotFound {
                    let hint =
                        "a pack is a folder with pack.toml, sources.toml and rules/".to_string();
                    Code::FileMissing { name: path, hint }
                } else {
                    Code::Unreadable {
                        why: fault.to_string(),
                    }
                };
                problems.add(Problem::new(code, Place::whole(file)));
            }
        }
    }
    assemble(&id, &parts, files, problems)
}

/// The TOML files of a folder, in order; none if there is no such folder.
pub fn toml_files(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .map(|list| {
            list.filter_map(|entry| entry.ok()?.file_name().into_string().ok())
                .collect()
        })
        .unwrap_or_default();
    names.retain(|name| name.ends_with(".toml") && !name.starts_with('.'));
    names.sort();
    names
}

fn assemble(
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

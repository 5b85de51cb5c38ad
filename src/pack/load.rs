//! A folder or the built-in list to a pack, all problems gathered.

use super::about::{SourceDocument, read_about, read_sources};
use super::adopt::{inherit, read_change};
use super::classes::read_scheme;
use super::contents::Pack;
use super::document::{Document, WithSpan};
use super::embedded::built_in_packs;
use super::fault::PackFault;
use super::rule::{Rule, read_rule};
use crate::files::{Barred, open_in};
use crate::text::{
    CellFault, FileFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Span, unseen,
};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Questions that a pack adds to the round.
const QUESTIONS: &str = "checks.csv";
/// What a pack folder is, for whoever left something out.
const PACK_FOLDER: &str = "A pack is a folder with pack.toml, sources.toml and rules/. `sandarac rules new FOLDER` writes one to start from.";

/// The packs that are built in.
pub fn built_in_names() -> Vec<&'static str> {
    let mut names: Vec<&str> = built_in_packs()
        .into_iter()
        .filter_map(|(path, _)| path.split('/').next())
        .collect();
    names.dedup();
    names
}

/// Loads a built-in pack; `None` if there is none of that name.
pub fn load_built_in(id: &str, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    let prefix = format!("{id}/");
    let parts: Vec<(String, FileId)> = built_in_packs()
        .into_iter()
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
    let parts = Parts { id, list: parts };
    load(&parts, &[], files, problems)
}

/// Loads a pack from a folder.
pub fn load_folder(folder: &Path, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    load_adopter(&[folder.to_path_buf()], files, problems)
}

/// Loads the last of some folders, each of which adopts the next.
fn load_adopter(adopters: &[PathBuf], files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    let folder = adopters.last()?;
    let shown = folder.display().to_string();
    if !folder.is_dir() {
        let file = files.hold(shown, Vec::new());
        let fault = FileFault::Missing {
            name: "The folder".to_string(),
            hint: PACK_FOLDER.to_string(),
        };
        problems.add(Problem::new(fault, Span::whole(file)));
        return None;
    }
    let id = folder
        .file_name()
        .map_or_else(|| shown.clone(), |name| name.to_string_lossy().into_owned());
    let mut list = Vec::new();
    for path in paths_of(folder, &shown, files, problems) {
        let name = format!("{shown}/{path}");
        let fault = match open_in(files, name.clone(), folder, &path, MOST_BYTES_KEPT) {
            Ok(file) => {
                list.push((path, file));
                continue;
            }
            Err(Barred::For(fault)) => fault,
            Err(Barred::Missing) => FileFault::Missing {
                name: "The file".to_string(),
                hint: PACK_FOLDER.to_string(),
            },
        };
        let file = files.hold(name, Vec::new());
        problems.add(Problem::new(fault, Span::whole(file)));
    }
    let parts = Parts { id: &id, list };
    load(&parts, adopters, files, problems)
}

/// The files that a pack folder holds or must hold.
fn paths_of(folder: &Path, shown: &str, files: &mut Files, problems: &mut Problems) -> Vec<String> {
    let mut paths = vec!["pack.toml".to_string(), "sources.toml".to_string()];
    for name in ["classes.toml", QUESTIONS] {
        if std::fs::symlink_metadata(folder.join(name)).is_ok() {
            paths.push(name.to_string());
        }
    }
    let fault = match toml_files(&folder.join("rules")) {
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

/// As many rules as a pack may have.
const MOST_RULES: usize = 2000;

/// The TOML files of a folder, in order; none if there is no such folder. A file that is passed over in silence would be
/// a rule that never applies, so a name that cannot be a rule's is a problem.
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
            return Err(unreadable(format!("`{name}` cannot be the name of a rule")));
        }
        names.push(name);
        if names.len() > MOST_RULES {
            return Err(unreadable(format!("it has more than {MOST_RULES} rules")));
        }
    }
    names.sort();
    Ok(names)
}

/// The files of a pack, each named by its path inside it.
struct Parts<'p> {
    id: &'p str,
    list: Vec<(String, FileId)>,
}

impl Parts<'_> {
    fn find(&self, name: &str) -> Option<FileId> {
        let found = self.list.iter().find(|(path, _)| path == name);
        found.map(|(_, file)| *file)
    }
}

/// Puts a pack together from files that are held already, each named by its path inside the pack.
pub fn load_held(
    id: &str,
    parts: &[(String, FileId)],
    files: &mut Files,
    problems: &mut Problems,
) -> Option<Pack> {
    let parts = Parts {
        id,
        list: parts.to_vec(),
    };
    load(&parts, &[], files, problems)
}

fn load(
    parts: &Parts<'_>,
    adopters: &[PathBuf],
    files: &mut Files,
    problems: &mut Problems,
) -> Option<Pack> {
    let about = parts
        .find("pack.toml")
        .and_then(|file| Document::parse(files, file, problems))
        .and_then(|document| read_about(&document, problems))?;
    // Without what it adopts, nearly every rule would look wrong.
    let adopted = match &about.adopts {
        Some(name) => Some(load_adopted(name, adopters, files, problems)?),
        None => None,
    };
    let own = parts
        .find("sources.toml")
        .and_then(|file| Document::parse(files, file, problems))
        .map(|document| read_sources(&document, problems))
        .unwrap_or_default();
    // A change may cite what the adopted pack cites.
    let mut sources = own;
    for (key, document) in adopted.iter().flat_map(|adopted| &adopted.sources) {
        sources
            .entry(key.clone())
            .or_insert_with(|| document.clone());
    }
    let scheme = parts
        .find("classes.toml")
        .and_then(|file| Document::parse(files, file, problems))
        .and_then(|document| read_scheme(&document, &sources, problems));
    let rules = read_rules(parts, adopted.as_ref(), &sources, files, problems);
    let mut pack = Pack {
        id: parts.id.to_string(),
        about,
        sources,
        scheme,
        rules,
        questions: parts
            .find(QUESTIONS)
            .and_then(|file| held(files, file))
            .into_iter()
            .collect(),
    };
    if let Some(adopted) = adopted {
        inherit(&mut pack, adopted);
    }
    Some(pack)
}

fn held(files: &Files, file: FileId) -> Option<(String, Vec<u8>)> {
    let text = files.held(file)?.to_vec();
    Some((files.name(file).to_string(), text))
}

fn load_adopted(
    name: &WithSpan<String>,
    adopters: &[PathBuf],
    files: &mut Files,
    problems: &mut Problems,
) -> Option<Pack> {
    let is_path = name.value.contains(['/', '\\', '.']);
    let folder = adopters.last().filter(|_| is_path);
    let folder = folder.map(|adopter| adopter.join(&name.value));
    let same = |folder: &Path, other: &PathBuf| {
        std::fs::canonicalize(folder)
            .is_ok_and(|one| std::fs::canonicalize(other).is_ok_and(|two| one == two))
    };
    let pack = match &folder {
        Some(folder) if adopters.iter().any(|adopter| same(folder, adopter)) => {
            let pack = name.value.clone();
            problems.add(Problem::new(PackFault::AdoptsItself { pack }, name.at));
            return None;
        }
        Some(folder) if folder.is_dir() => {
            let adopters: Vec<PathBuf> = adopters.iter().chain([folder]).cloned().collect();
            return load_adopter(&adopters, files, problems);
        }
        Some(_) => None,
        None => load_built_in(&name.value, files, problems),
    };
    if pack.is_none() {
        let fault = CellFault::NameUnknown {
            kind: "pack",
            read: name.value.clone(),
            near: problems.near(&name.value, built_in_names()),
        };
        problems.add(Problem::new(fault, name.at));
    }
    pack
}

fn read_rules(
    parts: &Parts<'_>,
    adopted: Option<&Pack>,
    sources: &BTreeMap<String, SourceDocument>,
    files: &Files,
    problems: &mut Problems,
) -> Vec<Rule> {
    let mut rules = Vec::new();
    for (path, file) in &parts.list {
        let id = path.strip_prefix("rules/");
        let Some(id) = id.and_then(|name| name.strip_suffix(".toml")) else {
            continue;
        };
        let Some(document) = Document::parse(files, *file, problems) else {
            continue;
        };
        let changed = adopted
            .and_then(|pack| Some((pack, pack.rules.iter().find(|rule| rule.id == id)?)))
            .filter(|_| !document.top(id).has("check"));
        rules.extend(match changed {
            Some((pack, rule)) => {
                read_change((&pack.id, rule), *file, &document, sources, problems)
            }
            None => read_rule(id, *file, &document, sources, problems),
        });
    }
    rules
}

//! A folder or the built-in list to a pack, all problems gathered.

use super::about::{SourceDocument, read_about, read_sources};
use super::adopt::{inherit, read_change};
use super::classes::{Scheme, read_scheme};
use super::contents::Pack;
use super::document::{Document, WithSpan};
use super::embedded::built_in_packs;
use super::fault::PackFault;
use super::folder::{PACK_FOLDER, QUESTIONS, paths_of};
use super::rule::{Rule, read_rule};
use crate::files::{Barred, open_in};
use crate::text::{CellFault, FileFault, FileId, Files, MOST_BYTES_KEPT, Problem, Problems, Span};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

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

/// Loads a pack from a folder, which may not have the name of a built-in pack.
pub fn load_folder(folder: &Path, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    if let Some(name) = built_in_name(folder) {
        let file = files.hold(folder.display().to_string(), Vec::new());
        let fault = PackFault::NameBuiltIn { name };
        problems.add(Problem::new(fault, Span::whole(file)));
        return None;
    }
    load_adopter(&[folder.to_path_buf()], files, problems)
}

/// Loads a pack that is only looked at: it may also be the folder from which a built-in pack is made.
pub fn load_to_check(folder: &Path, files: &mut Files, problems: &mut Problems) -> Option<Pack> {
    let about = std::fs::read(folder.join("pack.toml")).unwrap_or_default();
    let name = built_in_name(folder).map(|name| format!("{name}/pack.toml"));
    let mut built_in = built_in_packs().into_iter();
    let is_origin = built_in
        .any(|(path, text)| Some(path) == name.as_deref() && text.as_bytes() == about.as_slice());
    if is_origin {
        return load_adopter(&[folder.to_path_buf()], files, problems);
    }
    load_folder(folder, files, problems)
}

/// The built-in pack whose name a folder has. Its rules would be taken for those of the built-in pack, or hide them.
fn built_in_name(folder: &Path) -> Option<&'static str> {
    let name = folder.file_name()?.to_string_lossy();
    let mut names = built_in_names().into_iter();
    names.find(|known| known.eq_ignore_ascii_case(&name))
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
    if let (Some(scheme), Some(adopted)) = (&scheme, &adopted)
        && let Some(fault) = lacking(scheme, adopted)
    {
        let at = parts.find("classes.toml").map(Span::whole);
        problems.add(Problem::new(fault, at?));
        return None;
    }
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

/// The classes that adopted rules name and a scheme of the pack's own does not have: one problem, and not one a rule.
fn lacking(scheme: &Scheme, adopted: &Pack) -> Option<PackFault> {
    let rules = adopted.rules.iter();
    let selects = rules.flat_map(|rule| {
        let others = rule.with.iter().chain(&rule.never);
        std::iter::once(&rule.select).chain(others)
    });
    let has = |name: &str| scheme.classes.iter().any(|class| class.name == name);
    let words = selects.flat_map(|select| select.words("class"));
    let lacking: BTreeSet<&str> = words
        .map(|told| told.value.as_str())
        .filter(|name| !has(name))
        .collect();
    let classes = lacking.into_iter().collect::<Vec<_>>().join(", ");
    let pack = adopted.id.clone();
    (!classes.is_empty()).then_some(PackFault::ClassesLack { classes, pack })
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
    let beside = |name: &str| {
        let path = format!("../{name}");
        let folder = adopters.last()?.join(&path);
        folder.join("pack.toml").is_file().then_some(path)
    };
    let pack = match &folder {
        Some(folder) if adopters.iter().any(|adopter| same(folder, adopter)) => {
            let pack = name.value.clone();
            problems.add(Problem::new(PackFault::AdoptsItself { pack }, name.at));
            return None;
        }
        Some(folder) => {
            if built_in_name(folder).is_some() {
                return load_folder(folder, files, problems);
            }
            let adopters: Vec<PathBuf> = adopters.iter().chain([folder]).cloned().collect();
            return load_adopter(&adopters, files, problems);
        }
        None => load_built_in(&name.value, files, problems),
    };
    if pack.is_none() {
        let fault = CellFault::NameUnknown {
            kind: "pack",
            read: name.value.clone(),
            near: beside(&name.value).or_else(|| problems.near(&name.value, built_in_names())),
        };
        problems.add(Problem::new(fault, name.at));
    }
    pack
}

/// The rules of a pack's own. One with a `check` is new; one without changes the adopted rule of its name.
fn read_rules<'a>(
    parts: &Parts<'_>,
    adopted: Option<&'a Pack>,
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
        let is_change = !document.top(id).has("check");
        let same = |pack: &'a Pack| pack.rules.iter().find(|rule| rule.id == id);
        let fault = match (adopted, adopted.and_then(same)) {
            (Some(pack), Some(rule)) if is_change => {
                let named = (pack.id.as_str(), rule);
                rules.extend(read_change(named, *file, &document, sources, problems));
                continue;
            }
            (Some(pack), Some(_)) => PackFault::RuleAdopted {
                pack: pack.id.clone(),
            },
            (Some(pack), None) if is_change => {
                let names = pack.rules.iter().map(|rule| rule.id.as_str());
                PackFault::ChangesNothing {
                    near: problems.near(id, names),
                }
            }
            (_, None) | (None, _) => {
                rules.extend(read_rule(id, *file, &document, sources, problems));
                continue;
            }
        };
        problems.add(Problem::new(fault, Span::whole(*file)));
    }
    rules
}

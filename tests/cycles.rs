//! No import cycles between the files of one layer: each file can be read with those before it known.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Path below `src` without its ending, and text without comments and unit tests.
fn sources() -> BTreeMap<String, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let (mut found, mut folders) = (BTreeMap::new(), vec![root.clone()]);
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|end| end == "rs") {
                let text = std::fs::read_to_string(&path).unwrap();
                // Unit tests in the file itself are its last part.
                let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
                let code = |line: &str| line.split("//").next().unwrap_or("").to_string();
                let text = text.lines().map(code).collect::<Vec<_>>().join("\n");
                let name = path.strip_prefix(&root).unwrap().with_extension("");
                found.insert(name.to_string_lossy().replace('\\', "/"), text);
            }
        }
    }
    found
}

/// `a::{b, c::{d, e}}` as `a::b`, `a::c::d`, `a::c::e`.
fn expand(tree: &str) -> Vec<String> {
    let Some((head, rest)) = tree.split_once('{') else {
        let path = tree.split(" as ").next().unwrap().trim();
        return vec![path.to_string()];
    };
    // The word `use` in a text is no import.
    let Some(end) = rest.rfind('}') else {
        return Vec::new();
    };
    let body = &rest[..end];
    let (mut depth, mut start, mut parts) = (0_i32, 0, Vec::new());
    for (at, c) in body.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                parts.push(&body[start..at]);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(&body[start..]);
    let parts = parts.into_iter().filter(|part| !part.trim().is_empty());
    parts
        .flat_map(expand)
        .map(|path| format!("{}{path}", head.trim()))
        .collect()
}

/// Every path that a text uses: those of its `use` lines, and those that begin with `crate` or `super`.
fn paths(text: &str) -> BTreeSet<String> {
    let mut paths = BTreeSet::new();
    for part in text.split("use ").skip(1) {
        if let Some((tree, _)) = part.split_once(';') {
            paths.extend(expand(
                &tree.split_whitespace().collect::<Vec<_>>().join(" "),
            ));
        }
    }
    for start in ["crate::", "super::"] {
        for (at, _) in text.match_indices(start) {
            let part = |c: char| c.is_alphanumeric() || c == '_' || c == ':';
            let end = text[at..].find(|c| !part(c)).unwrap_or(text.len() - at);
            paths.insert(text[at..at + end].trim_end_matches(':').to_string());
        }
    }
    paths
}

/// The names that a `mod.rs` hands on, and the files they come from.
fn handed_on(text: &str) -> BTreeMap<String, Vec<String>> {
    let uses = text
        .split("pub use ")
        .skip(1)
        .chain(text.split("pub(super) use ").skip(1));
    uses.filter_map(|part| part.split_once(';'))
        .flat_map(|(tree, _)| expand(&tree.split_whitespace().collect::<Vec<_>>().join(" ")))
        .filter_map(|path| {
            let mut parts: Vec<String> = path.split("::").map(str::to_string).collect();
            Some((parts.pop()?, parts))
        })
        .collect()
}

/// The file that a path leads to from a file.
fn file_of(sources: &BTreeMap<String, String>, from: &str, path: &str) -> Option<String> {
    let mut parts: Vec<&str> = path.split("::").collect();
    let mut base: Vec<String> = from.split('/').map(str::to_string).collect();
    if parts.first() == Some(&"crate") {
        base.clear();
        parts.remove(0);
    } else if parts.first() != Some(&"super") {
        return None;
    }
    while parts.first() == Some(&"super") {
        base.pop();
        parts.remove(0);
    }
    base.extend(parts.into_iter().map(str::to_string));
    let mut left = 5;
    loop {
        let longest = (1..=base.len()).rev().find_map(|n| {
            let name = base[..n].join("/");
            let module = format!("{name}/mod");
            let found = [name, module]
                .into_iter()
                .find(|name| sources.contains_key(name))?;
            Some((found, base[n..].to_vec()))
        });
        let (found, rest) = longest?;
        let Some(folder) = found.strip_suffix("/mod") else {
            return Some(found);
        };
        let next = rest
            .first()
            .and_then(|name| handed_on(&sources[&found]).remove(name));
        let (Some(next), true) = (next, left > 0) else {
            return Some(found);
        };
        left -= 1;
        base = folder
            .split('/')
            .map(str::to_string)
            .chain(next)
            .chain(rest)
            .collect();
    }
}

#[test]
fn no_file_imports_in_a_circle() {
    let sources = sources();
    let layer = |file: &str| file.split('/').next().unwrap().to_string();
    let is_node = |file: &&String| !file.ends_with("mod") && file.contains('/');
    let arrows: BTreeMap<&String, BTreeSet<String>> = sources
        .keys()
        .filter(is_node)
        .map(|file| {
            let targets = paths(&sources[file]).into_iter();
            let targets = targets.filter_map(|path| file_of(&sources, file, &path));
            let inside =
                |to: &String| to != file && layer(to) == layer(file) && !to.ends_with("mod");
            (file, targets.filter(inside).collect())
        })
        .collect();
    let count: usize = arrows.values().map(BTreeSet::len).sum();
    assert!(count > 250, "only {count} arrows were seen");
    // Files without arrows out, or in, are taken away again and again; what is left lies on a circle, or between two.
    let mut left: BTreeSet<&String> = arrows.keys().copied().collect();
    loop {
        let out = |file: &String| arrows[file].iter().any(|to| left.contains(to));
        let into = |file: &String| left.iter().any(|from| arrows[*from].contains(file));
        let free: Vec<&String> = left
            .iter()
            .copied()
            .filter(|file| !out(file) || !into(file))
            .collect();
        if free.is_empty() {
            break;
        }
        left.retain(|file| !free.contains(file));
    }
    assert!(left.is_empty(), "in a circle: {left:#?}");
}

/// What this test reads with sees what it should.
#[test]
fn trees_and_names_are_followed() {
    let tree = "super::{a, b::{c, d as e}}";
    assert_eq!(expand(tree), ["super::a", "super::b::c", "super::b::d"]);
    let texts = [
        ("x/mod", "mod one;\npub use one::One;"),
        ("x/one", "use super::two::Two;"),
        ("x/two", "use crate::x::One;"),
    ];
    let sources = texts
        .map(|(name, text)| (name.to_string(), text.to_string()))
        .into();
    let one = file_of(&sources, "x/two", "crate::x::One");
    let two = file_of(&sources, "x/one", "super::two::Two");
    assert_eq!(
        (one.as_deref(), two.as_deref()),
        (Some("x/one"), Some("x/two"))
    );
}

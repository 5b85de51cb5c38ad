//! The notes that go with the sheets: what the labels are, what they leave to the data sheet, and what they rest on.

use super::content::LabelSources;
use super::placed::Placed;
use crate::text::clean;
use crate::trade::Classed;
use std::collections::BTreeSet;

/// The notes, each a heading and its paragraphs.
pub(super) fn notes(sources: &LabelSources<'_>, placed: &[Placed]) -> Vec<(String, Vec<String>)> {
    let mut notes = words();
    let gaps: Vec<String> = placed
        .iter()
        .filter(|p| !p.label.gaps.is_empty())
        .map(|p| format!("{}: {}", p.label.id, clean(&p.label.gaps.join("; "))))
        .collect();
    if !gaps.is_empty() {
        notes.push((
            "Unknown: look in the data sheet, and record it in products.csv".into(),
            gaps,
        ));
    }
    let records = records(sources, placed);
    if !records.is_empty() {
        notes.push(("Classes on record, and who says so".into(), records));
    }
    notes
}

/// The notes that stand with every print: headings, and paragraphs of one line each.
const WORDS: &str = include_str!("notes.md");

fn words() -> Vec<(String, Vec<String>)> {
    let mut notes: Vec<(String, Vec<String>)> = Vec::new();
    for line in WORDS.lines().filter(|line| !line.is_empty()) {
        match (line.strip_prefix("# "), notes.last_mut()) {
            (Some(heading), _) => notes.push((heading.to_string(), Vec::new())),
            (None, Some((_, paragraphs))) => paragraphs.push(line.to_string()),
            (None, None) => {}
        }
    }
    notes
}

fn records(sources: &LabelSources<'_>, placed: &[Placed]) -> Vec<String> {
    let names: BTreeSet<&str> = placed
        .iter()
        .flat_map(|p| p.label.substances.iter().map(String::as_str))
        .collect();
    names
        .into_iter()
        .filter_map(|name| Some((name, sources.ghs.substance(name)?)))
        .map(|(name, classes)| format!("{}: {}", clean(name), record(sources, classes)))
        .collect()
}

fn record(sources: &LabelSources<'_>, classes: &[Classed]) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut from: Vec<(&str, &str)> = Vec::new();
    for classed in classes {
        let code = sources
            .ghs
            .class(&classed.class)
            .map(|class| class.code.clone());
        words.push(code.unwrap_or_else(|| "no class".into()));
        if !from.contains(&(classed.source.as_str(), classed.seen.word())) {
            from.push((&classed.source, classed.seen.word()));
        }
    }
    let from: Vec<String> = from
        .iter()
        .map(|(source, seen)| format!("{source} ({seen})"))
        .collect();
    let note = classes
        .first()
        .map(|c| c.note.as_str())
        .filter(|note| !note.is_empty());
    let note = note.map_or_else(String::new, |note| format!(". {note}"));
    format!("{}; {}{note}", words.join(" "), from.join("; "))
}

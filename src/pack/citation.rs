//! A citation: document, clause, when it was read and how it was seen. It stands inside every value.

use super::about::SourceDocument;
use super::document::{Section, word};
use crate::pack::PackFault;
use crate::text::{CellFault, Problem, Problems, Span, nearest, words};
use std::collections::BTreeMap;

words! {
    /// How a figure was seen. Later is weaker.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Seen {
        /// The document itself, or an official text that repeats it, was read.
        Text = "text",
        /// A third party states it.
        Secondary = "secondary",
        /// From memory, unconfirmed: it may warn, never fail a shop.
        Memory = "memory",
    }
}

impl Seen {
    /// In words.
    pub fn how(self) -> &'static str {
        match self {
            Seen::Text => "read in the text",
            Seen::Secondary => "read in another source",
            Seen::Memory => "from memory, not confirmed",
        }
    }
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Citation {
    /// Title of the document.
    pub document: String,
    pub edition: String,
    /// Clause, table, page.
    pub clause: String,
    /// The month it was read.
    pub read: String,
    /// How it was seen.
    pub seen: Seen,
    /// What is unsure about it.
    pub note: Option<String>,
    /// Where it is in the pack.
    pub at: Span,
}

/// Reads the five keys of a citation from a section that may hold more.
pub(super) fn read_citation(
    section: &Section<'_>,
    sources: &BTreeMap<String, SourceDocument>,
    problems: &mut Problems,
) -> Option<Citation> {
    let (source, clause) = (
        section.must("source", problems),
        section.must("clause", problems),
    );
    let (read, seen) = (
        section.must("read", problems),
        section.must("seen", problems),
    );
    let note = section.text("note", problems).map(|told| told.value);
    let seen = seen.and_then(|told| word(&told, "seen", &Seen::WORDS, problems));
    let source = source?;
    let Some(document) = sources.get(&source.value) else {
        let near = nearest(&source.value, sources.keys().map(String::as_str)).map(str::to_string);
        let code = CellFault::NameUnknown {
            kind: "source",
            read: source.value.clone(),
            near,
        };
        problems.add(Problem::new(code, source.at));
        return None;
    };
    let read = read?;
    let month =
        read.value.len() == 7 && crate::quantity::Day::parse(&format!("{}-01", read.value)).is_ok();
    if !month {
        let code = PackFault::ValueWrong {
            key: "read".into(),
            wanted: "the month it was read, such as \"2026-11\"".into(),
        };
        problems.add(Problem::new(code, read.at));
    }
    Some(Citation {
        document: document.title.clone(),
        edition: document.edition.clone(),
        clause: clause?.value,
        read: read.value,
        seen: seen?,
        note,
        at: section.at(),
    })
}

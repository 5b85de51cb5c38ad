//! `pack.toml` and `sources.toml`: what a pack is, whom it binds, and the documents it rests on.

use super::document::{Document, WithSpan, word};
use crate::text::Problems;
use std::collections::BTreeMap;

/// Whom a pack binds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Binds {
    /// Anyone with employees.
    Employers,
    /// Anybody who does it as a business.
    Businesses,
    /// Everybody.
    Everyone,
}

/// `pack.toml`.
#[derive(Clone, Debug)]
pub struct PackAbout {
    /// What a reader calls it.
    pub title: String,
    /// Where it is in force.
    pub jurisdiction: String,
    /// Whom it binds.
    pub binds: Binds,
    /// What it covers and where it stops.
    pub about: String,
    /// The pack whose rules hold here too, where this one does not change them: a built-in one, or a folder beside this one.
    pub adopts: Option<WithSpan<String>>,
}

/// One document and edition.
#[derive(Clone, Debug)]
pub struct SourceDocument {
    pub title: String,
    pub edition: String,
    /// Who issues it.
    pub issuer: String,
    /// Where it can be read.
    pub address: Option<String>,
}

pub(super) fn read_about(document: &Document<'_>, problems: &mut Problems) -> Option<PackAbout> {
    let top = document.top("pack.toml");
    let (title, jurisdiction) = (
        top.must("title", problems),
        top.must("jurisdiction", problems),
    );
    let (binds, about) = (top.must("binds", problems), top.must("about", problems));
    let list = [
        ("employers", Binds::Employers),
        ("businesses", Binds::Businesses),
        ("everyone", Binds::Everyone),
    ];
    let adopts = top.text("adopts", problems);
    let binds = binds.and_then(|told| word(&told, "binds", &list, problems));
    let is_misread = adopts.is_none() && top.has("adopts");
    top.done(problems);
    // Without what it adopts, nearly every rule would look wrong.
    if is_misread {
        return None;
    }
    Some(PackAbout {
        title: title?.value,
        jurisdiction: jurisdiction?.value,
        binds: binds?,
        about: about?.value,
        adopts,
    })
}

pub(super) fn read_sources(
    document: &Document<'_>,
    problems: &mut Problems,
) -> BTreeMap<String, SourceDocument> {
    let mut sources = BTreeMap::new();
    for (WithSpan { value: key, .. }, section) in document.top("sources.toml").named(problems) {
        let (title, edition) = (
            section.must("title", problems),
            section.must("edition", problems),
        );
        let (issuer, address) = (
            section.must("issuer", problems),
            section.text("address", problems),
        );
        section.done(problems);
        // One that lacks a key is a problem once; each rule that cites it is not wrong too.
        let text = |told: Option<WithSpan<String>>| told.map(|told| told.value).unwrap_or_default();
        let document = SourceDocument {
            title: text(title),
            edition: text(edition),
            issuer: text(issuer),
            address: address.map(|a| a.value),
        };
        sources.insert(key, document);
    }
    sources
}

//! `data/cautions.toml`: what every report must say about what is really there.

use crate::fact::Hazard;
use crate::pack::{Document, Seen};
use crate::quantity::Exact;
use crate::record::{PlaceKind, ProductKind, RoomUse, ShopTables, Vessel};
use crate::stock::{RagState, Stock};
use crate::text::{FileId, Files, Problems};
use crate::vapour::class::Flash;
use std::collections::BTreeSet;

/// One caution.
#[derive(Clone, Debug)]
pub struct Caution {
    /// Its name.
    pub name: String,
    /// What must be there for it to be said.
    pub when: Vec<String>,
    /// Its title.
    pub title: String,
    /// Its text.
    pub text: String,
    /// Who says so.
    pub source: String,
}

/// Words that `when` may hold.
pub const WHEN: [&str; 16] = [
    "always",
    "drying-oil",
    "rags",
    "flammable",
    "methanol",
    "ammonia",
    "bleach",
    "old-shellac-can",
    "dust",
    "silica",
    "turpentine",
    "class-room",
    "pads",
    "waste",
    "estimates",
    "peroxide-former",
];

/// Reads the cautions.
pub fn read_cautions(files: &Files, file: FileId, problems: &mut Problems) -> Vec<Caution> {
    let Some(document) = Document::parse(files, file, problems) else {
        return Vec::new();
    };
    let top = document.top("cautions.toml");
    let mut list = Vec::new();
    for section in top.list("caution", problems) {
        let (name, title) = (
            section.must("name", problems),
            section.must("title", problems),
        );
        let (text, source) = (
            section.must("text", problems),
            section.must("source", problems),
        );
        let seen = section.must("seen", problems);
        seen.and_then(|told| crate::pack::document::word(&told, "seen", &Seen::WORDS, problems));
        let when = section.words("when", problems);
        for told in &when {
            crate::pack::document::word(told, "when", &WHEN.map(|w| (w, w)), problems);
        }
        section.done(problems);
        if let (Some(name), Some(title), Some(text), Some(source)) = (name, title, text, source) {
            list.push(Caution {
                name: name.value,
                when: when.into_iter().map(|told| told.value).collect(),
                title: title.value,
                text: text.value,
                source: source.value,
            });
        }
    }
    top.done(problems);
    list
}

/// The cautions for what is in the shop.
pub fn meant<'c>(
    cautions: &'c [Caution],
    tables: &ShopTables,
    stock: &Stock,
    hazards: &[Hazard],
) -> Vec<&'c Caution> {
    let there = there(tables, stock, hazards);
    cautions
        .iter()
        .filter(|caution| {
            caution
                .when
                .iter()
                .any(|word| there.contains(word.as_str()))
        })
        .collect()
}

fn there(tables: &ShopTables, stock: &Stock, hazards: &[Hazard]) -> BTreeSet<&'static str> {
    let mut words = BTreeSet::from(["always"]);
    if tables
        .rooms
        .iter()
        .any(|room| room.used == Some(RoomUse::Classroom))
    {
        words.insert("class-room");
    }
    if tables
        .places
        .iter()
        .any(|place| place.kind == PlaceKind::PadJar)
    {
        words.insert("pads");
    }
    for container in (0..tables.containers.len()).filter(|c| stock.present(tables, *c)) {
        let Some(hazard) = stock
            .product_of
            .get(container)
            .and_then(|p| hazards.get(*p))
        else {
            continue;
        };
        of_container(tables, stock, container, hazard, &mut words);
    }
    if stock
        .used
        .iter()
        .flatten()
        .any(|month| month.used > Exact::ZERO)
    {
        words.insert("estimates");
    }
    words
}

fn of_container(
    tables: &ShopTables,
    stock: &Stock,
    container: usize,
    hazard: &Hazard,
    words: &mut BTreeSet<&'static str>,
) {
    let row = tables.containers.get(container);
    let vessel = row.and_then(|row| row.vessel);
    let cloth = vessel.is_some_and(Vessel::is_cloth);
    let soiled = stock
        .containers
        .get(container)
        .is_some_and(|h| h.cloth.iter().any(|p| p.state != RagState::Clean));
    if soiled {
        words.insert("rags");
    }
    if vessel == Some(Vessel::Pad) {
        words.insert("pads");
    }
    if hazard.heats.value && !cloth {
        words.insert("drying-oil");
    }
    if !matches!(hazard.flash.value(), Some(Flash::Never | Flash::NotALiquid)) {
        words.insert("flammable");
    }
    for (name, word) in [
        ("methanol", "methanol"),
        ("bleach", "bleach"),
        ("turpentine", "turpentine"),
    ] {
        if hazard.names.iter().any(|n| n == name) {
            words.insert(word);
        }
    }
    if hazard.names.iter().any(|n| n.contains("ammonia")) {
        words.insert("ammonia");
    }
    for name in &hazard.names {
        for stated in tables
            .materials
            .find(name)
            .iter()
            .flat_map(|m| m.all("hazard"))
        {
            match stated.value.as_str() {
                "silica" => words.insert("silica"),
                "peroxide-former" => words.insert("peroxide-former"),
                _ => false,
            };
        }
    }
    match hazard.kind.value() {
        Some(ProductKind::Abrasive) => words.insert("dust"),
        Some(ProductKind::Waste) => words.insert("waste"),
        Some(ProductKind::Shellac) if vessel == Some(Vessel::Metal) => {
            words.insert("old-shellac-can")
        }
        Some(_) | None => false,
    };
}

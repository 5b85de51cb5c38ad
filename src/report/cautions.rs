//! `data/cautions.toml`: what every report must say about what is really there.

use crate::fact::{Hazard, Hazards};
use crate::pack::{Document, Seen};
use crate::quantity::Exact;
use crate::record::{
    ContainerId, Material, PlaceKind, ProductKind, Room, RoomUse, ShopTables, Vessel,
};
use crate::stock::{ContainerState, MonthUse, RagBatch, RagState, Stock};
use crate::text::{FileId, Files, Problems};
use crate::vapour::class::Flash;
use std::collections::BTreeSet;

#[derive(Clone, Debug)]
pub struct Caution {
    pub name: String,
    /// What must be there for it to be said.
    pub when: Vec<String>,
    pub title: String,
    pub text: String,
    pub source: String,
}

/// Words that `when` may hold.
pub const WHEN: [&str; 22] = [
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
    "methylene-chloride",
    "isocyanate",
    "oxidizer",
    "nitrocellulose",
    "eats-aluminum",
    "dichromate",
];

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
    hazards: &Hazards,
) -> Vec<&'c Caution> {
    let there = there(tables, stock, hazards);
    let meant = |caution: &&Caution| caution.when.iter().any(|w| there.contains(w.as_str()));
    cautions.iter().filter(meant).collect()
}

fn there(tables: &ShopTables, stock: &Stock, hazards: &Hazards) -> BTreeSet<&'static str> {
    let classroom = |room: &Room| room.used == Some(RoomUse::Classroom);
    let used = |month: &MonthUse| month.used > Exact::ZERO;
    let mut words = BTreeSet::from(["always"]);
    words.extend(tables.rooms.iter().any(classroom).then_some("class-room"));
    let pads = tables.places.iter().any(|p| p.kind == PlaceKind::PadJar);
    words.extend(pads.then_some("pads"));
    words.extend(stock.used.iter().flatten().any(used).then_some("estimates"));
    let rows = ContainerId::each(&tables.containers);
    for (id, row) in rows.filter(|(id, _)| stock.present(tables, *id)) {
        let hazard = hazards.of_container(stock, id);
        words.extend(of_container(row.vessel, &stock[id], hazard));
        words.extend(of_parts(tables, hazard));
    }
    words
}

fn of_container(
    vessel: Option<Vessel>,
    contents: &ContainerState,
    hazard: &Hazard,
) -> impl Iterator<Item = &'static str> + use<> {
    let cloth = vessel.is_some_and(Vessel::is_cloth);
    let (flash, kind) = (hazard.flash.value(), hazard.kind.value());
    let soiled = |batch: &RagBatch| batch.state != RagState::Clean;
    let words = [
        (contents.cloth.iter().any(soiled), "rags"),
        (vessel == Some(Vessel::Pad), "pads"),
        (hazard.heats.value && !cloth, "drying-oil"),
        (
            !matches!(flash, Some(Flash::Never | Flash::NotALiquid)),
            "flammable",
        ),
        (kind == Some(&ProductKind::Abrasive), "dust"),
        (kind == Some(&ProductKind::Waste), "waste"),
        (kind == Some(&ProductKind::Lacquer), "nitrocellulose"),
        (
            kind == Some(&ProductKind::Shellac) && vessel == Some(Vessel::Metal),
            "old-shellac-can",
        ),
    ];
    let words = words.into_iter().filter(|(meant, _)| *meant);
    words.map(|(_, word)| word)
}

/// By what a product is made of, and what the materials say of that.
fn of_parts(tables: &ShopTables, hazard: &Hazard) -> BTreeSet<&'static str> {
    let mut words = BTreeSet::new();
    for name in &hazard.names {
        let named = ["methanol", "bleach", "turpentine"];
        words.extend(named.into_iter().find(|word| word == name));
        words.extend(name.contains("ammonia").then_some("ammonia"));
        let name_parts = [
            ("dichloromethane", "methylene-chloride"),
            ("methylene chloride", "methylene-chloride"),
            ("isocyanate", "isocyanate"),
            ("nitrocellulose", "nitrocellulose"),
            ("dichromate", "dichromate"),
        ];
        let lower = name.to_lowercase();
        let found = name_parts.iter().filter(|(part, _)| lower.contains(part));
        words.extend(found.map(|(_, word)| *word));
        let hardener = ["mdi", "tdi", "hdi"].contains(&lower.as_str());
        words.extend(hardener.then_some("isocyanate"));
        if let Some(material) = tables.materials.find(name) {
            words.extend(of_material(material));
        }
    }
    words
}

/// By what the materials say of one. A share behind a hazard is left aside: a caution too many does no harm.
fn of_material(material: &Material) -> impl Iterator<Item = &'static str> + '_ {
    let told = ["silica", "peroxide-former", "oxidizer"];
    let hazards = material.all("hazard").filter_map(move |stated| {
        let word = stated.value.split(' ').next();
        told.into_iter().find(|known| Some(*known) == word)
    });
    let mut incompatible = material.all("incompatible");
    let eats = incompatible.any(|stated| stated.value.contains("aluminum"));
    hazards.chain(eats.then_some("eats-aluminum"))
}

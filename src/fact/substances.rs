//! `contains`: the substances that a rule names, and whether a container holds one of them.

use super::facts::Facts;
use super::hazard::Hazard;
use super::matching::Match;
use crate::pack::{MATERIALS, PackFault, Select, WithSpan};
use crate::record::{ContainerId, Materials, ProductKind, ShopTables, Vessel, read_materials};
use crate::text::{CellFault, Files, Problem, Problems};
use std::sync::LazyLock;

/// The materials that are built in: a rule can name nothing else.
static KNOWN: LazyLock<Materials> = LazyLock::new(|| {
    let mut files = Files::default();
    let file = files.hold("data/materials.csv", MATERIALS.as_bytes());
    read_materials(&files, file, &mut Problems::new())
});

/// The substances that `contains` names, by the names of their materials. An unknown one is a problem: it would match nothing.
pub(super) fn substances(select: &Select, problems: &mut Problems) -> Vec<String> {
    let mut list = Vec::new();
    for told in select.words("contains") {
        let name = told.value.trim().to_lowercase();
        if name.is_empty() {
            let wanted = "the name of a material, such as \"acetone\"".into();
            let key = "contains".into();
            problems.add(Problem::new(PackFault::ValueWrong { key, wanted }, told.at));
        } else if KNOWN.names().any(|known| known == name) {
            list.extend(
                KNOWN
                    .find(&name)
                    .map(|material| material.name.to_lowercase()),
            );
        } else if parts().any(|part| part == name) {
            list.push(name);
        } else {
            let near = problems.near(&name, KNOWN.names());
            let fault = CellFault::NameUnknown {
                kind: "material",
                read: told.value.clone(),
                near,
            };
            problems.add(Problem::new(fault, told.at));
        }
    }
    list
}

/// What the built-in materials are made of.
fn parts() -> impl Iterator<Item = String> {
    let parts = KNOWN.all().iter().filter_map(|material| material.made_of());
    parts.flatten().map(|part| part.name.to_lowercase())
}

/// Does it contain one of these, by its own names or those of what was poured in? An empty list does not restrict.
pub(super) fn contains(facts: &Facts<'_>, container: ContainerId, wanted: &[String]) -> Match {
    if wanted.is_empty() {
        return Match::Yes;
    }
    let own = facts.stock.product(container);
    let is_cloth = facts.tables[container].vessel.is_some_and(Vessel::is_cloth);
    let mut unknown = None;
    for product in [&own].into_iter().chain(&facts.contents(container).also) {
        let hazard = &facts.hazards[*product];
        if wanted.iter().any(|name| hazard.names.contains(name)) {
            return Match::Yes;
        }
        let name = facts.stock.product_name(*product);
        let is_open = has_open_content(facts.tables, name, hazard, wanted);
        if is_open && !(is_cloth && *product == own) {
            let lacking = match hazard.kind.value() {
                Some(_) => "parts",
                None => "kind or the parts",
            };
            unknown = Some(format!(
                "Record the {lacking} of {name} in products.csv. What it contains is unknown."
            ));
        }
    }
    unknown.map_or(Match::No, Match::Unknown)
}

/// May a product contain one of the substances that a rule names?
pub fn may_contain(
    tables: &ShopTables,
    name: &str,
    hazard: &Hazard,
    words: &[WithSpan<String>],
) -> bool {
    let words = words.iter().map(|told| told.value.trim().to_lowercase());
    let wanted: Vec<String> = words
        .map(|word| match KNOWN.find(&word) {
            Some(material) => material.name.to_lowercase(),
            None => word,
        })
        .collect();
    wanted.iter().any(|name| hazard.names.contains(name))
        || has_open_content(tables, name, hazard, &wanted)
}

/// May a product contain one of these, since nothing says what it is made of? A cleaner or a corrosive may be made of
/// anything that is liquid or dissolved.
fn has_open_content(tables: &ShopTables, name: &str, hazard: &Hazard, wanted: &[String]) -> bool {
    let solid = |name: &String| {
        let kind = KNOWN.find(name).and_then(|material| material.kind());
        matches!(kind, Some(ProductKind::Abrasive | ProductKind::Flakes))
    };
    let may_be = match hazard.kind.value() {
        None => true,
        Some(ProductKind::Cleaner | ProductKind::Corrosive) => !wanted.iter().all(solid),
        Some(_) => false,
    };
    may_be && is_of_unknown_make(tables, name)
}

/// Is it in no list, and is nothing known that it is made of?
pub(super) fn is_of_unknown_make(tables: &ShopTables, name: &str) -> bool {
    let is_known = |name: &str| tables.materials.find(name).is_some();
    let parts = tables.parts_of(name);
    let mut named = parts.iter().map(|part| part.name.as_str());
    !is_known(name) && !named.any(|part| is_known(part) || tables.product(part).is_some())
}

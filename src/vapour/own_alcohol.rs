//! The alcohol that a shop dissolves its shellac in: what generic shellac holds as ethanol is that alcohol, with the methanol
//! that it is denatured with.

use super::given_off::{GivenOff, Vapour, given_off};
use crate::record::{Part, ProductKind, ShopTables, parse_parts};

/// The part of generic shellac that stands for its alcohol.
const ETHANOL: &str = "ethanol";

/// Puts the shop's own alcohol in the place of the ethanol of generic shellac; where the shop has none, nothing changes.
pub(super) fn with_own_alcohol(tables: &ShopTables, product: &str, mut off: GivenOff) -> GivenOff {
    let described = tables
        .product(product)
        .is_some_and(|p| !p.made_of.is_empty());
    if described || tables.kind_of(product) != Some(ProductKind::Shellac) {
        return off;
    }
    let is_ethanol = |vapour: &Vapour| vapour.name == ETHANOL;
    let Some(at) = off.vapours.iter().position(is_ethanol) else {
        return off;
    };
    let Some((name, alcohol)) = own_alcohol(tables) else {
        return off;
    };
    let all: f64 = alcohol.vapours.iter().map(|vapour| vapour.milligrams).sum();
    if all <= 0.0 {
        return off;
    }
    let ethanol = off.vapours.remove(at);
    off.said.push(format!(
        "`{product}` is taken as dissolved in `{name}`, the alcohol of this shop"
    ));
    off.said.extend(alcohol.said);
    off.seen = off.seen.max(alcohol.seen);
    for vapour in alcohol.vapours {
        let milligrams = ethanol.milligrams * vapour.milligrams / all;
        match off.vapours.iter_mut().find(|own| own.name == vapour.name) {
            Some(own) => own.milligrams += milligrams,
            None => off.vapours.push(Vapour {
                milligrams,
                ..vapour
            }),
        }
    }
    off
}

/// The shop's alcohol and what it gives off; of several the one with the most methanol.
fn own_alcohol(tables: &ShopTables) -> Option<(String, GivenOff)> {
    let described = tables.products.iter().map(|product| product.id.as_str());
    let stocked = tables.containers.iter().map(|row| row.product.as_str());
    let mut names: Vec<&str> = described.chain(stocked).collect();
    names.sort_unstable();
    names.dedup();
    let methanol = |off: &GivenOff| -> f64 {
        let parts = off
            .vapours
            .iter()
            .filter(|vapour| vapour.name == "methanol");
        parts.map(|vapour| vapour.milligrams).sum()
    };
    names
        .into_iter()
        .filter(|name| is_alcohol(tables, name))
        .filter_map(|name| Some((name.to_string(), given_off(tables, name).ok()?)))
        .filter(|(_, off)| off.gap.is_none())
        .max_by(|(_, a), (_, b)| methanol(a).total_cmp(&methanol(b)))
}

/// A solvent that is mostly ethanol, as far as its parts are known.
fn is_alcohol(tables: &ShopTables, name: &str) -> bool {
    if tables.kind_of(name) != Some(ProductKind::Solvent) {
        return false;
    }
    let own = tables.product(name).map(|product| product.made_of.clone());
    let parts: Vec<Part> = own.filter(|parts| !parts.is_empty()).unwrap_or_else(|| {
        let material = tables.materials.find(name);
        let stated = material.and_then(|material| material.first("made_of"));
        stated
            .and_then(|stated| parse_parts(&stated.value))
            .unwrap_or_default()
    });
    let half = crate::quantity::Exact::whole(50);
    parts.iter().any(|part| {
        let material = tables.materials.find(&part.name);
        material.is_some_and(|m| m.name == ETHANOL) && part.high.percent >= half
    })
}

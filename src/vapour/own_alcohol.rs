//! What a litre gives off in this shop: a product, or a mixture of products, with the shop's own alcohol in generic shellac.
//!
//! The alcohol that a shop dissolves its shellac in: what generic shellac holds as ethanol is that alcohol, with the methanol
//! that it is denatured with.

use super::given_off::{GivenOff, Vapour, given_off};
use crate::record::{ProductKind, ShopTables};

/// The part of generic shellac that is its alcohol.
const ETHANOL: &str = "ethanol";

/// What a litre of a product gives off in this shop, or what has to be known for it.
pub fn given_off_here(tables: &ShopTables, product: &str) -> Result<GivenOff, String> {
    Ok(with_own_alcohol(
        tables,
        product,
        given_off(tables, product)?,
    ))
}

/// As [`given_off_here`], of a mixture of products by volume, each as the most it may be. A product of which nothing is known
/// leaves a gap.
pub fn given_off_mixed(tables: &ShopTables, own: &str, portions: &[(&str, f64)]) -> GivenOff {
    let mut off = GivenOff::default();
    for (product, share) in portions.iter().filter(|(_, share)| *share > 0.0) {
        let part = match given_off_here(tables, product) {
            Ok(part) => part,
            Err(why) => {
                off.lacks(poured(why, own, product));
                continue;
            }
        };
        off.seen = off.seen.max(part.seen);
        off.said.extend(part.said);
        off.density = part.density.filter(|_| portions.len() == 1);
        let gap = part.gap.map(|gap| poured(gap, own, product));
        gap.into_iter().for_each(|gap| off.lacks(gap));
        for vapour in part.vapours {
            let milligrams = vapour.milligrams * share;
            off.add(Vapour {
                milligrams,
                ..vapour
            });
        }
    }
    off
}

/// What is lacking, with the vessel that it is in.
fn poured(why: String, own: &str, product: &str) -> String {
    if own == product {
        why
    } else {
        format!("{why} (it was poured into a vessel of {own})")
    }
}

/// Puts the shop's own alcohol in the place of the ethanol of generic shellac; where the shop has none, nothing changes.
fn with_own_alcohol(tables: &ShopTables, product: &str, mut off: GivenOff) -> GivenOff {
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
        "{product} counts as dissolved in {name}, the alcohol of this shop."
    ));
    off.said.extend(alcohol.said);
    off.seen = off.seen.max(alcohol.seen);
    for vapour in alcohol.vapours {
        let milligrams = ethanol.milligrams * vapour.milligrams / all;
        off.add(Vapour {
            milligrams,
            ..vapour
        });
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
    let half = crate::quantity::Exact::whole(50);
    tables.parts_of(name).iter().any(|part| {
        let material = tables.materials.find(&part.name);
        material.is_some_and(|m| m.name == ETHANOL) && part.high.percent >= half
    })
}

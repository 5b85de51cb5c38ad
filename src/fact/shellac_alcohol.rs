//! The alcohol that shellac is dissolved in: whether it is one, how heavy it is, how much methanol it may hold.

use super::hazard::{Hazard, hazard};
use crate::quantity::{Density, Exact};
use crate::record::{Material, ShopTables};

/// What is known of an alcohol.
#[derive(Clone, Debug)]
pub struct ShellacAlcohol {
    /// Its name, as it was asked for.
    pub name: String,
    /// Its density, and in words whose it is.
    pub density: Option<(Density, String)>,
    /// The most methanol that it may hold, such as `50 mass %`; `None` if it holds none, or what it is made of is not
    /// known.
    pub methanol: Option<String>,
    /// What it is made of is known.
    pub parts_known: bool,
    /// Where it flashes and boils.
    pub hazard: Hazard,
}

/// An alcohol by its name; `None` if it is no product that is known, or no part of it is an alcohol.
pub fn shellac_alcohol(tables: &ShopTables, name: &str) -> Option<ShellacAlcohol> {
    let parts = tables.parts_of(name);
    let own = tables.materials.find(name);
    let of_parts = parts.iter().filter_map(|p| tables.materials.find(&p.name));
    let is_alcohol = |material: &Material| {
        material
            .all("family")
            .any(|stated| stated.value == "alcohol")
    };
    if !own.into_iter().chain(of_parts).any(is_alcohol) {
        return None;
    }
    let methanol = |name: &str| {
        let found = tables.materials.find(name);
        found.is_some_and(|material| material.name == "methanol")
    };
    let most = parts
        .iter()
        .filter(|part| methanol(&part.name) && part.high.percent > Exact::ZERO)
        .map(|part| {
            let basis = match part.basis() {
                crate::quantity::ShareBasis::Mass => "mass %",
                crate::quantity::ShareBasis::Volume => "vol %",
                crate::quantity::ShareBasis::NotSaid => "%",
            };
            format!("{} {basis}", part.high.percent.digits())
        })
        .next();
    Some(ShellacAlcohol {
        name: name.to_string(),
        density: density(tables, name),
        methanol: most.or_else(|| methanol(name).then(|| "100 %".to_string())),
        parts_known: !parts.is_empty() || own.is_some_and(|m| m.first("molar_mass").is_some()),
        hazard: hazard(tables, name),
    })
}

/// Its own density, else that of its largest part: alcohols differ by less than two per cent.
fn density(tables: &ShopTables, name: &str) -> Option<(Density, String)> {
    if let Some(density) = tables.product(name).and_then(|product| product.density) {
        return Some((density, "products.csv".into()));
    }
    let stated = |name: &str| {
        let stated = tables.materials.find(name)?.first("density")?;
        Some((Density::parse(&stated.value).ok()?, stated))
    };
    if let Some((density, stated)) = stated(name) {
        return Some((density, format!("{}, {}", stated.value, stated.source)));
    }
    let parts = tables.parts_of(name);
    let largest = parts.iter().max_by_key(|part| part.high.percent)?;
    let (density, row) = stated(&largest.name)?;
    let words = format!(
        "{} as {}, its largest part ({})",
        row.value, largest.name, row.source
    );
    Some((density, words))
}

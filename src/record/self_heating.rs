//! What the tables say of whether a product can self-heat on a rag. Several cells speak to it, and where they contradict each
//! other the dangerous one counts.

use super::material::{Material, Stated};
use super::product::ProductKind;
use super::tables::ShopTables;
use crate::text::Span;

/// One cell or row that says whether a product can self-heat.
#[derive(Clone, Debug)]
pub struct HeatingClaim<'t> {
    pub heats: bool,
    pub at: Span,
    /// In words, such as `made_of names boiled linseed oil`.
    pub words: String,
    /// The row of the built-in list, if it says so.
    pub stated: Option<&'t Stated>,
}

impl ShopTables {
    /// All that is said of a product, its own cell first.
    pub fn heating_claims(&self, name: &str) -> Vec<HeatingClaim<'_>> {
        let mut claims = Vec::new();
        let product = self.product(name);
        if let Some((product, heats)) = product.and_then(|p| Some((p, p.drying_oil?))) {
            claims.push(HeatingClaim {
                heats,
                at: product.at,
                words: format!("drying_oil says {}", if heats { "yes" } else { "no" }),
                stated: None,
            });
        }
        if let Some((product, kind)) = product.and_then(|p| Some((p, p.kind?)))
            && let Some(heats) = by_kind(kind)
        {
            claims.push(HeatingClaim {
                heats,
                at: product.at,
                words: format!("its kind is {}", kind.word()),
                stated: None,
            });
        }
        // Of a pad or of waste the list only says what is assumed where the shop does not know better.
        let assumed = |material: &&Material| {
            matches!(
                material.kind(),
                Some(ProductKind::Other | ProductKind::Waste)
            )
        };
        let material = self.materials.find(name);
        let material = material.filter(|material| claims.is_empty() || !assumed(material));
        if let Some((heats, stated)) = material.and_then(|m| m.drying_oil()) {
            claims.push(HeatingClaim {
                heats,
                at: stated.at,
                words: format!("the built-in list says {}", stated.value),
                stated: Some(stated),
            });
        } else if let Some((stated, heats)) =
            material.and_then(|m| Some((m.first("kind")?, by_kind(m.kind()?)?)))
        {
            claims.push(HeatingClaim {
                heats,
                at: stated.at,
                words: format!("the built-in list gives the kind {}", stated.value),
                stated: Some(stated),
            });
        }
        claims.extend(self.claims_of_parts(name));
        claims
    }

    /// Parts of a product that can self-heat. A part that cannot says nothing about the others.
    fn claims_of_parts(&self, name: &str) -> Vec<HeatingClaim<'_>> {
        let parts = self.parts_of(name);
        let drying = parts.iter().filter_map(|part| {
            let (heats, stated) = self.materials.find(&part.name)?.drying_oil()?;
            heats.then(|| HeatingClaim {
                heats,
                at: stated.at,
                words: format!("it is made of {}", part.name),
                stated: Some(stated),
            })
        });
        drying.collect()
    }

    /// Whether a product can self-heat, by the most dangerous of what is said; `None` if nothing is.
    pub fn self_heating(&self, name: &str) -> Option<bool> {
        let claims = self.heating_claims(name);
        let heats = claims.iter().any(|claim| claim.heats);
        (!claims.is_empty()).then_some(heats)
    }
}

/// What the kind of a product says.
fn by_kind(kind: ProductKind) -> Option<bool> {
    match kind {
        ProductKind::DryingOil | ProductKind::OilVarnish => Some(true),
        ProductKind::NonDryingOil | ProductKind::Flakes | ProductKind::Abrasive => Some(false),
        ProductKind::Solvent
        | ProductKind::Shellac
        | ProductKind::Lacquer
        | ProductKind::Stain
        | ProductKind::Wax
        | ProductKind::Cleaner
        | ProductKind::Corrosive
        | ProductKind::Waste
        | ProductKind::Other => None,
    }
}

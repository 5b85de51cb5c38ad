//! What a vessel holds: the share of each product that was poured into it, between two bounds. Volumes are taken to add up,
//! and what evaporates to leave the shares as they are.

use crate::quantity::{Amount, Bounded};
use crate::record::ProductId;

/// One product in a mixture, as a share of what the vessel holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Portion {
    pub product: ProductId,
    /// Its share.
    pub share: Bounded,
}

/// What a vessel holds, product by product; each product once.
pub type Content = std::sync::Arc<[Portion]>;

/// All of one product.
pub(super) fn pure(product: ProductId) -> [Portion; 1] {
    [Portion {
        product,
        share: Bounded::ALL,
    }]
}

/// Is it all of this product?
pub(super) fn is_pure(content: &[Portion], product: ProductId) -> bool {
    content == pure(product)
}

/// What is in a vessel after something was poured in that makes up `weight` of it.
pub(super) fn mixed(held: &[Portion], added: &[Portion], weight: Bounded) -> Content {
    let share_in = |list: &[Portion], product: ProductId| {
        let found = list.iter().find(|portion| portion.product == product);
        found.map_or(Bounded::NONE, |portion| portion.share)
    };
    let mut products: Vec<ProductId> = held.iter().map(|portion| portion.product).collect();
    for portion in added {
        if !products.contains(&portion.product) {
            products.push(portion.product);
        }
    }
    products
        .into_iter()
        .map(|product| Portion {
            product,
            share: share_in(held, product).blended(share_in(added, product), weight),
        })
        .collect()
}

/// What is in a vessel in which a count found more than the book: the rest may be any of it, or more of its own product.
pub(super) fn found_more(held: &[Portion], own: ProductId, weight: Bounded) -> Content {
    let unknown = |portion: &Portion| Portion {
        share: Bounded::UNKNOWN,
        ..*portion
    };
    let rest: Vec<Portion> = held.iter().chain(&pure(own)).map(unknown).collect();
    mixed(held, &rest, weight)
}

/// The share that an amount makes up of what a vessel holds once it is in it; anything where that is unknown.
pub(super) fn weight(added: Amount, full: Option<Amount>) -> Bounded {
    match full {
        Some(full) if full.same_kind(added) => Bounded::share(added.base(), full.base()),
        _ => Bounded::UNKNOWN,
    }
}

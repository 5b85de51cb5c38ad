//! Whether what is in a container has a hazard, such as being corrosive, by its own material or by its parts.

use super::facts::Facts;
use super::hazard::{Hazard, parts_of};
use super::matching::Match;
use crate::quantity::Exact;
use crate::record::{ContainerId, Part, ProductKind, ShopTables};

/// The kind of product and the hazard that it stands for.
const CORROSIVE: &str = "corrosive";

/// From this share on, a corrosive part makes a mixture corrosive (UN GHS table 3.2.3, from memory), unless its material has a
/// share of its own. For other hazards any share counts.
const CORROSIVE_FROM: Exact = Exact::constant(5, 0);

/// Parts of parts of parts are not looked into.
const DEPTH: u8 = 3;

/// Has the content one of these hazards? An empty list does not restrict.
pub(super) fn danger(facts: &Facts<'_>, container: ContainerId, wanted: &[&'static str]) -> Match {
    if wanted.is_empty() {
        return Match::Yes;
    }
    let own = facts.stock.product(container);
    let mut unknown = None;
    for product in [&own].into_iter().chain(&facts.contents(container).also) {
        let name = facts.stock.product_name(*product);
        let hazard = &facts.hazards[*product];
        for word in wanted {
            match of_product(facts.tables, name, hazard, word) {
                Match::Yes => return Match::Yes,
                Match::Unknown(why) => unknown = unknown.or(Some(why)),
                Match::No => {}
            }
        }
    }
    unknown.map_or(Match::No, Match::Unknown)
}

fn of_product(tables: &ShopTables, name: &str, hazard: &Hazard, word: &str) -> Match {
    let kind = hazard.kind.value().copied();
    if word == CORROSIVE && kind == Some(ProductKind::Corrosive) {
        return Match::Yes;
    }
    let own_parts = tables.product(name).is_some_and(|p| !p.made_of.is_empty());
    let material = tables.materials.find(name);
    if !own_parts && material.is_some_and(|m| m.hazard(word).is_some()) {
        return Match::Yes;
    }
    let parts = parts_of(tables, name);
    if parts.is_empty() {
        let may_be = matches!(kind, Some(ProductKind::Cleaner) | None);
        return match material {
            None if may_be && word == CORROSIVE => Match::Unknown(format!(
                "Record the kind or the parts of {name} in products.csv. Whether it is {word} is unknown."
            )),
            _ => Match::No,
        };
    }
    let mut sums = HazardShares::default();
    sums.add(tables, &parts, (Exact::ONE, Exact::ONE), word, DEPTH);
    match sums {
        HazardShares { sure: true, .. } => Match::Yes,
        HazardShares { may_be: true, .. } => Match::Unknown(format!(
            "Record the parts of {name} in products.csv. How much of it is {word} is unknown."
        )),
        HazardShares { .. } => Match::No,
    }
}

/// What the parts come to.
#[derive(Default)]
struct HazardShares {
    /// One part is enough, at the least it can be.
    sure: bool,
    /// One part is enough, at the most it can be.
    may_be: bool,
}

impl HazardShares {
    /// Adds parts that themselves make up a share of the whole, at least and at most.
    fn add(
        &mut self,
        tables: &ShopTables,
        parts: &[Part],
        (least, most): (Exact, Exact),
        word: &str,
        depth: u8,
    ) {
        for part in parts {
            // A share with more digits than are kept counts in full.
            let low = least.times(part.low.percent).unwrap_or(Exact::ZERO);
            let high = most.times(part.high.percent).unwrap_or(Exact::whole(100));
            let material = tables.materials.find(&part.name);
            let of_part = parts_of(tables, &part.name);
            if depth > 0 && !of_part.is_empty() {
                let percent = Exact::constant(1, 2);
                let least = low.times(percent).unwrap_or(Exact::ZERO);
                let most = high.times(percent).unwrap_or(Exact::ONE);
                self.add(tables, &of_part, (least, most), word, depth - 1);
                continue;
            }
            let Some(own) = material.and_then(|m| m.hazard(word)) else {
                continue;
            };
            let general = if word == CORROSIVE {
                CORROSIVE_FROM
            } else {
                Exact::ZERO
            };
            let from = own.unwrap_or(general);
            self.sure |= low >= from && low > Exact::ZERO;
            self.may_be |= high >= from;
        }
    }
}

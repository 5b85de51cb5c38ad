//! Whether what is in a container has a hazard, such as being corrosive, by its own material or by its parts.

use super::facts::Facts;
use super::hazard::Hazard;
use super::known::Known;
use super::matching::Match;
use super::substances::is_of_unknown_make;
use crate::pack::Seen;
use crate::quantity::Exact;
use crate::record::{ContainerId, Part, ProductKind, ShopTables, Vessel};

/// The kind of product and the hazard that it stands for.
const CORROSIVE: &str = "corrosive";

/// From this share on, a corrosive part makes a mixture corrosive (29 CFR 1910.1200 appendix A, table A.2.3, text), unless its
/// material has a share of its own. For other hazards any share counts.
const CORROSIVE_FROM: Exact = Exact::constant(5, 0);

/// Parts of parts of parts are not looked into.
const DEPTH: u8 = 3;

/// Has the content one of these hazards, by what was seen no worse than this? An empty list does not restrict.
pub(super) fn danger(
    facts: &Facts<'_>,
    container: ContainerId,
    wanted: &[&'static str],
    weakest: Seen,
) -> Match {
    if wanted.is_empty() {
        return Match::Yes;
    }
    let own = facts.stock.product(container);
    let is_cloth = facts.tables[container].vessel.is_some_and(Vessel::is_cloth);
    let mut unknown = None;
    for product in [&own].into_iter().chain(&facts.contents(container).also) {
        let name = facts.stock.product_name(*product);
        let hazard = &facts.hazards[*product];
        for word in wanted {
            match of_product(facts.tables, name, hazard, (word, weakest)) {
                Match::Yes => return Match::Yes,
                // A rag by itself has no hazard.
                Match::Unknown(_) if is_cloth && *product == own => {}
                Match::Unknown(why) => unknown = unknown.or(Some(why)),
                Match::No => {}
            }
        }
    }
    unknown.map_or(Match::No, Match::Unknown)
}

fn of_product(
    tables: &ShopTables,
    name: &str,
    hazard: &Hazard,
    (word, weakest): (&str, Seen),
) -> Match {
    let kind = match &hazard.kind {
        Known::Yes(fact) if fact.evidence.seen <= weakest => Some(fact.value),
        Known::Yes(_) | Known::No(_) => None,
    };
    if word == CORROSIVE && kind == Some(ProductKind::Corrosive) {
        return Match::Yes;
    }
    let own_parts = tables.product(name).is_some_and(|p| !p.made_of.is_empty());
    let material = tables.materials.find(name);
    if !own_parts && material.is_some_and(|m| m.hazard(word, weakest).is_some()) {
        return Match::Yes;
    }
    if is_of_unknown_make(tables, name) && matches!(kind, Some(ProductKind::Cleaner) | None) {
        return Match::Unknown(format!(
            "Record the kind or the parts of {name} in products.csv. Whether it is {word} is unknown."
        ));
    }
    let parts = tables.parts_of(name);
    let mut shares = HazardShares {
        tables,
        word,
        weakest,
        is_sure: false,
        may_be: false,
    };
    shares.add(&parts, (Exact::ONE, Exact::ONE), DEPTH);
    if shares.is_sure {
        Match::Yes
    } else if shares.may_be {
        Match::Unknown(format!(
            "Record the parts of {name} in products.csv. How much of it is {word} is unknown."
        ))
    } else {
        Match::No
    }
}

/// What the parts come to.
struct HazardShares<'t> {
    tables: &'t ShopTables,
    word: &'t str,
    /// What was seen worse does not count.
    weakest: Seen,
    /// One part is enough, at the least it can be.
    is_sure: bool,
    /// One part is enough, at the most it can be.
    may_be: bool,
}

impl HazardShares<'_> {
    /// Adds parts that themselves make up a share of the whole, at least and at most.
    fn add(&mut self, parts: &[Part], (least, most): (Exact, Exact), depth: u8) {
        for part in parts {
            // A share with more digits than are kept counts in full.
            let low = least.times(part.low.percent).unwrap_or(Exact::ZERO);
            let high = most.times(part.high.percent).unwrap_or(Exact::whole(100));
            let material = self.tables.materials.find(&part.name);
            let of_part = self.tables.parts_of(&part.name);
            let is_mixture = of_part.iter().any(|inner| inner.name != part.name);
            if depth == 0 && is_mixture {
                // What is not looked into may have the hazard.
                self.may_be |= high > Exact::ZERO;
            }
            if depth > 0 && !of_part.is_empty() {
                let percent = Exact::constant(1, 2);
                let least = low.times(percent).unwrap_or(Exact::ZERO);
                let most = high.times(percent).unwrap_or(Exact::ONE);
                self.add(&of_part, (least, most), depth - 1);
                continue;
            }
            let Some(own) = material.and_then(|m| m.hazard(self.word, self.weakest)) else {
                continue;
            };
            let general = if self.word == CORROSIVE {
                CORROSIVE_FROM
            } else {
                Exact::ZERO
            };
            let from = own.unwrap_or(general);
            self.is_sure |= low >= from && low > Exact::ZERO;
            self.may_be |= high >= from;
        }
    }
}

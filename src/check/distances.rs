//! The distances that the rules in force require, for whoever draws the floor.

use super::bind::bind;
use super::reach::RequiredReach;
use crate::pack::Pack;
use crate::quantity::Day;
use crate::record::ShopTables;
use crate::text::Problems;

/// A distance, and what requires it.
pub struct RequiredDistance {
    pub reach: RequiredReach,
    /// The rule's title, its pack and the clause.
    pub says: String,
}

/// Every distance that a rule of these packs, or the local authority in place of it, requires on the day. A rule that also
/// asks what a thing holds is left to its finding.
pub fn required_distances(tables: &ShopTables, packs: &[&Pack], on: Day) -> Vec<RequiredDistance> {
    let mut list = Vec::new();
    for pack in packs {
        for rule in &pack.rules {
            // The problems of a rule were reported when the packs were opened.
            let Some(bound) = bind(rule, pack, &mut Problems::new()) else {
                continue;
            };
            let Some((check, citation)) = bound.on(on) else {
                continue;
            };
            let local = bound.local_limits(tables, &pack.id, on);
            let local = local.filter_map(|limit| {
                let check = bound.with_limit(limit)?;
                Some((check.reach()?, format!("word of {}", limit.by)))
            });
            let own = check.reach().map(|reach| (reach, citation.clause.clone()));
            let says = |clause| format!("{} ({}, {clause})", rule.title, pack.id);
            list.extend(
                own.into_iter()
                    .chain(local)
                    .map(|(reach, clause)| RequiredDistance {
                        reach,
                        says: says(clause),
                    }),
            );
        }
    }
    list
}

//! Which kind of check a finding comes from: some pictures are for one kind only.

use crate::finding::Finding;
use crate::pack::Pack;
use std::collections::HashMap;

/// The kind of check behind each rule of the packs in use.
pub(super) struct Kinds<'p>(HashMap<(&'p str, &'p str), &'p str>);

impl<'p> Kinds<'p> {
    pub(super) fn of_packs(packs: &[&'p Pack]) -> Kinds<'p> {
        let rules = packs
            .iter()
            .copied()
            .flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)));
        Kinds(
            rules
                .map(|(pack, rule)| {
                    let key = (pack.id.as_str(), rule.id.as_str());
                    (key, rule.check.value.as_str())
                })
                .collect(),
        )
    }

    /// The kind's name; empty where the rule is of no pack in use.
    pub(super) fn of(&self, finding: &Finding) -> &'p str {
        let key = (&*finding.pack, &*finding.rule);
        self.0.get(&key).copied().unwrap_or("")
    }
}

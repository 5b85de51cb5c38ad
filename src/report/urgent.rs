//! Sentences that several reports share, and findings rule by rule.

use super::view::View;
use crate::finding::Finding;

/// Said where nothing is to be done.
pub(super) const NOTHING_OPEN: &str =
    "Nothing that your rules require is open. This does not show that a rag or a room is safe.";
/// Said where there is no open finding.
pub(super) const NO_FINDING: &str = "No finding needs action. This covers only the rules in use and what was recorded. It does not show that a rag or a room is \
     safe.";
/// What every report says at its head.
pub(super) const SCREENING: &str = "This is a screening aid, not a certificate. Your local authority, the data sheet of each product and a licensed \
     professional come first. Nothing here shows that a room or a pile of oily rags is safe.";

/// Findings of one rule with one citation, each with its position among all findings.
pub struct RuleGroup<'v> {
    /// The first of them.
    pub first: &'v Finding,
    /// All of them.
    pub list: Vec<(usize, &'v Finding)>,
}

impl View<'_> {
    /// The wanted findings, rule by rule.
    pub fn by_rule(&self, wanted: impl Fn(&Finding) -> bool) -> Vec<RuleGroup<'_>> {
        let mut groups: Vec<RuleGroup<'_>> = Vec::new();
        let all = self.findings.iter().enumerate();
        for (at, finding) in all.filter(|(_, finding)| wanted(finding)) {
            let same = |group: &&mut RuleGroup<'_>| {
                let other = group.first;
                (&other.pack, &other.rule, other.local)
                    == (&finding.pack, &finding.rule, finding.local)
                    && other.citation == finding.citation
            };
            match groups.iter_mut().find(same) {
                Some(group) => group.list.push((at, finding)),
                None => groups.push(RuleGroup {
                    first: finding,
                    list: vec![(at, finding)],
                }),
            }
        }
        groups
    }
}

//! Findings rule by rule.

use super::view::View;
use crate::finding::Finding;

/// Findings of one rule with one citation, each with its position among all findings.
pub struct RuleGroup<'v> {
    /// The first of them.
    pub first: &'v Finding,
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
                (&other.rule.pack, &other.rule.id, other.local)
                    == (&finding.rule.pack, &finding.rule.id, finding.local)
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

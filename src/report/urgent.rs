//! What to do first: the most urgent things, each once, and how many more there are; and findings rule by rule.

use super::view::View;
use super::wrap::some_of;
use crate::finding::{Finding, Verdict};
use std::collections::HashSet;

/// Said where nothing is to be done.
pub(super) const NOTHING_OPEN: &str =
    "Nothing that your rules require is open. This does not show that a rag or a room is safe.";
/// Said where there is no open finding.
pub(super) const NO_FINDING: &str = "No finding needs action. This covers only the rules in use and what was recorded. It does not show that a rag or a room is \
     safe.";
/// What every report says at its head.
pub(super) const SCREENING: &str = "This is a screening aid, not a certificate. Your local authority, the data sheet of each product and a licensed \
     professional come first. Nothing here shows that a room or a pile of oily rags is safe.";

/// What to do first.
#[derive(Clone, Debug)]
pub struct First<'v> {
    /// What to do, about what, and the verdict behind it.
    pub list: Vec<(&'v str, String, Verdict)>,
    /// So many other things are to be done, too.
    pub more: usize,
}

impl First<'_> {
    /// That there is more, if so.
    pub fn left_out(&self) -> Option<String> {
        match self.more {
            0 => None,
            1 => Some("And one thing more, among the findings.".into()),
            more => Some(format!("And {more} more, among the findings.")),
        }
    }
}

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

    /// The most urgent things to do, each once.
    pub fn first(&self, most: usize) -> First<'_> {
        let mut more: HashSet<&str> = HashSet::new();
        let mut list: Vec<(&str, Vec<&str>, Verdict)> = Vec::new();
        let open = self.findings.iter();
        for finding in open.filter(|f| f.calls() && !f.is_accepted()) {
            let (action, subject) = (finding.action.as_str(), finding.subject.id.as_str());
            let room = list.len() < most;
            match list.iter_mut().find(|(known, ..)| *known == action) {
                Some((_, subjects, _)) if subjects.contains(&subject) => {}
                Some((_, subjects, _)) => subjects.push(subject),
                None if room => list.push((action, vec![subject], finding.verdict)),
                None => {
                    more.insert(action);
                }
            }
        }
        let named = list.into_iter();
        let named =
            named.map(|(action, subjects, verdict)| (action, some_of(&subjects, 3), verdict));
        First {
            list: named.collect(),
            more: more.len(),
        }
    }
}

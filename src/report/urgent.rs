//! What to do first: the most urgent things, each once, and how many more there are; and findings rule by rule.

use super::view::View;
use crate::finding::{Finding, Verdict};
use std::collections::HashSet;

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
        for finding in self
            .findings
            .iter()
            .filter(|f| f.calls() && !f.is_accepted())
        {
            let subject = finding.subject.id.as_str();
            match list
                .iter()
                .position(|(action, _, _)| *action == finding.action)
            {
                Some(at) => {
                    if let Some((_, subjects, _)) = list.get_mut(at)
                        && !subjects.contains(&subject)
                    {
                        subjects.push(subject);
                    }
                }
                None if list.len() < most => {
                    list.push((&finding.action, vec![subject], finding.verdict))
                }
                None => {
                    more.insert(&finding.action);
                }
            }
        }
        let named = |subjects: Vec<&str>| {
            let more = subjects.len().saturating_sub(3);
            let shown = subjects.into_iter().take(3).collect::<Vec<_>>().join(", ");
            if more > 0 {
                format!("{shown} and {more} more")
            } else {
                shown
            }
        };
        let list = list
            .into_iter()
            .map(|(action, subjects, verdict)| (action, named(subjects), verdict))
            .collect();
        First {
            list,
            more: more.len(),
        }
    }
}

//! What stands against an entry that is not written yet: the breaches it would bring, of the kinds that a person at the
//! bench can still avoid. All other new breaches are reported, and do not stop a true record.

use super::run::Checked;
use crate::finding::{Concern, Detail, Finding, Verdict};
use std::collections::HashMap;

/// New breaches, as an entry would bring them.
#[derive(Debug, Default)]
pub struct Objections<'a> {
    /// Those that are in the way.
    pub against: Vec<&'a Finding>,
    /// Those to be told.
    pub told: Vec<&'a Finding>,
    /// Breaches that were there before and become worse.
    pub worse: Vec<&'a Finding>,
    /// Loose rags that were a breach before and are none any more.
    pub cleared: Vec<Finding>,
}

/// Compares an audit as things stand with one as they would stand.
pub fn objections<'a>(before: &[Finding], after: &'a Checked<'_>) -> Objections<'a> {
    let breached = |f: &&Finding| f.verdict == Verdict::Breach;
    let key = |f: &Finding| (f.rule.pack.clone(), f.rule.id.clone(), f.subject.clone());
    let mut known: HashMap<_, Vec<&Finding>> = HashMap::new();
    for finding in before.iter().filter(breached) {
        known.entry(key(finding)).or_default().push(finding);
    }
    let mut objections = Objections {
        cleared: cleared_rags(before, &after.findings),
        ..Objections::default()
    };
    for finding in after.findings.iter().filter(breached) {
        // Each old breach is one of the new ones at most: a second batch of the same minute is one more.
        let olds = known.entry(key(finding)).or_default();
        let same = olds.iter().position(|old| is_same_thing(finding, old));
        let old = same.map(|at| olds.remove(at));
        if old.is_some_and(|old| !is_worse(finding, old)) {
            continue;
        }
        // What was accepted is what there was: more of it is reported.
        if finding.is_accepted() && old.is_none() {
            continue;
        }
        // Rags in use lie on the bench: that is reported, and their state is logged step by step. A rag in the trash is not in use.
        let in_use = finding.rule.topic == "rags" && finding.rule.concern != Concern::ThrownOut;
        let in_the_way = finding.rule.concern.is_avoidable() && !finding.is_accepted();
        if !in_use && in_the_way {
            objections.against.push(finding);
        } else if old.is_some() {
            objections.worse.push(finding);
        } else {
            objections.told.push(finding);
        }
    }
    objections
}

/// Loose rags that were a breach, and are none afterward.
fn cleared_rags(before: &[Finding], after: &[Finding]) -> Vec<Finding> {
    let is_loose = |finding: &&Finding| {
        finding.verdict == Verdict::Breach && matches!(finding.detail, Detail::Rags { .. })
    };
    let is_there = |old: &Finding| {
        let same = |new: &Finding| {
            new.rule.id == old.rule.id && new.subject == old.subject && is_same_thing(new, old)
        };
        after.iter().filter(is_loose).any(same)
    };
    let loose = before.iter().filter(is_loose);
    loose.filter(|old| !is_there(old)).cloned().collect()
}

/// A row of rags can have several batches, each with a finding of its own: one more of them is a new breach, and so is one that a
/// count did not find where it lay loose before.
fn is_same_thing(finding: &Finding, old: &Finding) -> bool {
    let batch = |finding: &Finding| {
        if let Detail::Rags {
            how, place, since, ..
        } = &finding.detail
        {
            Some((Some(*how), place.clone(), *since))
        } else if let Detail::RagsMissing { place, until, .. } = &finding.detail {
            Some((None, place.clone(), Some(*until)))
        } else {
            None
        }
    };
    batch(finding).is_none_or(|now| batch(old) == Some(now))
}

fn is_worse(finding: &Finding, old: &Finding) -> bool {
    if let (Detail::Rags { pieces: now, .. }, Detail::Rags { pieces: before, .. }) =
        (&finding.detail, &old.detail)
    {
        return now > before;
    }
    let numbers = finding.compared.as_ref().zip(old.compared.as_ref());
    numbers.is_some_and(|(now, before)| now.is_worse_than(before))
}

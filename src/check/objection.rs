//! What stands against an entry that is not written yet: the breaches it would bring, of the kinds that a person at the
//! bench can still avoid. All other new breaches are told, and do not stop a true record.

use super::{Checked, each_at_most, never_together, not_in_place, within_capacity};
use crate::finding::{Finding, Verdict};
use crate::pack::Pack;
use std::collections::HashSet;

/// Kinds of check whose breach can be avoided by doing it another way: a vessel too large for its liquid, a vessel
/// over-full, two things side by side that must not meet, a place in which a thing must not stand.
const AVOIDABLE: [&str; 4] = [
    each_at_most::KIND.name,
    within_capacity::KIND.name,
    never_together::KIND.name,
    not_in_place::KIND.name,
];

/// New breaches, as an entry would bring them.
#[derive(Debug, Default)]
pub struct Objections<'a> {
    /// Those that stand in the way.
    pub against: Vec<&'a Finding>,
    /// Those to be told.
    pub told: Vec<&'a Finding>,
}

/// Compares an audit as things stand with one as they would stand.
pub fn objections<'a>(
    packs: &[Pack],
    before: &Checked<'_>,
    after: &'a Checked<'_>,
) -> Objections<'a> {
    let breached = |f: &&Finding| f.verdict == Verdict::Breach && !f.is_accepted();
    let key = |f: &Finding| (f.pack.clone(), f.rule.clone(), f.subject.clone());
    let known: HashSet<_> = before.findings.iter().filter(breached).map(key).collect();
    let mut objections = Objections::default();
    for finding in after.findings.iter().filter(breached) {
        if known.contains(&key(finding)) {
            continue;
        }
        let rule = packs
            .iter()
            .filter(|pack| pack.id == *finding.pack)
            .find_map(|pack| pack.rules.iter().find(|rule| rule.id == *finding.rule));
        // Rags in use lie about on the bench: that is told, and their state is logged step by step.
        let avoidable = finding.topic != "rags"
            && rule.is_some_and(|rule| AVOIDABLE.contains(&rule.check.value.as_str()));
        if avoidable {
            objections.against.push(finding);
        } else {
            objections.told.push(finding);
        }
    }
    objections
}

//! What stands against an entry that is not written yet: the breaches it would bring, of the kinds that a person at the
//! bench can still avoid. All other new breaches are told, and do not stop a true record.

use super::run::Checked;
use crate::finding::{Concern, Finding, Verdict};
use std::collections::HashSet;

/// New breaches, as an entry would bring them.
#[derive(Debug, Default)]
pub struct Objections<'a> {
    /// Those that stand in the way.
    pub against: Vec<&'a Finding>,
    /// Those to be told.
    pub told: Vec<&'a Finding>,
}

/// Compares an audit as things stand with one as they would stand.
pub fn objections<'a>(before: &Checked<'_>, after: &'a Checked<'_>) -> Objections<'a> {
    let breached = |f: &&Finding| f.verdict == Verdict::Breach && !f.is_accepted();
    let key = |f: &Finding| (f.pack.clone(), f.rule.clone(), f.subject.clone());
    let known: HashSet<_> = before.findings.iter().filter(breached).map(key).collect();
    let mut objections = Objections::default();
    for finding in after.findings.iter().filter(breached) {
        if known.contains(&key(finding)) {
            continue;
        }
        // Rags in use lie on the bench: that is reported, and their state is logged step by step. A rag in the trash is not in use.
        let in_use = finding.topic == "rags" && finding.concern != Concern::ThrownOut;
        if !in_use && finding.concern.is_avoidable() {
            objections.against.push(finding);
        } else {
            objections.told.push(finding);
        }
    }
    objections
}

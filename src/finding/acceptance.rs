//! An acceptance stands beside a verdict and never changes it; it lapses; one that meets no finding is reported.

use super::conclusion::{Accepted, Finding};
use crate::quantity::Day;
use crate::record::Acceptance;

/// The topic whose findings cannot be accepted.
pub const NEVER_ACCEPTED: &str = "rags";

/// Puts acceptances beside their findings; returns those that met none.
pub fn accept<'a>(
    findings: &mut [Finding],
    accepted: &'a [Acceptance],
    on: Day,
) -> Vec<&'a Acceptance> {
    let mut idle = Vec::new();
    for acceptance in accepted {
        let mut met = false;
        for finding in findings.iter_mut() {
            let named = finding.is_named(&acceptance.rule);
            if named
                && finding.calls()
                && acceptance.subject == finding.subject.id
                && finding.rule.topic != NEVER_ACCEPTED
            {
                finding.accepted = Some(Box::new(Accepted {
                    why: acceptance.why.clone(),
                    by: acceptance.by.clone(),
                    until: acceptance.until,
                    lapsed: acceptance.until < on,
                }));
                met = true;
            }
        }
        if !met {
            idle.push(acceptance);
        }
    }
    idle
}

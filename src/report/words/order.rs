//! What comes first: rags, then the weight of the rule, then the danger of its topic, then the share of the limit.
#![allow(clippy::float_arithmetic, reason = "a share for sorting only")]

use crate::finding::{Detail, Finding, RagsAre, Verdict};
use crate::pack::Severity;
use crate::report::share::share_of_limit;
use crate::vapour::whole;
use std::cmp::Reverse;

/// The place of a finding among others; the smallest comes first. Names and texts have no part in it.
pub(in crate::report) type Rank = (u8, Severity, Verdict, u8, Reverse<i64>, usize);

/// The rank of the finding at a position.
pub(in crate::report) fn rank(finding: &Finding, at: usize) -> Rank {
    (
        rags_first(finding),
        finding.severity,
        finding.verdict,
        danger(finding.rule.topic),
        Reverse(share(finding).unwrap_or(0)),
        at,
    )
}

/// Loose and missing rags before all else, then other rags.
fn rags_first(finding: &Finding) -> u8 {
    let is_loose = matches!(
        &finding.detail,
        Detail::Rags {
            how: RagsAre::LooseSelfHeating,
            ..
        } | Detail::RagsMissing { .. }
            | Detail::RagsDiscarded { .. }
    );
    match (
        is_loose,
        finding.rule.topic == "rags" && finding.verdict == Verdict::Breach,
    ) {
        (true, _) => 0,
        (false, true) => 1,
        (false, false) => 2,
    }
}

/// How fast a thing of this topic can hurt a person. (A judgment, no source.)
fn danger(topic: &str) -> u8 {
    match topic {
        "rags" => 0,
        "ignition" => 1,
        "storage" | "containers" => 2,
        "air" => 3,
        "extinguishers" | "first-aid" | "waste" | "housekeeping" => 4,
        _ => 5,
    }
}

/// How much of its limit a finding takes, in thousandths, which can be put in order.
pub(super) fn share(finding: &Finding) -> Option<i64> {
    let thousandths = share_of_limit(finding)? * 1000.0;
    Some(whole(thousandths).unwrap_or(i64::MAX))
}

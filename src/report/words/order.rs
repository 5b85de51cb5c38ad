//! What comes first: rags, then the weight of the rule, then the danger of its topic, then the share of the limit.

use crate::finding::{Compared, Detail, Finding, Quantity, RagsAre, Verdict};
use crate::pack::Severity;
use crate::quantity::thousandths;
use std::cmp::Reverse;

/// The place of a finding among others; the smallest comes first. Names and texts have no part in it.
pub(in crate::report) type Rank = (u8, Severity, Verdict, u8, Reverse<i64>, usize);

/// The rank of the finding at a position.
pub(in crate::report) fn rank(finding: &Finding, at: usize) -> Rank {
    (
        rags_first(finding),
        finding.severity,
        finding.verdict,
        danger(finding.topic),
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
        finding.topic == "rags" && finding.verdict == Verdict::Breach,
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

/// How much of its limit a finding takes, in thousandths; for a minimum, how much of it is missing counts the same way.
pub(super) fn share(finding: &Finding) -> Option<i64> {
    let of = |part: &Quantity, whole: &Quantity| thousandths(part.base, whole.base);
    match finding.compared.as_ref()? {
        Compared::AtMost { observed, limit } => of(observed, limit),
        Compared::AtLeast { observed, limit } => of(limit, observed).or(Some(i64::MAX)),
        Compared::Staged {
            observed,
            warn,
            limit,
        } => of(observed, limit.as_ref().unwrap_or(warn)),
        Compared::Estimated {
            observed, limit, ..
        } => {
            let percent = crate::vapour::percent(crate::vapour::share_of(*observed, *limit));
            crate::vapour::whole(percent.round())?.checked_mul(10)
        }
        Compared::Plain { .. } => None,
    }
}

/// "93% of the limit" or, from one and a half on, "2.1 times the limit".
pub(super) fn share_words(thousandths: i64) -> String {
    if thousandths >= 1500 {
        let tenths = (thousandths + 50) / 100;
        return match (tenths / 10, tenths % 10) {
            (whole, 0) => format!("{whole} times the limit"),
            (whole, tenth) => format!("{whole}.{tenth} times the limit"),
        };
    }
    match (thousandths + 5) / 10 {
        100 if thousandths != 1000 => {
            let side = if thousandths < 1000 { "under" } else { "over" };
            format!("just {side} the limit")
        }
        percent => format!("{percent}% of the limit"),
    }
}

#[cfg(test)]
mod tests {
    use super::share_words;

    #[test]
    fn shares_are_percentages_and_then_multiples() {
        assert_eq!(share_words(930), "93% of the limit");
        assert_eq!(share_words(998), "just under the limit");
        assert_eq!(share_words(1000), "100% of the limit");
        assert_eq!(share_words(2100), "2.1 times the limit");
        assert_eq!(share_words(3000), "3 times the limit");
    }
}

//! A share of a limit, as every report prints and sorts it.
#![allow(
    clippy::float_arithmetic,
    reason = "a share for showing and sorting only"
)]

use crate::finding::{Compared, Finding};

/// What was found as a share of its limit, more being worse; for a minimum, how much of it is missing counts the same way. `None`
/// where no numbers are compared.
pub(super) fn share_of_limit(finding: &Finding) -> Option<f64> {
    let (over, under) = match finding.compared.as_ref()? {
        Compared::AtMost { observed, limit } => (observed.base.estimate(), limit.base.estimate()),
        Compared::AtLeast { observed, limit } => (limit.base.estimate(), observed.base.estimate()),
        Compared::Staged {
            observed,
            warn,
            limit,
        } => (
            observed.base.estimate(),
            limit.unwrap_or(*warn).base.estimate(),
        ),
        Compared::Estimated {
            observed, limit, ..
        } => (*observed, *limit),
        Compared::Plain { .. } => return None,
    };
    let share = if under == 0.0 && over > 0.0 {
        f64::MAX
    } else {
        over / under
    };
    share.is_finite().then_some(share.max(0.0))
}

/// `93 % of the limit`, and `2.1 times the limit`, of a limit with this name.
pub(super) fn words_with_limit(share: f64, limit: &str) -> String {
    let words = share_words(share);
    let of = if words.ends_with('%') { " of" } else { "" };
    format!("{words}{of} the {limit}")
}

/// `93 %`, and `3.5 times` beyond 150 %. Rounding never crosses the limit.
pub(super) fn share_words(share: f64) -> String {
    let percent = share * 100.0;
    if share > 100.0 {
        return "over 100 times".to_string();
    }
    if share > 1.5 {
        return format!("{share:.1} times");
    }
    if percent > 0.0 && percent < 1.0 {
        return "under 1 %".to_string();
    }
    let rounded = match share {
        share if share > 1.0 => percent.round().max(101.0),
        share if share < 1.0 => percent.round().min(99.0),
        _ => 100.0,
    };
    format!("{rounded} %")
}

#[cfg(test)]
mod tests {
    use super::{share_words, words_with_limit};

    #[test]
    fn rounding_never_crosses_the_limit() {
        for (share, words) in [
            (0.0, "0 %"),
            (0.004, "under 1 %"),
            (0.93, "93 %"),
            (0.999, "99 %"),
            (1.0, "100 %"),
            (1.001, "101 %"),
            (1.5, "150 %"),
            (2.1, "2.1 times"),
            (3.52, "3.5 times"),
            (4000.0, "over 100 times"),
        ] {
            assert_eq!(share_words(share), words);
        }
    }

    #[test]
    fn a_percentage_is_of_the_limit_and_a_multiple_is_times_it() {
        assert_eq!(words_with_limit(0.998, "limit"), "99 % of the limit");
        assert_eq!(
            words_with_limit(2.1, "legal limit"),
            "2.1 times the legal limit"
        );
    }
}

//! The state of a finding in two or three words, and counts of states.

use crate::finding::{Compared, Detail, Finding, Verdict};
use crate::quantity::when::date;
use crate::report::Counts;

/// How a finding is measured, which decides on the words for its state.
enum MeasuredBy {
    AtMost,
    AtLeast,
    Days,
    YesOrNo,
}

fn measure(finding: &Finding) -> MeasuredBy {
    if is_dated(finding) {
        return MeasuredBy::Days;
    }
    match finding.compared {
        Some(Compared::AtMost { .. } | Compared::Estimated { .. }) => MeasuredBy::AtMost,
        Some(Compared::AtLeast { .. }) => MeasuredBy::AtLeast,
        Some(Compared::Staged { .. }) => MeasuredBy::Days,
        Some(Compared::Plain { .. }) | None => MeasuredBy::YesOrNo,
    }
}

fn is_dated(finding: &Finding) -> bool {
    matches!(
        finding.detail,
        Detail::LastDone { .. } | Detail::CanFilled | Detail::Shelf { .. } | Detail::UseBy(_)
    )
}

/// "over the limit", "close to the limit", "within the limit", "unknown", "takes effect 20 Nov 2026", "does not apply"; for
/// what has a date, "overdue", "due" and "done".
pub fn state(finding: &Finding) -> String {
    if finding.does_not_apply() {
        return "does not apply".into();
    }
    let words = match (finding.verdict, measure(finding)) {
        (Verdict::CannotJudge, _) => "unknown",
        (Verdict::NotInForce, _) => return takes_effect(finding),
        (Verdict::Near, _) if finding.unconfirmed => "over the limit (limit not confirmed)",
        (Verdict::Breach, MeasuredBy::AtMost) => "over the limit",
        (Verdict::Breach, MeasuredBy::AtLeast) => "below the minimum",
        (Verdict::Breach, MeasuredBy::Days) => "overdue",
        (Verdict::Breach, MeasuredBy::YesOrNo) => "not met",
        (Verdict::Near, MeasuredBy::AtMost) => "close to the limit",
        (Verdict::Near, MeasuredBy::AtLeast) => "close to the minimum",
        (Verdict::Near, MeasuredBy::Days) => "due",
        (Verdict::Near, MeasuredBy::YesOrNo) => "needs attention",
        (Verdict::Meets, MeasuredBy::AtMost | MeasuredBy::AtLeast) => "within the limit",
        (Verdict::Meets, MeasuredBy::Days) => "not due",
        (Verdict::Meets, MeasuredBy::YesOrNo) => "met",
    };
    words.to_string()
}

fn takes_effect(finding: &Finding) -> String {
    match finding.citation.in_force {
        Some(day) => format!("takes effect {}", date(day)),
        None => "no longer in effect".into(),
    }
}

/// A verdict in words, where its finding is not at hand.
pub fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Breach => "over the limit",
        Verdict::CannotJudge => "unknown",
        Verdict::Near => "close to the limit",
        Verdict::Meets => "within the limit",
        Verdict::NotInForce => "not in effect",
    }
}

/// How many findings are in each state, in one line.
pub fn count_words(counts: &Counts) -> String {
    let shown = |verdict| (counts.shown(verdict), verdict_words(verdict));
    let states = [
        shown(Verdict::Breach),
        shown(Verdict::CannotJudge),
        shown(Verdict::Near),
        shown(Verdict::Meets),
        shown(Verdict::NotInForce),
        (counts.about_nothing, "do not apply"),
    ];
    let there = states.iter().filter(|(count, _)| *count > 0);
    let words: Vec<String> = there
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    let mut words = words.join(", ");
    if counts.accepted > 0 {
        words += &format!("; {} accepted", counts.accepted);
    }
    words
}

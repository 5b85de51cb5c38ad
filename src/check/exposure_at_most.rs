//! What is breathed over a shift, or a quarter of an hour, is at most.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey, session_air};
use crate::fact::{Facts, Match};
use crate::quantity::Dimension;
use crate::record::Location;
use crate::vapour::session::{Against, Session};

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "exposure-at-most",
    asks: "In every session of the last month, was the worst eight-hour sum of C over limit (legal limits, guide values), \
           or the worst quarter of an hour of it (short-term limits), each summed apart, at most this?",
    limit: &[Dimension::Share],
    by_class: false,
    options: &[OptionKey {
        key: "measure",
        words: &["legal", "guide", "short"],
        must: true,
    }],
    needs: &[],
    unknown: "as dilution-at-least",
    source: "29 CFR 1910.1000(d)(2)(i), Em = sum of C over L; the level by the mass balance of a well-mixed room",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(value) = limit.value else {
        return Vec::new();
    };
    let rooms = |room| bound.select.location(facts, Location { place: None, room }) != Match::No;
    let judge = |against, level: fn(&Session) -> Option<f64>| {
        session_air::judge(facts, rooms, against, value.base, level)
    };
    match bound.option("measure") {
        "short" => judge(Against::Short, |session| session.short),
        "guide" => judge(Against::Guide, |session| session.guide),
        _ => judge(Against::Legal, |session| session.legal),
    }
}

//! What is breathed over a shift is at most.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey, session_air};
use crate::fact::{Facts, Match};
use crate::quantity::Dimension;
use crate::record::Stands;
use crate::vapour::session::Against;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "exposure-at-most",
    asks: "In every session of the last month, was the worst eight-hour sum of C over limit, legal limits and guide \
           values each summed apart, at most this?",
    limit: &[Dimension::Share],
    by_class: false,
    options: &[OptionKey {
        key: "measure",
        words: &["legal", "guide"],
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
    let rooms = |room| bound.select.stands(facts, Stands { site: None, room }) != Match::No;
    if bound.option("measure") == "guide" {
        session_air::judge(facts, rooms, Against::Guide, value.house, |session| {
            session.guide
        })
    } else {
        session_air::judge(facts, rooms, Against::Legal, value.house, |session| {
            session.legal
        })
    }
}

//! The air thins what evaporates to no more than a share of the lower explosive limit.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, session_air};
use crate::fact::{Facts, Match};
use crate::quantity::Dimension;
use crate::record::Location;
use crate::vapour::session::Against;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "dilution-at-least",
    asks: "In every session of the last month, did the air thin the vapour to at most this share of its lower explosive \
           limit?",
    limit: &[Dimension::Share],
    by_class: false,
    options: &[],
    needs: &[],
    unknown: "when the room's measures or what a product is made of are not known; or when its exhaust or the minutes of \
              work are not known and the session is over the limit if nothing but cracks aired the room, all at once",
    source: "mass balance of a well-mixed room with the mixing factor K; sum of C over limit after Le Chatelier; aims as \
             29 CFR 1910.94(c)(6)(ii)",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(value) = limit.value else {
        return Vec::new();
    };
    let rooms = |room| bound.select.location(facts, Location { place: None, room }) != Match::No;
    session_air::judge(facts, rooms, Against::Lel, value.base, |session| {
        session.peak_lel
    })
}

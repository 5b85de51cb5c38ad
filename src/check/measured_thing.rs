//! The things that a distance on the floor plan is measured between, and the nearest of them.

use super::straight_line::square;
use crate::fact::{ContainerFilter, Evidence, Facts, Match};
use crate::finding::SubjectKind;
use crate::pack::Seen;
use crate::quantity::{Exact, Length, TooFine};
use crate::record::{ContainerId, Location, Place, RoomId};
use crate::text::Span;

/// One thing that a distance is measured from.
pub(super) struct MeasuredThing {
    pub(super) kind: SubjectKind,
    pub(super) id: String,
    pub(super) room: Option<RoomId>,
    pub(super) xy: Option<(Length, Length)>,
    pub(super) at: Span,
    pub(super) evidence: Evidence,
    /// Why it is not sure that the rule means it.
    pub(super) unsure: Option<String>,
}

/// A place, if it holds what the rule means or the rule asks nothing of what it holds.
pub(super) fn measured_place(
    filter: &ContainerFilter,
    facts: &Facts<'_>,
    location: Location,
    place: &Place,
) -> Option<MeasuredThing> {
    let content = &filter.content;
    let mut evidence = Evidence::at(place.at);
    let mut unsure = match filter.places.meets(facts, location) {
        Match::Yes => None,
        Match::No => return None,
        Match::Unknown(why) => Some(why),
    };
    if content.restricts() {
        let here = location.place.into_iter();
        let matched: Vec<(ContainerId, Match)> = here
            .flat_map(|place| facts.containers_at(place))
            .map(|c| (*c, content.meets(facts, *c)))
            .filter(|(_, m)| *m != Match::No)
            .collect();
        if matched.is_empty() {
            return None;
        }
        for (container, _) in &matched {
            evidence.join(&facts.evidence(*container));
        }
        // One that is confirmed is enough.
        let seen = matched
            .iter()
            .map(|(c, _)| content.evidence(facts, *c).seen);
        evidence.seen = evidence.seen.max(seen.min().unwrap_or(Seen::Text));
        let sure = matched.iter().any(|(_, m)| *m == Match::Yes);
        let doubt = matched.into_iter().find_map(|(_, m)| match m {
            Match::Unknown(why) if !sure => Some(why),
            Match::Unknown(_) | Match::Yes | Match::No => None,
        });
        unsure = unsure.or(doubt);
    }
    Some(MeasuredThing {
        kind: SubjectKind::Place,
        id: place.id.clone(),
        room: place.room,
        xy: place.xy,
        at: place.at,
        evidence,
        unsure,
    })
}

/// Containers that the rule may mean, in a room but at no place of it: where they are cannot be measured.
pub(super) fn astray(filter: &ContainerFilter, facts: &Facts<'_>) -> Vec<MeasuredThing> {
    if !filter.content.restricts() {
        return Vec::new();
    }
    let nowhere = facts
        .containers()
        .filter(|c| facts.location(*c).place.is_none() && facts.location(*c).room.is_some());
    let meant = nowhere.filter_map(|container| {
        let unsure = match filter.meets(facts, container) {
            Match::Yes => None,
            Match::No => return None,
            Match::Unknown(why) => Some(why),
        };
        Some(MeasuredThing {
            kind: SubjectKind::Container,
            id: facts.id(container).to_string(),
            room: facts.location(container).room,
            xy: None,
            at: facts.row(container),
            evidence: filter.content.evidence(facts, container),
            unsure,
        })
    });
    meant.collect()
}

/// The one of the others that is nearest to this, with the square of its distance. One that is surely nearer than wanted is not
/// hidden by a nearer one that the rule may not mean.
pub(super) fn nearest_of<'o>(
    this: &MeasuredThing,
    others: &[&'o MeasuredThing],
    wanted: Exact,
) -> Result<Option<(Exact, &'o MeasuredThing)>, TooFine> {
    let rank =
        |square: Exact, other: &MeasuredThing| (square >= wanted || other.unsure.is_some(), square);
    let mut best: Option<(Exact, &MeasuredThing)> = None;
    for other in others {
        let Some((from, to)) = this.xy.zip(other.xy) else {
            continue;
        };
        let square = square(from, to)?;
        let is_first = |(least, nearest)| rank(square, other) < rank(least, nearest);
        if best.is_none_or(is_first) {
            best = Some((square, other));
        }
    }
    Ok(best)
}

/// The first of the others that is nearer than this wherever in the room the two are, with the square of the most that can lie
/// between them.
pub(super) fn too_near<'o>(
    this: &MeasuredThing,
    others: &[&'o MeasuredThing],
    facts: &Facts<'_>,
    wanted: Exact,
) -> Result<Option<(Exact, &'o MeasuredThing)>, TooFine> {
    let room = this.room.map(|room| &facts.tables[room]);
    let Some((length, width)) = room.and_then(|room| room.length.zip(room.width)) else {
        return Ok(None);
    };
    let sure = others.iter().filter(|other| other.unsure.is_none());
    let unsure = others.iter().filter(|other| other.unsure.is_some());
    for other in sure.chain(unsure) {
        let farthest = match this.xy.or(other.xy) {
            _ if this.xy.is_some() && other.xy.is_some() => continue,
            Some(at) => {
                let mut farthest = Exact::ZERO;
                for x in [Length::ZERO, length] {
                    for y in [Length::ZERO, width] {
                        farthest = farthest.max(square(at, (x, y))?);
                    }
                }
                farthest
            }
            None => square((Length::ZERO, Length::ZERO), (length, width))?,
        };
        if farthest <= wanted {
            return Ok(Some((farthest, other)));
        }
    }
    Ok(None)
}

//! The log never put more into a vessel than it holds, and no cabinet holds more than its maker says.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::unit::find as find_unit;
use crate::quantity::when::date;
use crate::quantity::{Amount, Exact, Unit, natural, shown_unit};
use crate::record::{ContainerId, Place, PlaceId, PlaceKind};
use crate::vapour::class::Flash;

pub(super) const KIND: CheckKind = CheckKind {
    name: "within-capacity",
    concern: Concern::Overfilled,
    asks: "Does each container and each cabinet hold no more than its capacity?",
    unknown: "when the amount in a cabinet is unknown; a container or cabinet without a capacity is left out",
    source: "common practice, no source: what is held after each entry, against the capacity in the inventory",
    parse: |_| Ok(Box::new(WithinCapacity)),
    ..CheckKind::PLAIN
};

struct WithinCapacity;

impl RuleCheck for WithinCapacity {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let us = facts.tables.shop.us;
        let mut judged = Vec::new();
        for (container, row) in ContainerId::each(&facts.tables.containers) {
            let over = facts.contents(container).overfull;
            let (Some(over), Some(capacity)) = (over, row.capacity) else {
                continue;
            };
            let mut working = Working::new(us);
            working.say(format!(
                "on {} the log brings it to {}, but its size is {}",
                date(over.day),
                natural(over.held, us),
                natural(capacity, us)
            ));
            let mut evidence = Evidence::at(over.at);
            evidence.add(row.at);
            let outcome = match shown_unit(capacity, us) {
                Some(unit) => {
                    let (held, capacity) = (over.held.base(), capacity.base());
                    Known::yes(Compared::at_most(held, capacity, unit), evidence)
                }
                None => Known::gap("no unit", evidence.places),
            };
            let subject = Subject::new(SubjectKind::Container, row.id.clone());
            let filled = Detail::Filled(over.day);
            judged.push(Judged::new(subject, outcome, working).seeing(filled));
        }
        let places = PlaceId::each(&facts.tables.places);
        let cabinets = places.filter(|(_, place)| place.kind == PlaceKind::Cabinet);
        judged.extend(cabinets.filter_map(|(id, place)| cabinet(facts, id, place)));
        judged
    }
}

/// A cabinet against its own capacity: all liquid in it, and the largest vessel by itself, full or not.
fn cabinet(facts: &Facts<'_>, id: PlaceId, place: &Place) -> Option<Judged> {
    let capacity = Amount::Volume(place.capacity?);
    let mut working = Working::new(facts.tables.shop.us);
    let mut evidence = Evidence::at(place.at);
    let (mut parts, mut gap) = (Vec::new(), None);
    let mut largest: Option<(ContainerId, Exact)> = None;
    for container in facts.containers_at(id).iter().copied() {
        let size = facts.tables[container].capacity;
        if let Some(Amount::Volume(size)) = size
            && largest.is_none_or(|(_, most)| size.base() > most)
        {
            largest = Some((container, size.base()));
        }
        // A bag of flakes takes up no part of what a cabinet is sold to hold.
        if facts.hazard(container).flash.value() == Some(&Flash::NotALiquid) {
            continue;
        }
        match facts.volume(container) {
            Known::Yes(fact) => {
                let volume = fact.value.map(Amount::Volume);
                parts.extend(volume.map(|volume| (facts.id(container).to_string(), volume)));
                evidence.join(&fact.evidence);
            }
            Known::No(unknown) => gap = Some(unknown),
        }
    }
    if parts.is_empty() && gap.is_none() {
        return None;
    }
    let subject = Subject::new(SubjectKind::Place, place.id.clone());
    let Ok(held) = working.sum("stored here", &parts, capacity) else {
        let unknown = Known::too_fine(evidence.places);
        return Some(Judged::new(subject, unknown, working));
    };
    let mut observed = held;
    if let Some((container, size)) = largest.filter(|(_, size)| *size > capacity.base()) {
        observed = observed.max(size);
        working.say(format!(
            "`{}` has a size of {}, which does not fit into it",
            facts.id(container),
            natural(capacity.with(size), working.us())
        ));
    }
    let outcome = match (gap.filter(|_| observed <= capacity.base()), unit(facts)) {
        (Some(gap), _) => Known::No(gap),
        (None, Some(unit)) => {
            Known::yes(Compared::at_most(observed, capacity.base(), unit), evidence)
        }
        (None, None) => Known::gap("no unit", evidence.places),
    };
    Some(Judged {
        advice: Some(format!(
            "Take something out of `{}`. Its capacity is {}.",
            place.id,
            natural(capacity, facts.tables.shop.us)
        )),
        ..Judged::new(subject, outcome, working)
    })
}

/// The unit in which cabinets are sold.
fn unit(facts: &Facts<'_>) -> Option<&'static Unit> {
    find_unit(if facts.tables.shop.us { "gal" } else { "L" })
}

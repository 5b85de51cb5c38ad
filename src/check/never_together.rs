//! These two never share a place.

use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, SelectorSection, option_words};
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::pack::Seen;
use crate::record::{ContainerId, PlaceId, RoomId};
use std::collections::BTreeMap;

pub(super) const KIND: CheckKind = CheckKind {
    name: "never-together",
    concern: Concern::Neighbors,
    asks: "Are these kept out of each place (or room, or the shop) that holds one of those?",
    options: &[OptionKey::words::<MeetsWithin>(KeyNeed::Always)],
    selectors: &[
        (SelectorSection::Where, ContainerFilter::KEYS),
        (SelectorSection::With, ContainerFilter::KEYS),
    ],
    unknown: "when the place or the kind of one of them is unknown",
    source: "29 CFR 1910.1200 data sheets, section 10, name what must not meet; the pairs are the pack's",
    parse: |rule| {
        let within = rule.must();
        let this = rule.containers(SelectorSection::Where);
        let that = rule.containers(SelectorSection::With);
        Ok(Box::new(NeverTogether {
            within: within?,
            this: this?,
            that: that?,
        }))
    },
    ..CheckKind::PLAIN
};

option_words! {
    /// How near is together.
    enum MeetsWithin: "within" {
        Place = "place",
        Room = "room",
        Shop = "shop",
    }
}

/// Where the two sides would meet.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum MeetingPoint {
    Place(PlaceId),
    Room(RoomId),
    Shop,
}

struct NeverTogether {
    within: MeetsWithin,
    this: ContainerFilter,
    that: ContainerFilter,
}

/// What one place holds of either side.
#[derive(Default)]
struct Sides {
    these: Vec<ContainerId>,
    those: Vec<ContainerId>,
    /// Both sides of the rule mean the same things.
    alike: bool,
    /// Why something may be one of these, or of those.
    perhaps: [Option<String>; 2],
    /// How well the best known of these, and of those, was seen: what is from memory beside it takes nothing away.
    seen: [Option<Seen>; 2],
}

impl Sides {
    /// Why the two may meet here, if that cannot be told: one side is there, and the other may be.
    fn unsure(&self) -> Option<&String> {
        let [this, that] = &self.perhaps;
        match (self.these.is_empty(), self.those.is_empty()) {
            (false, true) => that.as_ref(),
            (true, false) => this.as_ref(),
            (true, true) => this.as_ref().and(that.as_ref()),
            (false, false) if self.is_alone() => this.as_ref().or(that.as_ref()),
            (false, false) => None,
        }
    }

    /// Where both sides mean the same, one container does not meet itself.
    fn is_alone(&self) -> bool {
        self.alike && self.these.len() == 1
    }
}

impl RuleCheck for NeverTogether {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut places: BTreeMap<Option<MeetingPoint>, Sides> = BTreeMap::new();
        let mut astray: Vec<ContainerId> = Vec::new();
        let mut meant: Vec<(ContainerId, [bool; 2])> = Vec::new();
        for container in facts.containers() {
            let (this, that) = (
                self.this.meets(facts, container),
                self.that.meets(facts, container),
            );
            if this == Match::No && that == Match::No {
                continue;
            }
            let location = facts.location(container);
            let at = match self.within {
                MeetsWithin::Place => location.place.map(MeetingPoint::Place),
                MeetsWithin::Room => location.room.map(MeetingPoint::Room),
                MeetsWithin::Shop => Some(MeetingPoint::Shop),
            };
            if at.is_none() {
                astray.push(container);
            }
            meant.push((container, [this != Match::No, that != Match::No]));
            let sides = places.entry(at).or_default();
            sides.alike = self.this == self.that;
            let both = [
                (this, &self.this, &mut sides.these),
                (that, &self.that, &mut sides.those),
            ];
            let known = sides.perhaps.iter_mut().zip(&mut sides.seen);
            for ((side, filter, list), (perhaps, seen)) in both.into_iter().zip(known) {
                match side {
                    Match::Yes => {
                        list.push(container);
                        let own = filter.content.evidence(facts, container).seen;
                        *seen = Some(seen.map_or(own, |best| best.min(own)));
                    }
                    Match::Unknown(why) => *perhaps = Some(why),
                    Match::No => {}
                }
            }
        }
        let known = places
            .iter()
            .filter_map(|(at, sides)| Some(sides.judged(facts, at.as_ref()?.subject(facts))));
        let mut judged: Vec<Judged> = known.collect();
        let alike = self.this == self.that;
        let may_meet = astray
            .into_iter()
            .filter(|container| may_meet(facts, &meant, *container, alike));
        judged.extend(may_meet.map(|container| {
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            let why = place_lacking(facts, container);
            let outcome = Known::gap(why, vec![facts.row(container)]);
            Judged::new(subject, outcome, Working::new(facts.tables.shop.us))
        }));
        judged
    }
}

/// Could it meet one of the other side, or be of both? One whose room is known meets nothing that is in another room.
fn may_meet(
    facts: &Facts<'_>,
    meant: &[(ContainerId, [bool; 2])],
    container: ContainerId,
    alike: bool,
) -> bool {
    let here = facts.location(container).room;
    let sides = meant.iter().find(|(at, _)| *at == container);
    let [this, that] = sides.map_or([true, true], |(_, sides)| *sides);
    meant.iter().any(|(other, [other_this, other_that])| {
        let there = facts.location(*other).room;
        let opposite = this && *other_that || that && *other_this;
        let is_itself = *other == container;
        let apart = here.zip(there).is_some_and(|(here, there)| here != there);
        opposite && !apart && !(is_itself && alike)
    })
}

fn place_lacking(facts: &Facts<'_>, container: ContainerId) -> String {
    let id = facts.id(container);
    let room = facts.location(container).room;
    match room.map(|room| &facts.tables[room]) {
        Some(room) => format!(
            "Record a place from places.csv for {id}. Only its room is on record: {}.",
            room.id
        ),
        None => format!("Record where {id} is stored. Its place is unknown."),
    }
}

impl MeetingPoint {
    fn subject(&self, facts: &Facts<'_>) -> Subject {
        let (kind, id) = match self {
            MeetingPoint::Place(place) => (SubjectKind::Place, &facts.tables[*place].id),
            MeetingPoint::Room(room) => (SubjectKind::Room, &facts.tables[*room].id),
            MeetingPoint::Shop => (SubjectKind::Shop, &facts.tables.shop.name),
        };
        Subject::new(kind, id.clone())
    }
}

impl Sides {
    fn judged(&self, facts: &Facts<'_>, subject: Subject) -> Judged {
        let mut evidence = Evidence::none();
        for container in self.these.iter().chain(&self.those) {
            evidence.join(&facts.evidence(*container));
        }
        evidence.seen = self
            .seen
            .iter()
            .flatten()
            .copied()
            .fold(evidence.seen, Seen::max);
        let names = |list: &[ContainerId]| {
            let names: Vec<&str> = list.iter().map(|c| facts.id(*c)).collect();
            names.join(", ")
        };
        let meet = !self.these.is_empty() && !self.those.is_empty() && !self.is_alone();
        let outcome = if meet {
            let observed = match self.alike {
                true => names(&self.these),
                false => format!("{} beside {}", names(&self.these), names(&self.those)),
            };
            Known::yes(Compared::plain(observed, "apart", Stage::Broken), evidence)
        } else if let Some(why) = self.unsure() {
            Known::gap(why.clone(), evidence.places)
        } else {
            Known::yes(Compared::plain("apart", "apart", Stage::Holds), evidence)
        };
        let owned = |list: &[ContainerId]| list.iter().map(|c| facts.id(*c).to_string()).collect();
        let detail = if self.alike {
            Detail::Several(owned(&self.these))
        } else {
            Detail::Together {
                these: owned(&self.these),
                those: owned(&self.those),
            }
        };
        Judged::new(subject, outcome, Working::new(facts.tables.shop.us)).seeing(detail)
    }
}

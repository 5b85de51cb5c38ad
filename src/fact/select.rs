//! The selectors of a rule as typed filters: one type for places, one for what a container is or holds. A thing matches,
//! does not match, or it is unknown whether it does. An empty list does not restrict.

use super::danger::danger;
use super::facts::Facts;
use super::known::Evidence;
use super::matching::{Match, all, both, both_ways, known, shun, test};
use super::room_filter::{RoomFilter, YES_NO};
use super::select_measures::{sizes, spans};
use super::substances::{contains, substances};
use crate::pack::{Scheme, Seen, Select, WithSpan};
use crate::quantity::when::date;
use crate::quantity::{Amount, Measure, Period};
use crate::record::{
    ContainerId, FixtureKind, HAZARDS, Level, Location, PlaceKind, ProductKind, RoomUse, Vessel,
    words_of,
};
use crate::text::{Problems, the};

/// Places by their kind and their room.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlaceFilter {
    /// Kinds of place that are meant.
    pub place: Vec<PlaceKind>,
    not_place: Vec<PlaceKind>,
    listed: Vec<bool>,
    pub rooms: RoomFilter,
}

/// Containers by what they are and hold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContentFilter {
    /// Classes, by position in the pack's scheme.
    pub class: Vec<usize>,
    vessel: Vec<Vessel>,
    kind: Vec<ProductKind>,
    contains: Vec<String>,
    self_heating: Vec<bool>,
    hazard: Vec<&'static str>,
    finish_kept_over: Vec<Period>,
    opened: Vec<bool>,
    larger_than: Vec<Measure>,
}

/// Containers by what they are and hold, and by where they are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ContainerFilter {
    /// What they are and hold.
    pub content: ContentFilter,
    pub places: PlaceFilter,
}

/// The words that each selector takes, for whoever writes a rule.
pub fn selector_words() -> [(&'static str, String); 14] {
    [
        ("place, not_place", words_of(&PlaceKind::WORDS)),
        (
            "room, not_room",
            format!("{}; by the use of the room, whatever place in it", words_of(&RoomUse::WORDS)),
        ),
        ("level", Level::WANTED.to_string()),
        ("vessel", words_of(&Vessel::WORDS)),
        ("kind", words_of(&ProductKind::WORDS)),
        ("fixture", words_of(&FixtureKind::WORDS)),
        ("class", "names of the classes of classes.toml".to_string()),
        (
            "contains",
            "names of materials or of their parts, such as \"acetone\"".to_string(),
        ),
        ("drying_oil", words_of(&YES_NO)),
        ("hazard", HAZARDS.join(", ")),
        (
            "finish_kept_over",
            "a span such as \"30 days\": whether a finish that arrived since then is meant is unknown".to_string(),
        ),
        (
            "opened",
            "yes: whether a maker's full pack, with its lot on record and never opened, is meant is unknown".to_string(),
        ),
        (
            "larger_than",
            "sizes such as \"0.5 gal\" and \"5 lb\": the container holds more than this when it is full".to_string(),
        ),
        ("rated, room_rated", words_of(&YES_NO)),
    ]
}

/// The kinds of fixture that a list of words names.
pub fn fixture_kinds(words: &[WithSpan<String>], problems: &mut Problems) -> Vec<FixtureKind> {
    all(words, "fixture", &FixtureKind::WORDS, problems)
}

impl PlaceFilter {
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] = Select::KEYS.split_at(7).0;

    /// Reads the keys; unknown words are problems.
    pub fn read(select: &Select, problems: &mut Problems) -> PlaceFilter {
        let places = &PlaceKind::WORDS;
        both_ways(select, ["place", "not_place"], problems);
        PlaceFilter {
            place: all(select.words("place"), "place", places, problems),
            not_place: all(select.words("not_place"), "not_place", places, problems),
            listed: all(select.words("rated"), "rated", &YES_NO, problems),
            rooms: RoomFilter::read(select, problems),
        }
    }

    /// Does it restrict by the kind of place?
    pub fn restricts_kind(&self) -> bool {
        !(self.place.is_empty() && self.not_place.is_empty() && self.listed.is_empty())
    }

    /// Is this location meant?
    pub fn meets(&self, facts: &Facts<'_>, location: Location) -> Match {
        let place = location.place.map(|place| facts.tables[place].kind);
        let unknown = || {
            "Record a place from places.csv for each container. One has no place on record."
                .to_string()
        };
        // A thing recorded in a room only is outside every cabinet.
        let by_kind = if place.is_none() && location.room.is_some() && self.place.is_empty() {
            Match::Yes
        } else {
            both(test(&self.place, place, unknown), || {
                self.shuns(facts, location, place, unknown)
            })
        };
        let by_listing = || self.is_listed(facts, location);
        both(both(by_kind, by_listing), || {
            self.rooms.meets(facts, location.room)
        })
    }

    /// `rated`: is the place said to be built or listed for what it does?
    fn is_listed(&self, facts: &Facts<'_>, location: Location) -> Match {
        let place = location.place.map(|place| &facts.tables[place]);
        test(
            &self.listed,
            place.and_then(|place| place.listed),
            || match place {
                Some(place) => format!(
                    "Record in places.csv whether {} is listed. It is unknown.",
                    the(&place.id)
                ),
                None => {
                    "Record a place from places.csv for each container. One has no place on record."
                        .to_string()
                }
            },
        )
    }

    /// `not_place`; a cabinet takes liquid out of the room only where it is built or listed for that.
    fn shuns(
        &self,
        facts: &Facts<'_>,
        location: Location,
        is: Option<PlaceKind>,
        unknown: impl FnOnce() -> String,
    ) -> Match {
        let place = location.place.map(|place| &facts.tables[place]);
        match (place, shun(&self.not_place, is, unknown)) {
            (Some(place), Match::No) if place.kind == PlaceKind::Cabinet => match place.listed {
                Some(true) => Match::No,
                Some(false) => Match::Yes,
                None => Match::Unknown(format!(
                    "Record in places.csv whether the cabinet {} is listed. It is unknown.",
                    place.id
                )),
            },
            (_, matched) => matched,
        }
    }
}

impl ContentFilter {
    /// Reads the keys; unknown words and classes are problems.
    pub fn read(
        select: &Select,
        scheme: Option<&Scheme>,
        problems: &mut Problems,
    ) -> ContentFilter {
        let classes: Vec<(&str, usize)> = scheme
            .iter()
            .flat_map(|scheme| &scheme.classes)
            .enumerate()
            .map(|(at, class)| (class.name.as_str(), at))
            .collect();
        ContentFilter {
            class: all(select.words("class"), "class", &classes, problems),
            vessel: all(select.words("vessel"), "vessel", &Vessel::WORDS, problems),
            kind: all(select.words("kind"), "kind", &ProductKind::WORDS, problems),
            contains: substances(select, problems),
            self_heating: all(select.words("drying_oil"), "drying_oil", &YES_NO, problems),
            hazard: all(
                select.words("hazard"),
                "hazard",
                &HAZARDS.map(|word| (word, word)),
                problems,
            ),
            finish_kept_over: spans(select, "finish_kept_over", problems),
            opened: all(select.words("opened"), "opened", &[("yes", true)], problems),
            larger_than: sizes(select, "larger_than", problems),
        }
    }

    /// Does it restrict at all?
    pub fn restricts(&self) -> bool {
        !(self.class.is_empty()
            && self.vessel.is_empty()
            && self.kind.is_empty()
            && self.contains.is_empty()
            && self.self_heating.is_empty()
            && self.hazard.is_empty()
            && self.finish_kept_over.is_empty()
            && self.opened.is_empty()
            && self.larger_than.is_empty())
    }

    /// Could it mean a liquid of this class in this vessel?
    pub fn may_mean(&self, class: usize, vessel: Vessel) -> bool {
        (self.class.is_empty() || self.class.contains(&class))
            && (self.vessel.is_empty() || self.vessel.contains(&vessel))
    }

    /// Is this container meant?
    pub fn meets(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        let row = &facts.tables[container];
        let vessel = test(&self.vessel, row.vessel, || {
            format!(
                "Record the vessel of {} in inventory.csv. It is unknown.",
                row.id
            )
        });
        let kind = || known(&self.kind, &facts.hazard(container).kind);
        let heats = || self.is_self_heating(facts, container);
        let contains = || contains(facts, container, &self.contains);
        let class = || known(&self.class, facts.class(container));
        let hazard = || danger(facts, container, &self.hazard, Seen::Memory);
        let first = both(both(both(vessel, kind), heats), contains);
        let kept = both(both(both(first, hazard), class), || {
            self.kept_long(facts, container)
        });
        let opened = both(kept, || self.is_opened(facts, container));
        both(opened, || self.is_larger(facts, container))
    }

    /// What says that this container is meant: its rows, and how well its hazard was seen.
    pub fn evidence(&self, facts: &Facts<'_>, container: ContainerId) -> Evidence {
        let mut evidence = facts.evidence(container);
        let confirmed = || danger(facts, container, &self.hazard, Seen::Secondary);
        if !self.hazard.is_empty() && confirmed() != Match::Yes {
            evidence.seen = Seen::Memory;
        }
        evidence
    }

    /// `drying_oil`: what is unknown counts as a drying oil, so it may also be meant where those that are none are.
    fn is_self_heating(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        let heats = facts.heats(container);
        let matched = test(&self.self_heating, Some(heats), String::new);
        if matched == Match::No && heats && !facts.heats_for_sure(container) {
            return Match::Unknown(format!(
                "Record in products.csv whether what is in {} is a drying oil. It is unknown.",
                facts.id(container)
            ));
        }
        matched
    }

    /// `larger_than`: a container that is known to hold more is larger, even if its size is unknown.
    fn is_larger(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        if self.larger_than.is_empty() {
            return Match::Yes;
        }
        let row = &facts.tables[container];
        let exceeds = |amount: Amount| {
            let sizes = self.larger_than.iter();
            let mut alike = sizes.filter(|size| size.unit.dimension == amount.dimension());
            alike.next().map(|size| amount.base() > size.base)
        };
        let by_content = facts.contents(container).amount.and_then(exceeds);
        match row.capacity.and_then(exceeds) {
            Some(true) => Match::Yes,
            _ if by_content == Some(true) => Match::Yes,
            Some(false) => Match::No,
            None => {
                let known = row.capacity.map(Amount::dimension);
                let wanted = self.larger_than.first().map(|size| size.unit.dimension);
                Match::Unknown(match (known, wanted) {
                    (Some(known), Some(wanted)) => format!(
                        "Record the size of {} as {} in inventory.csv. It is recorded as {}.",
                        row.id,
                        wanted.word(),
                        known.word()
                    ),
                    (_, None) | (None, _) => format!(
                        "Record the size of {} in inventory.csv. It is unknown.",
                        row.id
                    ),
                })
            }
        }
    }

    /// `opened`: an unopened pack of the maker may be excepted. Only a lot on record shows that a maker packed it.
    fn is_opened(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        if self.opened.is_empty() {
            return Match::Yes;
        }
        let (row, held) = (&facts.tables[container], facts.contents(container));
        let is_full = row.capacity.is_some() && held.amount == row.capacity;
        let is_sealed = held.opened.is_none() && held.made.is_none() && row.lot.is_some();
        if !is_full || !is_sealed {
            return Match::Yes;
        }
        Match::Unknown(format!(
            "Ask your authority whether {} may be larger as an unopened pack of its maker. If it was opened, record the day.",
            row.id
        ))
    }

    /// `finish_kept_over`: a finish that the inventory knows for a shorter time may be excepted. What the shop mixed itself is
    /// kept to be used again, and counts at once.
    fn kept_long(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        let row = &facts.tables[container];
        let is_mixed = facts.contents(container).made.is_some();
        let Some(since) = row.since.filter(|_| !is_mixed) else {
            return Match::Yes;
        };
        let new = self
            .finish_kept_over
            .iter()
            .map(|span| since.plus(*span))
            .find(|until| facts.on() <= *until);
        let kind = facts.hazard(container).kind.value();
        match new.filter(|_| kind.is_some_and(|kind| kind.is_finish())) {
            Some(until) => Match::Unknown(format!(
                "`{}` was received on {}. Finish that is used up by {} is excepted",
                row.id,
                date(since),
                date(until)
            )),
            None => Match::Yes,
        }
    }
}

impl ContainerFilter {
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] = Select::KEYS.split_at(16).0;

    /// Reads the keys; unknown words and classes are problems.
    pub fn read(
        select: &Select,
        scheme: Option<&Scheme>,
        problems: &mut Problems,
    ) -> ContainerFilter {
        ContainerFilter {
            places: PlaceFilter::read(select, problems),
            content: ContentFilter::read(select, scheme, problems),
        }
    }

    /// Is this container meant, by what it is and holds and by where it is?
    pub fn meets(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        both(self.content.meets(facts, container), || {
            self.places.meets(facts, facts.location(container))
        })
    }
}

//! The selectors of a rule as typed filters: one type for rooms, one for places, one for what a container is or holds. A
//! thing matches, does not match, or it is unknown whether it does. An empty list does not restrict.

use super::facts::Facts;
use super::known::Known;
use crate::pack::{Scheme, Select, WithSpan, word};
use crate::record::{
    FixtureKind, Level, Location, PlaceKind, ProductKind, RoomUse, Vessel, words_of,
};
use crate::text::{CellFault, Problem, Problems};

/// Rooms by what they are used for and where they are.
#[derive(Clone, Debug, Default)]
pub struct RoomFilter {
    room: Vec<RoomUse>,
    not_room: Vec<RoomUse>,
    level: Vec<Level>,
}

/// Places by their kind and their room.
#[derive(Clone, Debug, Default)]
pub struct PlaceFilter {
    /// Kinds of place that are meant.
    pub place: Vec<PlaceKind>,
    not_place: Vec<PlaceKind>,
    /// Their rooms.
    pub rooms: RoomFilter,
}

/// Containers by what they are and hold.
#[derive(Clone, Debug, Default)]
pub struct ContentFilter {
    /// Classes, by position in the pack's scheme.
    pub class: Vec<usize>,
    vessel: Vec<Vessel>,
    kind: Vec<ProductKind>,
    contains: Vec<String>,
    self_heating: Vec<bool>,
}

/// Containers by what they are and hold, and by where they are.
#[derive(Clone, Debug, Default)]
pub struct ContainerFilter {
    /// What they are and hold.
    pub content: ContentFilter,
    /// Where they are.
    pub places: PlaceFilter,
}

/// Whether a thing is meant by a filter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Match {
    /// It is.
    Yes,
    /// It is not.
    No,
    /// It is not known, and why.
    Unknown(String),
}

const YES_NO: [(&str, bool); 2] = [("yes", true), ("no", false)];

/// The words that each selector takes, for whoever writes a rule.
pub fn selector_words() -> [(&'static str, String); 9] {
    [
        ("place, not_place", words_of(&PlaceKind::WORDS)),
        ("room, not_room", words_of(&RoomUse::WORDS)),
        ("level", Level::WANTED.to_string()),
        ("vessel", words_of(&Vessel::WORDS)),
        ("kind", words_of(&ProductKind::WORDS)),
        ("fixture", words_of(&FixtureKind::WORDS)),
        ("class", "names of the classes of classes.toml".to_string()),
        (
            "contains",
            "names of products, of materials or of their parts".to_string(),
        ),
        ("drying_oil", words_of(&YES_NO)),
    ]
}

/// The kinds of fixture that a list of words names.
pub fn fixture_kinds(words: &[WithSpan<String>], problems: &mut Problems) -> Vec<FixtureKind> {
    all(words, "fixture", &FixtureKind::WORDS, problems)
}

/// The storeys that a list of words names.
pub fn levels(words: &[WithSpan<String>], problems: &mut Problems) -> Vec<Level> {
    let mut list = Vec::new();
    for told in words {
        match Level::parse(&told.value) {
            Some(level) => list.push(level),
            None => {
                let code = CellFault::Unfit {
                    column: "level".into(),
                    read: told.value.clone(),
                    wanted: Level::WANTED.into(),
                };
                problems.add(Problem::new(code, told.at));
            }
        }
    }
    list
}

fn all<T: Copy>(
    words: &[WithSpan<String>],
    key: &str,
    list: &[(&str, T)],
    problems: &mut Problems,
) -> Vec<T> {
    let known = words.iter();
    known
        .filter_map(|told| word(told, key, list, problems))
        .collect()
}

impl RoomFilter {
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] = &["room", "not_room", "level"];

    /// Reads the keys; unknown words are problems.
    pub fn read(select: &Select, problems: &mut Problems) -> RoomFilter {
        RoomFilter {
            room: all(select.words("room"), "room", &RoomUse::WORDS, problems),
            not_room: all(
                select.words("not_room"),
                "not_room",
                &RoomUse::WORDS,
                problems,
            ),
            level: levels(select.words("level"), problems),
        }
    }

    /// Does it restrict at all?
    pub fn restricts(&self) -> bool {
        !(self.room.is_empty() && self.not_room.is_empty() && self.level.is_empty())
    }

    /// Is this room meant, by its position?
    pub fn meets(&self, facts: &Facts<'_>, room: Option<usize>) -> Match {
        let room = room.and_then(|room| facts.tables.rooms.get(room));
        let unknown = |what: &str| match room {
            Some(room) => format!(
                "Record the {what} of the room {} in rooms.csv. It is unknown.",
                room.id
            ),
            None => {
                "Record in which room each container is. One has no room on record.".to_string()
            }
        };
        let used = room.and_then(|room| room.used);
        let level = room.and_then(|room| room.level);
        let by_use = both(test(&self.room, used, || unknown("use")), || {
            shun(&self.not_room, used, || unknown("use"))
        });
        both(by_use, || test(&self.level, level, || unknown("level")))
    }
}

impl PlaceFilter {
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] = &["place", "not_place", "room", "not_room", "level"];

    /// Reads the keys; unknown words are problems.
    pub fn read(select: &Select, problems: &mut Problems) -> PlaceFilter {
        let places = &PlaceKind::WORDS;
        PlaceFilter {
            place: all(select.words("place"), "place", places, problems),
            not_place: all(select.words("not_place"), "not_place", places, problems),
            rooms: RoomFilter::read(select, problems),
        }
    }

    /// Does it restrict by the kind of place?
    pub fn restricts_kind(&self) -> bool {
        !(self.place.is_empty() && self.not_place.is_empty())
    }

    /// Is this location meant?
    pub fn meets(&self, facts: &Facts<'_>, location: Location) -> Match {
        let place = location
            .place
            .and_then(|place| facts.tables.places.get(place))
            .map(|place| place.kind);
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
        both(by_kind, || self.rooms.meets(facts, location.room))
    }

    /// `not_place`; a cabinet takes liquid out of the room only where it is built or listed for that.
    fn shuns(
        &self,
        facts: &Facts<'_>,
        location: Location,
        is: Option<PlaceKind>,
        unknown: impl FnOnce() -> String,
    ) -> Match {
        let place = location
            .place
            .and_then(|place| facts.tables.places.get(place));
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
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] =
        &["class", "vessel", "kind", "contains", "drying_oil"];

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
            contains: select
                .words("contains")
                .iter()
                .map(|told| told.value.to_lowercase())
                .collect(),
            self_heating: all(select.words("drying_oil"), "drying_oil", &YES_NO, problems),
        }
    }

    /// Does it restrict at all?
    pub fn restricts(&self) -> bool {
        !(self.class.is_empty()
            && self.vessel.is_empty()
            && self.kind.is_empty()
            && self.contains.is_empty()
            && self.self_heating.is_empty())
    }

    /// Could it mean a liquid of this class in this vessel?
    pub fn may_mean(&self, class: usize, vessel: Vessel) -> bool {
        (self.class.is_empty() || self.class.contains(&class))
            && (self.vessel.is_empty() || self.vessel.contains(&vessel))
    }

    /// Is this container meant?
    pub fn meets(&self, facts: &Facts<'_>, container: usize) -> Match {
        let Some(row) = facts.tables.containers.get(container) else {
            return Match::No;
        };
        let vessel = test(&self.vessel, row.vessel, || {
            format!(
                "Record the vessel of {} in inventory.csv. It is unknown.",
                row.id
            )
        });
        let kind = || known(&self.kind, &facts.hazard(container).kind);
        let heats = || {
            let heats = Some(facts.heats(container));
            test(&self.self_heating, heats, String::new)
        };
        let contains = || {
            if self.contains.is_empty() || facts.contains(container, &self.contains) {
                Match::Yes
            } else {
                Match::No
            }
        };
        let class = || known(&self.class, facts.class(container));
        both(both(both(both(vessel, kind), heats), contains), class)
    }
}

impl ContainerFilter {
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] = &[
        "place",
        "not_place",
        "room",
        "not_room",
        "level",
        "class",
        "vessel",
        "kind",
        "contains",
        "drying_oil",
    ];

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
    pub fn meets(&self, facts: &Facts<'_>, container: usize) -> Match {
        both(self.content.meets(facts, container), || {
            self.places.meets(facts, facts.location(container))
        })
    }
}

fn known<T: PartialEq + Copy>(wanted: &[T], is: &Known<T>) -> Match {
    match is {
        Known::Yes(fact) => test(wanted, Some(fact.value), String::new),
        Known::No(gap) => test(wanted, None, || gap.because.clone()),
    }
}

fn test<T: PartialEq>(wanted: &[T], is: Option<T>, unknown: impl FnOnce() -> String) -> Match {
    match is {
        _ if wanted.is_empty() => Match::Yes,
        Some(is) if wanted.contains(&is) => Match::Yes,
        Some(_) => Match::No,
        None => Match::Unknown(unknown()),
    }
}

fn shun<T: PartialEq>(unwanted: &[T], is: Option<T>, unknown: impl FnOnce() -> String) -> Match {
    match test(unwanted, is, unknown) {
        _ if unwanted.is_empty() => Match::Yes,
        Match::Yes => Match::No,
        Match::No => Match::Yes,
        unknown @ Match::Unknown(_) => unknown,
    }
}

/// A definite no outweighs what is not known.
fn both(first: Match, second: impl FnOnce() -> Match) -> Match {
    match first {
        Match::No => Match::No,
        Match::Yes => second(),
        Match::Unknown(why) => match second() {
            Match::No => Match::No,
            Match::Yes | Match::Unknown(_) => Match::Unknown(why),
        },
    }
}

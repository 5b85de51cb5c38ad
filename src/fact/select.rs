//! The fixed words of a rule's `[where]`, made into a filter. A thing matches, does not, or it is not known.

use super::facts::Facts;
use crate::pack::{Scheme, Select, WithSpan};
use crate::record::{
    FixtureKind, Level, Location, PlaceKind, ProductKind, RoomUse, Vessel, words_of,
};
use crate::text::{CellFault, Problem, Problems, nearest};

/// A filter over containers, places and rooms. An empty list does not restrict.
#[derive(Clone, Debug, Default)]
pub struct Filter {
    /// Kinds of place a container stands in.
    pub place: Vec<PlaceKind>,
    /// Kinds of place it does not stand in.
    pub not_place: Vec<PlaceKind>,
    /// Uses of its room.
    pub room: Vec<RoomUse>,
    /// Uses that its room does not have.
    pub not_room: Vec<RoomUse>,
    /// Storeys.
    pub level: Vec<Level>,
    /// Classes, by position in the pack's scheme.
    pub class: Vec<usize>,
    /// Vessels.
    pub vessel: Vec<Vessel>,
    /// Kinds of product.
    pub kind: Vec<ProductKind>,
    /// Names of the product or of a part.
    pub contains: Vec<String>,
    /// Whether what is wet with it can heat itself.
    pub heats: Option<bool>,
    /// Kinds of fixture.
    pub fixture: Vec<FixtureKind>,
}

/// Whether a thing is meant by a filter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Match {
    /// It is.
    Yes,
    /// It is not.
    No,
    /// It cannot be told, and why.
    Unknown(String),
}

/// Makes a filter of the words; unknown words and classes are problems.
pub fn filter(select: &Select, scheme: Option<&Scheme>, problems: &mut Problems) -> Filter {
    let classes: Vec<(&str, usize)> = scheme
        .map(|scheme| {
            scheme
                .classes
                .iter()
                .enumerate()
                .map(|(at, class)| (class.name.as_str(), at))
                .collect()
        })
        .unwrap_or_default();
    Filter {
        place: words(select, "place", &PlaceKind::WORDS, problems),
        not_place: words(select, "not_place", &PlaceKind::WORDS, problems),
        room: words(select, "room", &RoomUse::WORDS, problems),
        not_room: words(select, "not_room", &RoomUse::WORDS, problems),
        level: levels(select, problems),
        class: words(select, "class", &classes, problems),
        vessel: words(select, "vessel", &Vessel::WORDS, problems),
        kind: words(select, "kind", &ProductKind::WORDS, problems),
        contains: select
            .words("contains")
            .iter()
            .map(|told| told.value.to_lowercase())
            .collect(),
        heats: words(
            select,
            "drying_oil",
            &[("yes", true), ("no", false)],
            problems,
        )
        .first()
        .copied(),
        fixture: words(select, "fixture", &FixtureKind::WORDS, problems),
    }
}

fn words<T: Copy>(
    select: &Select,
    key: &str,
    list: &[(&str, T)],
    problems: &mut Problems,
) -> Vec<T> {
    select
        .words(key)
        .iter()
        .filter_map(|told| one(told, key, list, problems))
        .collect()
}

fn one<T: Copy>(
    told: &WithSpan<String>,
    key: &str,
    list: &[(&str, T)],
    problems: &mut Problems,
) -> Option<T> {
    let found = list
        .iter()
        .find(|(name, _)| *name == told.value)
        .map(|(_, value)| *value);
    if found.is_none() {
        let near = nearest(&told.value, list.iter().map(|(name, _)| *name)).map(str::to_string);
        let code = CellFault::WordUnknown {
            column: key.to_string(),
            read: told.value.clone(),
            near,
            known: words_of(list),
        };
        problems.add(Problem::new(code, told.at));
    }
    found
}

fn levels(select: &Select, problems: &mut Problems) -> Vec<Level> {
    let mut list = Vec::new();
    for told in select.words("level") {
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

impl Filter {
    /// Does it restrict by what a container is or holds?
    pub fn asks_of_content(&self) -> bool {
        !(self.class.is_empty()
            && self.vessel.is_empty()
            && self.kind.is_empty()
            && self.contains.is_empty()
            && self.heats.is_none())
    }

    /// Does a container match, by what it is and holds and by where it stands?
    pub fn container(&self, facts: &Facts<'_>, container: usize) -> Match {
        let location = facts.location(container);
        both(self.content(facts, container), || {
            self.location(facts, location)
        })
    }

    /// By what it is and holds.
    pub fn content(&self, facts: &Facts<'_>, container: usize) -> Match {
        let Some(row) = facts.tables.containers.get(container) else {
            return Match::No;
        };
        let hazard = facts.hazard(container);
        let vessel = test(&self.vessel, row.vessel, || {
            format!("the vessel of `{}` is not known", row.id)
        });
        let kind = || match &hazard.kind {
            super::Known::Yes(fact) => test(&self.kind, Some(fact.value), String::new),
            super::Known::No(gap) if !self.kind.is_empty() => Match::Unknown(gap.because.clone()),
            super::Known::No(_) => Match::Yes,
        };
        let class = || match facts.class(container) {
            _ if self.class.is_empty() => Match::Yes,
            super::Known::Yes(fact) => test(&self.class, Some(fact.value), String::new),
            super::Known::No(gap) => Match::Unknown(gap.because.clone()),
        };
        let contains = || {
            let found = facts.contains(container, &self.contains);
            if self.contains.is_empty() || found {
                Match::Yes
            } else {
                Match::No
            }
        };
        let heats = || match self.heats {
            Some(wanted) if wanted != facts.heats(container) => Match::No,
            Some(_) | None => Match::Yes,
        };
        both(both(both(both(vessel, kind), heats), contains), class)
    }

    /// By where it stands.
    pub fn location(&self, facts: &Facts<'_>, location: Location) -> Match {
        let place = location
            .place
            .and_then(|place| facts.tables.places.get(place))
            .map(|place| place.kind);
        let room = location.room.and_then(|room| facts.tables.rooms.get(room));
        let place_unknown = || {
            "it is not known in what kind of place it stands; give it a place of places.csv"
                .to_string()
        };
        // Whoever names only a room has not put the thing into a cabinet: out of every place that would count.
        let place = if place.is_none() && location.room.is_some() && self.place.is_empty() {
            Match::Yes
        } else {
            both(test(&self.place, place, place_unknown), || {
                self.shuns(facts, location, place, place_unknown)
            })
        };
        let use_unknown = || match room {
            Some(room) => format!(
                "the use of the room `{}` is not known; give it in rooms.csv",
                room.id
            ),
            None => "it is not known in which room it stands".to_string(),
        };
        let used = room.and_then(|room| room.used);
        let level = room.and_then(|room| room.level);
        let level_unknown = || match room {
            Some(room) => format!(
                "the level of the room `{}` is not known; give it in rooms.csv",
                room.id
            ),
            None => "it is not known in which room it stands".to_string(),
        };
        let room = both(test(&self.room, used, use_unknown), || {
            shun(&self.not_room, used, use_unknown)
        });
        both(both(place, || room), || {
            test(&self.level, level, level_unknown)
        })
    }
}

impl Filter {
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
                    "whether the cabinet `{}` is rated is not known; say so in places.csv",
                    place.id
                )),
            },
            (_, matched) => matched,
        }
    }
}

fn test<T: PartialEq>(wanted: &[T], is: Option<T>, unknown: impl FnOnce() -> String) -> Match {
    if wanted.is_empty() {
        return Match::Yes;
    }
    match is {
        Some(is) if wanted.contains(&is) => Match::Yes,
        Some(_) => Match::No,
        None => Match::Unknown(unknown()),
    }
}

fn shun<T: PartialEq>(unwanted: &[T], is: Option<T>, unknown: impl FnOnce() -> String) -> Match {
    if unwanted.is_empty() {
        return Match::Yes;
    }
    match is {
        Some(is) if unwanted.contains(&is) => Match::No,
        Some(_) => Match::Yes,
        None => Match::Unknown(unknown()),
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

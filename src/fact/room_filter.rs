//! The selectors of a rule that pick rooms, as a typed filter.

use super::facts::Facts;
use super::matching::{Match, all, both, both_ways, shun, test};
use crate::pack::{Select, WithSpan};
use crate::record::{Level, Room, RoomId, RoomUse};
use crate::text::{CellFault, Problem, Problems, the};

/// The words of a listing.
pub(super) const YES_NO: [(&str, bool); 2] = [("yes", true), ("no", false)];

/// Rooms by what they are used for and where they are.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RoomFilter {
    room: Vec<RoomUse>,
    not_room: Vec<RoomUse>,
    level: Vec<Level>,
    listed: Vec<bool>,
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

impl RoomFilter {
    /// The keys that it reads.
    pub const KEYS: &'static [&'static str] = &["room", "not_room", "room_rated", "level"];

    /// Reads the keys; unknown words are problems.
    pub fn read(select: &Select, problems: &mut Problems) -> RoomFilter {
        both_ways(select, ["room", "not_room"], problems);
        RoomFilter {
            room: all(select.words("room"), "room", &RoomUse::WORDS, problems),
            not_room: all(
                select.words("not_room"),
                "not_room",
                &RoomUse::WORDS,
                problems,
            ),
            level: levels(select.words("level"), problems),
            listed: all(select.words("room_rated"), "room_rated", &YES_NO, problems),
        }
    }

    /// Does it restrict at all?
    pub fn restricts(&self) -> bool {
        !(self.room.is_empty()
            && self.not_room.is_empty()
            && self.level.is_empty()
            && self.listed.is_empty())
    }

    /// Is this room meant? `None` is a room that is not on record.
    pub fn meets(&self, facts: &Facts<'_>, room: Option<RoomId>) -> Match {
        let room = room.map(|room| &facts.tables[room]);
        let unknown = |what: &str| match room {
            Some(room) => format!(
                "Record the {what} of {} in rooms.csv. It is unknown.",
                the(&room.id)
            ),
            None => {
                "Record which room each container is in. One has no room on record.".to_string()
            }
        };
        let used = room.and_then(|room| room.used);
        let level = room.and_then(|room| room.level);
        let by_use = both(test(&self.room, used, || unknown("use")), || {
            self.shuns(used, room, || unknown("use"))
        });
        let by_level = both(by_use, || test(&self.level, level, || unknown("level")));
        both(by_level, || {
            let listed = room.and_then(|room| room.listed);
            test(&self.listed, listed, || match room {
                Some(room) => built_unknown(room),
                None => unknown("rating"),
            })
        })
    }

    /// `not_room`; a store-room takes liquid out of the shop only where it is built for that.
    fn shuns(
        &self,
        used: Option<RoomUse>,
        room: Option<&Room>,
        unknown: impl FnOnce() -> String,
    ) -> Match {
        match (room, shun(&self.not_room, used, unknown)) {
            (Some(room), Match::No) if used == Some(RoomUse::StoreRoom) => match room.listed {
                Some(true) => Match::No,
                Some(false) => Match::Yes,
                None => Match::Unknown(built_unknown(room)),
            },
            (_, matched) => matched,
        }
    }
}

fn built_unknown(room: &Room) -> String {
    format!(
        "Record in rooms.csv whether {} is built for flammable liquid. It is unknown.",
        the(&room.id)
    )
}

//! `fixtures.csv`: exits, extinguishers, fans, flames and the like.

use super::ids::RoomId;
use super::place::xy;
use super::row::Fields;
use crate::quantity::Length;
use crate::text::{Shape, Span};

/// The columns.
pub(super) const SHAPE: Shape = Shape {
    file: "fixtures.csv",
    must: &["fixture", "room", "kind"],
    may: &["rating", "x", "y", "note"],
};

/// The kind of a fixture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the words say it")]
pub enum FixtureKind {
    Exit,
    Extinguisher,
    Eyewash,
    Fan,
    Flame,
    Heater,
    Switch,
    Panel,
    Sign,
}

impl FixtureKind {
    /// The words of the files.
    pub const WORDS: [(&'static str, FixtureKind); 9] = [
        ("exit", FixtureKind::Exit),
        ("extinguisher", FixtureKind::Extinguisher),
        ("eyewash", FixtureKind::Eyewash),
        ("fan", FixtureKind::Fan),
        ("flame", FixtureKind::Flame),
        ("heater", FixtureKind::Heater),
        ("switch", FixtureKind::Switch),
        ("panel", FixtureKind::Panel),
        ("sign", FixtureKind::Sign),
    ];

    /// The word of the files.
    pub fn word(self) -> &'static str {
        Self::WORDS
            .iter()
            .find(|(_, kind)| *kind == self)
            .map_or("?", |(word, _)| word)
    }
}

/// One fixture.
#[derive(Clone, Debug)]
pub struct Fixture {
    /// Its name.
    pub id: String,
    /// Its room.
    pub room: Option<RoomId>,
    /// Its kind.
    pub kind: FixtureKind,
    /// What its plate says: `10-B:C`, `2A:10B:C`.
    pub rating: Option<String>,
    /// Where it is in the room, from a corner.
    pub xy: Option<(Length, Length)>,
    /// What the shop notes of it.
    pub note: Option<String>,
    /// Where the row is.
    pub at: Span,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<(Fixture, Option<String>, Span)> {
    let (id, room) = (fields.name(0), fields.must(1).map(str::to_string));
    let kind = fields
        .must(2)
        .and_then(|_| fields.word(2, &FixtureKind::WORDS));
    let fixture = Fixture {
        id: id?.to_string(),
        room: None,
        kind: kind?,
        rating: fields.owned(3),
        xy: xy(fields, 4),
        note: fields.owned(6),
        at: fields.row.span(),
    };
    Some((fixture, room, fields.span(1)))
}

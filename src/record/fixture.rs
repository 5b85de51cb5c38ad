//! `fixtures.csv`: exits, extinguishers, fans, flames and the like.

use super::ids::RoomId;
use super::place::xy;
use super::row::Fields;
use crate::quantity::Length;
use crate::text::{Shape, Span, words};

/// The columns.
pub(super) const SHAPE: Shape = Shape {
    file: "fixtures.csv",
    must: &["fixture", "room", "kind"],
    may: &["rating", "x", "y", "note"],
};

words! {
    /// The kind of a fixture.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
    pub enum FixtureKind {
        Exit = "exit",
        Extinguisher = "extinguisher",
        Eyewash = "eyewash",
        Fan = "fan",
        Flame = "flame",
        Heater = "heater",
        Switch = "switch",
        Panel = "panel",
        Sign = "sign",
    }
}

#[derive(Clone, Debug)]
pub struct Fixture {
    pub id: String,
    pub room: Option<RoomId>,
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

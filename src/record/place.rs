//! `places.csv`: a place each row, where containers stand or rags go. (In code a `Place`, since a `Span` is in a text.)

use super::ids::RoomId;
use super::row::Fields;
use crate::quantity::{Dimension, Length, Volume};
use crate::text::{Shape, Span, words};

/// The columns.
pub(super) const SHAPE: Shape = Shape {
    file: "places.csv",
    must: &["place", "room", "kind"],
    may: &["rated", "capacity", "x", "y", "note"],
};

words! {
    /// The kind of a place.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
    pub enum PlaceKind {
        Cabinet = "cabinet",
        StoreRoom = "store-room",
        Shelf = "shelf",
        Bench = "bench",
        Floor = "floor",
        Window = "window",
        Refrigerator = "refrigerator",
        Outdoors = "outdoors",
        OilyWasteCan = "oily-waste-can",
        WaterCan = "water-can",
        DryingLine = "drying-line",
        PadJar = "pad-jar",
    }
}

impl PlaceKind {
    /// How a sentence places something there: "on" a bench, "in" a cabinet, "at" a place outdoors.
    pub fn preposition(self) -> &'static str {
        match self {
            PlaceKind::Shelf | PlaceKind::Bench | PlaceKind::Floor | PlaceKind::DryingLine => "on",
            PlaceKind::Outdoors => "at",
            PlaceKind::Cabinet
            | PlaceKind::StoreRoom
            | PlaceKind::Window
            | PlaceKind::Refrigerator
            | PlaceKind::OilyWasteCan
            | PlaceKind::WaterCan
            | PlaceKind::PadJar => "in",
        }
    }
}

#[derive(Clone, Debug)]
pub struct Place {
    pub id: String,
    /// Its room; `None` while the name is not found.
    pub room: Option<RoomId>,
    pub kind: PlaceKind,
    /// Whether it is built or listed for what it does.
    pub listed: Option<bool>,
    /// What its maker says it holds.
    pub capacity: Option<Volume>,
    /// Where it is in the room, from a corner.
    pub xy: Option<(Length, Length)>,
    /// Where the row is.
    pub at: Span,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<(Place, Option<String>, Span)> {
    let (id, room) = (fields.name(0), fields.must(1).map(str::to_string));
    let kind = fields
        .must(2)
        .and_then(|_| fields.word(2, &PlaceKind::WORDS));
    let place = Place {
        id: id?.to_string(),
        room: None,
        kind: kind?,
        listed: fields.yes_no(3),
        capacity: fields.positive(4, &[Dimension::Volume]).map(|m| m.volume()),
        xy: xy(fields, 5),
        at: fields.row.span(),
    };
    Some((place, room, fields.span(1)))
}

/// Reads `x` and the column after it; one without the other is unknown.
pub(super) fn xy(fields: &mut Fields<'_, '_>, column: usize) -> Option<(Length, Length)> {
    let x = fields.measure(column, &[Dimension::Length]);
    let y = fields.measure(column + 1, &[Dimension::Length]);
    Some((x?.length(), y?.length()))
}

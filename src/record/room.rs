//! `rooms.csv`: a room each row.

use super::row::Fields;
use crate::quantity::{Airflow, Day, Dimension, Exact, Length, Measure, Temperature};
use crate::text::{CellFault, Problem, Shape, Span, words};

/// The columns.
pub(super) const SHAPE: Shape = Shape {
    file: "rooms.csv",
    must: &["room"],
    may: &[
        "use",
        "length",
        "width",
        "height",
        "level",
        "sprinklered",
        "exhaust",
        "exhaust_measured",
        "mixing",
        "warmest",
        "rated",
        "note",
    ],
};

words! {
    /// What a room is used for.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
    pub enum RoomUse {
        Finishing = "finishing",
        Spraying = "spraying",
        StoreRoom = "store-room",
        Bench = "bench",
        Classroom = "classroom",
        Other = "other",
    }
}

/// The storey a room is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Level {
    /// Below ground: 1 is the first storey below, 2 the one under that.
    Basement(u8),
    /// At ground level.
    Ground,
    /// The second storey and up, as numbered in the USA.
    Storey(u8),
}

impl Level {
    /// What to write for a level.
    pub const WANTED: &str =
        "ground, basement, basement-2 (to basement-9), or the number of the storey (2 to 40)";

    /// Reads `basement`, `basement-2`, `ground` or a storey number; storey 1 is the ground.
    pub fn parse(text: &str) -> Option<Level> {
        let number = |text: &str, most| text.parse::<u8>().ok().filter(|n| (2..=most).contains(n));
        let text = text.to_ascii_lowercase();
        match text.as_str() {
            "basement" => Some(Level::Basement(1)),
            "ground" | "1" => Some(Level::Ground),
            _ => match text.strip_prefix("basement-") {
                Some(below) => number(below, 9).map(Level::Basement),
                None => number(&text, 40).map(Level::Storey),
            },
        }
    }

    /// The word of the files.
    pub fn word(self) -> String {
        match self {
            Level::Basement(1) => "basement".into(),
            Level::Basement(number) => format!("basement-{number}"),
            Level::Ground => "ground".into(),
            Level::Storey(number) => number.to_string(),
        }
    }
}

#[derive(Clone, Debug)]
pub struct Room {
    pub id: String,
    /// What it is used for.
    pub used: Option<RoomUse>,
    /// Length.
    pub length: Option<Length>,
    /// Width.
    pub width: Option<Length>,
    /// Height.
    pub height: Option<Length>,
    pub level: Option<Level>,
    /// Whether sprinklers cover it.
    pub sprinklered: Option<bool>,
    /// What the fan moves.
    pub exhaust: Option<Airflow>,
    /// The day on which that was measured; otherwise it is what the maker says.
    pub exhaust_measured: Option<Day>,
    /// The mixing factor K.
    pub mixing: Option<Exact>,
    /// The warmest it gets.
    pub warmest: Option<Temperature>,
    /// Whether a store-room is built as the rules for such rooms require.
    pub listed: Option<bool>,
    /// Where the row is.
    pub at: Span,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Room> {
    let length = |fields: &mut Fields<'_, '_>, column| {
        fields
            .positive(column, &[Dimension::Length])
            .map(|m: Measure| m.length())
    };
    let room = Room {
        id: fields.name(0)?.to_string(),
        used: fields.word(1, &RoomUse::WORDS),
        length: length(fields, 2),
        width: length(fields, 3),
        height: length(fields, 4),
        level: level(fields),
        sprinklered: fields.yes_no(6),
        exhaust: fields
            .measure(7, &[Dimension::Airflow])
            .map(|m| m.airflow()),
        exhaust_measured: fields.day(8),
        mixing: mixing(fields),
        warmest: fields
            .measure(10, &[Dimension::Temperature])
            .map(|m| m.temperature()),
        listed: fields.yes_no(11),
        at: fields.row.span(),
    };
    Some(room)
}

/// The mixing factor: below 1 air would mix better than perfectly, and an efficiency is one over it.
fn mixing(fields: &mut Fields<'_, '_>) -> Option<Exact> {
    let mixing = fields.number(9)?;
    let fits = mixing >= Exact::ONE && mixing <= Exact::whole(10);
    if !fits {
        let code = CellFault::Unfit {
            column: "mixing".into(),
            read: fields.text(9)?.into(),
            wanted: "a mixing factor K from 1 (air mixes perfectly) to 10 (air hardly mixes), such as 5; an efficiency of 0.2 \
                     is a K of 5"
                .into(),
        };
        fields.problems.add(Problem::new(code, fields.span(9)));
    }
    fits.then_some(mixing)
}

fn level(fields: &mut Fields<'_, '_>) -> Option<Level> {
    let text = fields.text(5)?;
    let level = Level::parse(text);
    if level.is_none() {
        let code = CellFault::Unfit {
            column: "level".into(),
            read: text.into(),
            wanted: Level::WANTED.into(),
        };
        fields.problems.add(Problem::new(code, fields.span(5)));
    }
    level
}

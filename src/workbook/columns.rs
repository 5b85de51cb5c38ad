//! What each column of a sheet holds, and the note on its head.

use crate::quantity::Dimension;
use crate::record::{ANSWERS, FixtureKind, PlaceKind, ProductKind, RoomUse, Vessel, What};

/// What a column holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Form {
    /// Any text.
    Text,
    Day,
    /// A day and a time.
    Moment,
    /// A number with a unit of one of these dimensions.
    Quantity(&'static [Dimension]),
    /// A number without a unit.
    Number,
    /// One of these words.
    Words(Vec<&'static str>),
    /// The name of something in another sheet.
    Name(NamedThings),
}

/// Things that have names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NamedThings {
    /// Rooms.
    Rooms,
    /// Places and rooms.
    Places,
    /// Products.
    Products,
    /// Containers.
    Containers,
    /// Questions of the round.
    Questions,
}

const AMOUNT: &[Dimension] = &[Dimension::Volume, Dimension::Mass, Dimension::Pieces];
const LENGTH: &[Dimension] = &[Dimension::Length];

fn words<T>(list: &[(&'static str, T)]) -> Form {
    Form::Words(list.iter().map(|(word, _)| *word).collect())
}

/// What a column of a table holds.
pub(super) fn form(table: &str, column: &str) -> Form {
    match (table, column) {
        ("inventory.csv", "vessel") => words(&Vessel::WORDS),
        ("inventory.csv", "product") => Form::Name(NamedThings::Products),
        ("inventory.csv" | "log.csv", "place") => Form::Name(NamedThings::Places),
        ("log.csv", "container") => Form::Name(NamedThings::Containers),
        ("log.csv", "what") => words(&What::WORDS),
        ("log.csv", "minutes") => Form::Number,
        ("checks.csv", "check") => Form::Name(NamedThings::Questions),
        ("checks.csv", "answer") => words(&ANSWERS),
        ("places.csv", "kind") => words(&PlaceKind::WORDS),
        ("fixtures.csv", "kind") => words(&FixtureKind::WORDS),
        ("products.csv", "kind") => words(&ProductKind::WORDS),
        ("rooms.csv", "use") => words(&RoomUse::WORDS),
        ("places.csv" | "fixtures.csv", "room") => Form::Name(NamedThings::Rooms),
        (_, "rated" | "labelled" | "sprinklered" | "drying_oil") => Form::Words(vec!["yes", "no"]),
        (_, "amount" | "capacity") => Form::Quantity(AMOUNT),
        (_, "length" | "width" | "height" | "x" | "y") => Form::Quantity(LENGTH),
        (_, "exhaust") => Form::Quantity(&[Dimension::Airflow]),
        (_, "warmest" | "boiling_point") => Form::Quantity(&[Dimension::Temperature]),
        (_, "when" | "written") => Form::Moment,
        ("actions.csv", "by") => Form::Day,
        (
            _,
            "since" | "opened" | "made" | "best_before" | "exhaust_measured" | "sheet_dated"
            | "until" | "closed",
        ) => Form::Day,
        _ => Form::Text,
    }
}

/// The note on the head of a column.
pub(super) fn note(table: &str, column: &str) -> Option<&'static str> {
    Some(match (table, column) {
        ("rooms.csv", "room") => "The name of the room.",
        ("rooms.csv", "level") => "ground, basement, or the number of the floor.",
        ("rooms.csv", "exhaust") => {
            "What the fan moves, such as 400 cfm. Leave it empty if it was never measured or labeled."
        }
        ("rooms.csv", "exhaust_measured") => "The day on which the airflow was measured.",
        ("rooms.csv", "warmest") => "The warmest the room gets, such as 85 F.",
        ("places.csv", "place") => "The name of a shelf, cabinet, bench or can.",
        ("places.csv", "rated") => "yes if the cabinet or can is listed for this use.",
        ("places.csv" | "fixtures.csv", "x") => {
            "Distance from a corner of the room, along its length."
        }
        ("places.csv" | "fixtures.csv", "y") => {
            "Distance from the same corner, along the width of the room."
        }
        ("fixtures.csv", "rating") => "What its plate says, such as 2A:10B:C.",
        ("products.csv", "made_of") => "Such as ethanol 90 vol %; methanol 5-10 vol %.",
        ("products.csv", "flash_point") => {
            "Closed cup, such as 104 F. Write none if the sheet says that it does not flash."
        }
        ("products.csv", "drying_oil") => {
            "yes if rags with it can heat themselves. An empty cell counts as yes where the kind allows it."
        }
        ("products.csv", "sheet") => {
            "Path of the safety data sheet in the shop folder, such as sheets/varnish.pdf."
        }
        ("inventory.csv", "container") => "The name on the label. Each container has its own.",
        ("inventory.csv", "vessel") => "What the container is made of.",
        ("inventory.csv", "capacity") => "What it holds when full, such as 1 qt.",
        ("inventory.csv", "since") => "The day on which the amount was right.",
        ("inventory.csv", "amount") => {
            "What it held on the day in the column since. A new amount for a container with entries in the log becomes a count, dated when the workbook is taken."
        }
        ("inventory.csv", "labelled") => "yes if it bears a label.",
        ("log.csv", "entry") => {
            "Leave it empty in a new row: the program numbers it. Existing rows cannot be changed here."
        }
        ("log.csv", "into") => {
            "For mix and decant: the container that it went into. For soil: the container that soiled the rag."
        }
        ("log.csv", "minutes") => "How long the work took, in minutes.",
        ("log.csv" | "checks.csv", "written" | "id") => "Leave it empty. The program fills it in.",
        ("checks.csv", "where") => "The fixture or place it is about. Empty for the whole shop.",
        ("checks.csv", "when") => {
            "When it was checked. Existing answers cannot be changed here; add a row."
        }
        ("accepted.csv", "until") => "The last day on which the acceptance holds.",
        _ => return None,
    })
}

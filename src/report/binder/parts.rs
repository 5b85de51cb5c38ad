//! What every tab is built of: tables, sayings, names of places.

use super::super::page::{how_seen, wide};
pub(super) use super::super::page::{many, name, prose, verdict};
use crate::finding::Cited;
use crate::quantity::{Airflow, Day, Moment, in_unit, unit};
use crate::record::{Location, ShopTables};
use maud::{Markup, html};

/// Rows of one table; those beyond are counted, and said to stand in the copied table.
pub(super) const MOST: usize = 2000;

/// A table under its heading. A head that begins with `#` stands over numbers.
pub(super) fn table(label: &str, heads: &[&str], body: &Markup) -> Markup {
    wide(
        label,
        html! {
            table {
                thead { tr {
                    @for head in heads {
                        @match head.strip_prefix('#') {
                            Some(head) => th.number scope="col" { (head) },
                            None => th scope="col" { (head) },
                        }
                    }
                } }
                (body)
            }
        },
    )
}

/// What is said where there is nothing to show: never left blank, and never taken for good.
pub(super) fn nothing(words: &str) -> Markup {
    html! { p.nothing { (prose(words)) } }
}

/// Yes, no, or not known.
pub(super) fn yes_no(known: Option<bool>) -> &'static str {
    match known {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    }
}

/// The name of a place, else of a room.
pub(super) fn location(tables: &ShopTables, location: Location) -> Option<&str> {
    let place = location.place.and_then(|place| tables.places.get(place));
    let room = location.room.and_then(|room| tables.rooms.get(room));
    place
        .map(|place| place.id.as_str())
        .or(room.map(|room| room.id.as_str()))
}

/// The name of a room.
pub(super) fn room(tables: &ShopTables, room: Option<usize>) -> &str {
    room.and_then(|room| tables.rooms.get(room))
        .map_or("not known", |room| room.id.as_str())
}

/// An airflow in the shop's units.
pub(super) fn airflow(flow: Airflow, us: bool) -> String {
    let unit = unit::find(if us { "cfm" } else { "m3/h" });
    unit.map_or_else(String::new, |unit| in_unit(flow.base(), unit))
}

/// Document, edition, clause, day and how it was seen, in one line.
pub(super) fn source(cited: &Cited) -> Markup {
    html! {
        span.source {
            cite { (prose(&cited.document)) } ", " (prose(&cited.edition)) ", " (prose(&cited.clause))
            @if let Some(in_force) = cited.in_force { "; in force since " (dated(in_force)) }
            "; " (how_seen(cited.seen))
        }
    }
}

/// A day, which no line break cuts.
pub(super) fn dated(day: Day) -> Markup {
    html! { time datetime=(day) { (day) } }
}

/// A day and its minute.
pub(super) fn timed(moment: Moment) -> Markup {
    html! { time datetime=(moment) { (moment.day()) " " (moment.clock()) } }
}

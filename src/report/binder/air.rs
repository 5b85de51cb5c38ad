//! Tab 4: what the fans move and when that was measured, the sessions of the last month, and every look at the fans.

use super::checks::{answers, checks};
use super::context::Binder;
use super::exits::fixtures;
use super::found::open_here;
use super::parts::airflow;
use super::rows::{SESSIONS, first_rows};
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::{FixtureKind, Room};
use crate::report::columns::Medium;
use crate::report::html::{dated, listing, name, nothing, table};
use crate::report::listings;
use crate::report::wrap::many;
use maud::{Markup, html};

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let on = binder.view.on;
    let measured = binder
        .tables
        .rooms
        .iter()
        .filter_map(|room| room.exhaust_measured);
    let worked = binder
        .view
        .air
        .sessions
        .list
        .iter()
        .map(|session| session.initial.day());
    let looked = answers(binder, Tab::Air)
        .into_iter()
        .map(|answer| answer.when.day());
    let latest = measured
        .chain(worked)
        .chain(looked)
        .filter(|day| *day <= on)
        .max();
    let part = html! {
        (open_here(binder, Tab::Air))
        h3 { "Exhaust of each room" }
        (rooms(binder))
        h3 { "Fans" }
        (fixtures(binder, "Fans", |kind| kind == FixtureKind::Fan, "no fan"))
        (sessions(binder))
        (checks(binder, Tab::Air))
    };
    (latest, part)
}

fn rooms(binder: &Binder<'_>) -> Markup {
    if binder.tables.rooms.is_empty() {
        return nothing("rooms.csv has no room.");
    }
    table(
        "Exhaust of each room",
        &["Room", "#Exhaust", "Measured on", "Row"],
        &html! { tbody {
            @for room in &binder.tables.rooms { (room_row(binder, room)) }
        } },
    )
}

fn room_row(binder: &Binder<'_>, room: &Room) -> Markup {
    html! {
        tr {
            th scope="row" { (name(&room.id)) }
            td.number { @match room.exhaust { Some(flow) => (airflow(flow, binder.view.us)), None => "unknown" } }
            td {
                @match (room.exhaust_measured, room.exhaust) {
                    (Some(day), _) => (dated(day)),
                    (None, Some(_)) => "not recorded, so it may be the maker's figure",
                    (None, None) => "not recorded",
                }
            }
            td.rows { (binder.row(room.at)) }
        }
    }
}

fn sessions(binder: &Binder<'_>) -> Markup {
    let air = &binder.view.air;
    let (all, left) = (air.sessions.list.len(), air.left_out(SESSIONS));
    let table = &listings::SESSIONS;
    html! {
        h3 { (table.title) " " span.faint { (many(all, "session")) } }
        @if all > 0 { p.faint { (table.intro) } }
        (listing(table, Medium::Binder, air.worst(SESSIONS), binder.view, |places, all| {
            let rows = binder.rows.of_each(places.iter().copied());
            first_rows(&rows, all.unwrap_or(rows.len()))
        }))
        @if left > 0 { p { (left) " more sessions are no worse. " code { "sandarac air --month" } " lists them." } }
    }
}

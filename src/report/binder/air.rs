//! Tab 4: what the fans move and when that was measured, the sessions of the last month, and every look at the fans.

use super::checks::{answers, checks};
use super::context::Binder;
use super::exits::fixtures;
use super::found::open_here;
use super::parts::airflow;
use super::rows::SESSIONS;
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::{FixtureKind, Room};
use crate::report::columns::{Listing, TableCell};
use crate::report::listings;
use crate::text::counted;
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
        .map(|session| session.began.day());
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
    let us = binder.view.us;
    let table = Listing::<Room>::new("Exhaust of each room")
        .column("Room", |room| TableCell::Name(&room.id))
        .number("Exhaust", move |room| {
            room.exhaust.map(|flow| airflow(flow, us))
        })
        .column("Measured on", |room| {
            match (room.exhaust_measured, room.exhaust) {
                (Some(day), _) => day.into(),
                (None, Some(_)) => TableCell::from("not recorded, so it may be the maker's figure"),
                (None, None) => "not recorded".into(),
            }
        })
        .rows(|room| room.at)
        .empty("rooms.csv has no room.");
    binder.table(&table, &binder.tables.rooms)
}

fn sessions(binder: &Binder<'_>) -> Markup {
    let air = &binder.view.air;
    let (all, left) = (air.sessions.list.len(), air.left_out(SESSIONS));
    let table = listings::sessions(binder.view);
    html! {
        h3 { (table.title) " " span.faint { (counted(all, "session")) } }
        @if all > 0 { p.faint { (listings::OF_SESSIONS) } }
        (binder.table(&table, air.worst(SESSIONS)))
        @if left > 0 { p { (left) " more sessions are no worse. " code { "sandarac air --month" } " lists them." } }
    }
}

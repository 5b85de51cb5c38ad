//! Tab 4: what the fans move and when that was measured, the sessions of the last month, and every look at the fans.

use super::super::air::{clear_by, of_lel, says, short_term, sum};
use super::checks::{answers, checks};
use super::exits::fixtures;
use super::found::open_here;
use super::parts::{airflow, dated, many, name, nothing, prose, table, timed};
use super::{Binder, TABS, rows};
use crate::quantity::Day;
use crate::record::{FixtureKind, Room};
use crate::text::Span;
use crate::vapour::session::Session;
use maud::{Markup, html};
use std::collections::HashSet;

/// Sessions in the table; the others are counted.
pub(super) const SESSIONS: usize = 40;
/// Entries named of one session.
pub(super) const FEW: usize = 6;

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
    let looked = answers(binder, &TABS[3])
        .into_iter()
        .map(|answer| answer.when.day());
    let latest = measured
        .chain(worked)
        .chain(looked)
        .filter(|day| *day <= on)
        .max();
    let part = html! {
        (open_here(binder, &TABS[3]))
        h3 { "What each room's exhaust moves" }
        (rooms(binder))
        h3 { "Fans" }
        (fixtures(binder, "Fans", |kind| kind == FixtureKind::Fan, "no fan"))
        (sessions(binder))
        (checks(binder, &TABS[3]))
    };
    (latest, part)
}

fn rooms(binder: &Binder<'_>) -> Markup {
    if binder.tables.rooms.is_empty() {
        return nothing("rooms.csv names no room.");
    }
    table(
        "What each room's exhaust moves",
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
            td.number { @match room.exhaust { Some(flow) => (airflow(flow, binder.view.us)), None => "not known" } }
            td {
                @match (room.exhaust_measured, room.exhaust) {
                    (Some(day), _) => (dated(day)),
                    (None, Some(_)) => "never, as far as is written: the figure may be the maker's",
                    (None, None) => "never, as far as is written",
                }
            }
            td.rows { (rows::shown(&binder.rows.of_each([room.at]), 1)) }
        }
    }
}

fn sessions(binder: &Binder<'_>) -> Markup {
    let air = &binder.view.air;
    let (all, left) = (air.sessions.list.len(), air.left_out(SESSIONS));
    let heads = [
        "Began",
        "Room",
        "Used",
        "#Peak, share of lower explosive limit",
        "#Legal limits, sum over 8 h",
        "#Guide values, sum over 8 h",
        "#Short-term limits, sum over 15 min",
        "#Clear by",
        "By",
        "Rows",
    ];
    html! {
        h3 { "Sessions of the last month, worst first " span.faint { (many(all, "session")) } }
        @if all == 0 {
            (nothing("No session with vapour is on record for the last month. That says what was logged, not what was in the air."))
        } @else {
            p.faint { "Every figure is an estimate for air that is stirred through the whole room. At the bench and at a face it is worse; \
                vapour also runs along the floor. A quarter of the lower explosive limit counts as hazardous." }
            (table("Sessions of the last month, worst first", &heads, &html! { tbody {
                @for session in air.worst(SESSIONS) { (session_row(binder, session)) }
            } }))
            @if left > 0 { p { "And " (left) " more that are no worse; " code { "sandarac air --month" } " shows them." } }
        }
    }
}

fn session_row(binder: &Binder<'_>, session: &Session) -> Markup {
    let air = &binder.view.air;
    let known = session.gap.is_none();
    let figure = |shown: Option<String>| {
        shown
            .filter(|_| known)
            .unwrap_or_else(|| "not known".into())
    };
    let all: HashSet<Span> = session
        .emissions
        .iter()
        .map(|emission| emission.at)
        .collect();
    let first = session
        .emissions
        .iter()
        .take(FEW)
        .map(|emission| emission.at);
    let entries = binder.rows.of_each(first);
    html! {
        tr {
            th scope="row" { (timed(session.initial)) }
            td { (name(air.room(session).map_or("not known", |room| room.id.as_str()))) }
            td {
                (prose(&air.used(session)))
                @if let Some(gap) = &session.gap { "; cannot be told: " (prose(gap)) }
                @else { "; " (prose(&says(air, session))) }
            }
            td.number { (figure(of_lel(session))) }
            td.number { (figure(sum(session.legal))) }
            td.number { (figure(sum(session.guide))) }
            td.number { (short_term(session)) }
            td.number { (figure(clear_by(session))) }
            td { @if session.by.is_empty() { "not written" } @else { (name(&session.by.join(", "))) } }
            td.rows { (rows::shown_of(&entries, all.len())) }
        }
    }
}

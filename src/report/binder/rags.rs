//! Tab 2: places for oily rags, where the rags are, the nights they lay loose, and every entry of twelve months. No word
//! here says that a rag is safe, and nothing is summed up.

use super::checks::checks;
use super::context::Binder;
use super::entries::{RAGS, record};
use super::found::open_here;
use super::parts::{MOST, room, yes_no};
use super::rows::row_markup;
use super::tab::Tab;
use crate::quantity::{Amount, Day, natural};
use crate::record::{ContainerId, Place, PlaceId, PlaceKind};
use crate::report::html::{name, nothing, on_day, table, timed};
use crate::report::shelf::place_name;
use crate::stock::{RagBatch, RagState, UnsecuredNight};
use maud::{Markup, html};

/// Where rags may go.
const PLACES: [PlaceKind; 5] = [
    PlaceKind::OilyWasteCan,
    PlaceKind::WaterCan,
    PlaceKind::Outdoors,
    PlaceKind::DryingLine,
    PlaceKind::PadJar,
];

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let kept = binder.daybook.and_then(|daybook| daybook.sorts.get(RAGS));
    let latest = kept.and_then(|kept| kept.lines().last());
    let without = "So it is unknown where any rag went. Do not assume that a rag was put away.";
    let part = html! {
        p.screening { strong { "One rag wet with drying oil or varnish can burn down a building. No count, no number of hours and no entry \
            below shows that a pile of rags is safe." } }
        (open_here(binder, Tab::Rags))
        h3 { "Places for oily rags" }
        (places(binder))
        h3 { "Soiled rags and pads at the end of " (on_day(binder.view.on)) ", by the log" }
        (now(binder))
        h3 { "Nights on which rags lay wet and loose" }
        (nights(binder))
        (checks(binder, Tab::Rags))
        h3 { "Every entry about rags, month by month" }
        (record(binder, "Every entry about rags, month by month", RAGS, without))
    };
    (latest.map(|line| line.when.day()), part)
}

fn places(binder: &Binder<'_>) -> Markup {
    let places = PlaceId::each(&binder.tables.places);
    let list: Vec<(PlaceId, &Place)> = places
        .filter(|(_, place)| PLACES.contains(&place.kind))
        .collect();
    let heads = [
        "Place",
        "Kind",
        "Room",
        "Listed",
        "#Size",
        "Last emptied",
        "Rows",
    ];
    if list.is_empty() {
        return nothing("places.csv has no oily-waste can, no water can and no place outdoors.");
    }
    table(
        "Places for oily rags",
        &heads,
        &html! { tbody {
            @for (at, place) in &list {
                @let can = matches!(place.kind, PlaceKind::OilyWasteCan | PlaceKind::WaterCan);
                @let emptied = binder.stock.emptied(*at);
                tr {
                    th scope="row" { (name(&place.id)) }
                    td { (place.kind.word()) }
                    td { (name(room(binder.tables, place.room))) }
                    td { (yes_no(place.listed)) }
                    td.number { @match place.capacity { Some(size) => (natural(Amount::Volume(size), binder.view.us)), None => @if can { "unknown" } } }
                    td { @match emptied { Some((when, _)) => { (timed(when)) }, None => @if can { "no entry" } } }
                    td.rows { (row_markup(&binder.rows.of_each([place.at].into_iter().chain(emptied.map(|(_, at)| at))), 3)) }
                }
            }
        } },
    )
}

/// A state in words that promise nothing.
fn state(state: RagState) -> &'static str {
    match state {
        RagState::Clean => "clean",
        RagState::Wet => "WET AND LOOSE",
        RagState::Flat => {
            "flat outdoors in one layer, and still wet until a test finds them hard and dry"
        }
        RagState::UnderWater => {
            "under water, which is only a pause: out of the water they can heat again"
        }
        RagState::InCan => "in the can, waiting to leave the building",
        RagState::InJar => "in the jar for pads, a container of flammable liquid",
        RagState::Dry => "found hard and dry by a test",
    }
}

fn now(binder: &Binder<'_>) -> Markup {
    let all = ContainerId::each(&binder.stock.containers);
    let list: Vec<(ContainerId, &RagBatch)> = all
        .filter(|(at, _)| binder.stock.present(binder.tables, *at))
        .flat_map(|(at, contents)| contents.cloth.iter().map(move |batch| (at, batch)))
        .filter(|(_, batch)| batch.state != RagState::Clean)
        .collect();
    if list.is_empty() {
        return nothing(
            "The log shows no soiled rag on the premises. A rag that is not in the log is not shown here.",
        );
    }
    let heads = ["Rags", "#Pieces", "State", "Where", "Since", "With", "Row"];
    table(
        "Where soiled rags and pads are",
        &heads,
        &html! { tbody {
            @for (at, batch) in &list {
                tr.loose[batch.state == RagState::Wet] {
                    (which(binder, *at, batch))
                    td { (state(batch.state)) }
                    td { (name(place_name(binder.tables, batch.location).unwrap_or("unknown"))) }
                    td { @match batch.since { Some(since) => { (timed(since)) }, None => "unknown" } }
                    (with(binder, batch))
                    td.rows { (binder.row(batch.at)) }
                }
            }
        } },
    )
}

/// The row of rags, and how many.
fn which(binder: &Binder<'_>, at: ContainerId, batch: &RagBatch) -> Markup {
    let row = &binder.tables[at];
    html! {
        th scope="row" { (name(&row.id)) ", " (name(&row.product)) }
        td.number { (batch.pieces.digits()) }
    }
}

/// What is on them.
fn with(binder: &Binder<'_>, batch: &RagBatch) -> Markup {
    let soilers = batch.soiled_by.iter().map(|at| &binder.tables[*at]);
    html! {
        td {
            @for (at, row) in soilers.enumerate() {
                @if at > 0 { ", " } (name(&row.id)) " (" (name(&row.product)) ")"
            }
            @if batch.soiled_by_unknown {
                @if !batch.soiled_by.is_empty() { ", and " } "not recorded, so it counts as a drying oil"
            }
        }
    }
}

fn nights(binder: &Binder<'_>) -> Markup {
    let past = &binder.stock.year_nights;
    if binder.daybook.is_none() {
        return nothing("Without a log these nights are unknown.");
    }
    let loose = binder
        .stock
        .containers
        .iter()
        .flat_map(|contents| &contents.cloth);
    let loose = loose.filter(|batch| batch.state == RagState::Wet).count();
    let heads = [
        "Rags",
        "#Pieces",
        "#Nights",
        "From",
        "To",
        "Where",
        "With",
        "Ended with",
        "Row",
    ];
    html! {
        @if loose > 0 { p { strong { "Rags are wet and loose at the end of this day. See the table above." } } }
        @if past.list.is_empty() {
            (nothing("The log of the last twelve months shows no rag that was left wet and loose overnight. A night that is not in the log is not shown."))
        } @else {
            @if past.left_out > 0 { p { strong { "This table shows the latest " (MOST) " nights. " (past.left_out) " earlier nights of these twelve months are left out." } } }
            (table("Nights that rags lay wet and loose", &heads, &html! { tbody {
                @for night in past.list.iter().rev() { (night_row(binder, night)) }
            } }))
        }
    }
}

fn night_row(binder: &Binder<'_>, night: &UnsecuredNight) -> Markup {
    let batch = &night.batch;
    html! {
        tr {
            (which(binder, night.container, batch))
            td.number { (night.nights) }
            td { @match batch.since { Some(since) => { (timed(since)) }, None => "unknown" } }
            td { (timed(night.until)) }
            td { (name(place_name(binder.tables, batch.location).unwrap_or("unknown"))) }
            (with(binder, batch))
            td { @if night.missing { "missing at a count; no entry says where they went" } @else { "put away" } }
            td.rows { (binder.row(batch.at)) }
        }
    }
}

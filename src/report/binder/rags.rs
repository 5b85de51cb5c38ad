//! Tab 2: places for oily rags, where the rags are, the nights on which they lay loose, and every entry of twelve months. No
//! text here may suggest that a rag is safe, and no number of rags is added up.

use super::checks::checks;
use super::context::Binder;
use super::entries::{RAGS, record};
use super::found::open_here;
use super::parts::{MOST, room};
use super::tab::Tab;
use crate::quantity::{Amount, Day, natural};
use crate::record::{ContainerId, Place, PlaceId, PlaceKind};
use crate::report::columns::{Listing, TableCell};
use crate::report::html::{name, nothing, on_day};
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
    let asked = html! {
        (checks(binder, Tab::Rags))
        h3 { "Every entry about rags, month by month" }
        (record(binder, "Every entry about rags, month by month", RAGS, without))
    };
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
        @if binder.daybook.is_none() { div.keep { (asked) } } @else { (asked) }
    };
    (latest.map(|line| line.when.day()), part)
}

fn places(binder: &Binder<'_>) -> Markup {
    let places = PlaceId::each(&binder.tables.places);
    let list: Vec<(PlaceId, &Place)> = places
        .filter(|(_, place)| PLACES.contains(&place.kind))
        .collect();
    let emptied = |at: PlaceId| binder.stock.emptied(at);
    // A place without a can is not emptied, and has no size.
    let of_can = |place: &Place, words: &'static str| {
        let can = matches!(place.kind, PlaceKind::OilyWasteCan | PlaceKind::WaterCan);
        TableCell::from(if can { words } else { "" })
    };
    let table = Listing::<(PlaceId, &Place)>::new("Places for oily rags")
        .column("Place", |(_, place)| TableCell::Name(&place.id))
        .column("Kind", |(_, place)| place.kind.word())
        .column("Room", |(_, place)| {
            TableCell::Name(room(binder.tables, place.room))
        })
        .column("Listed", |(_, place)| {
            place.listed.map(|yes| if yes { "yes" } else { "no" })
        })
        .number("Size", |(_, place)| match place.capacity {
            Some(size) => natural(Amount::Volume(size), binder.view.us).into(),
            None => of_can(place, "unknown"),
        })
        .column("Last emptied", |(at, place)| match emptied(*at) {
            Some((when, _)) => binder.moment(when),
            None => of_can(place, "no entry"),
        })
        .styled("Rows", "rows", |(at, place)| {
            let emptied = emptied(*at).map(|(_, entry)| entry);
            TableCell::Rows([place.at].into_iter().chain(emptied).collect(), None)
        })
        .empty("places.csv has no oily-waste can, no water can and no place outdoors.");
    binder.table(&table, &list)
}

/// A state with what else is true of it. Capitals say on paper without colors what the color of the row says.
fn state(state: RagState) -> String {
    let words = state.words().with_caution();
    match state == RagState::Wet {
        true => words.to_uppercase(),
        false => words,
    }
}

fn now(binder: &Binder<'_>) -> Markup {
    let all = ContainerId::each(&binder.stock.containers);
    let list: Vec<(ContainerId, &RagBatch)> = all
        .filter(|(at, _)| binder.stock.present(binder.tables, *at))
        .flat_map(|(at, contents)| contents.cloth.iter().map(move |batch| (at, batch)))
        .filter(|(_, batch)| batch.state != RagState::Clean)
        .collect();
    let table = Listing::<(ContainerId, &RagBatch)>::new("Where soiled rags and pads are")
        .column("Rags", |(at, _)| rags(binder, *at))
        .number("Pieces", |(_, batch)| batch.pieces.digits())
        .column("State", |(_, batch)| state(batch.state))
        .column("Where", |(_, batch)| place_of(binder, batch))
        .column("Since", |(_, batch)| batch.since.map(|at| binder.moment(at)))
        .column("With", |(_, batch)| with(binder, batch))
        .rows(|(_, batch)| batch.at)
        .empty("The log shows no soiled rag on the premises. A rag that is not in the log is not shown here.")
        .mark("class", |(_, batch)| (batch.state == RagState::Wet).then_some("loose"));
    binder.table(&table, &list)
}

/// The row of rags with its product.
fn rags(binder: &Binder<'_>, at: ContainerId) -> Markup {
    let row = &binder.tables[at];
    html! { (name(&row.id)) ", " (name(&row.product)) }
}

fn place_of<'c>(binder: &'c Binder<'_>, batch: &RagBatch) -> Option<TableCell<'c>> {
    place_name(binder.tables, batch.location).map(TableCell::Name)
}

/// The finish on the rags.
fn with(binder: &Binder<'_>, batch: &RagBatch) -> Markup {
    let soilers = batch.soiled_by.iter().map(|at| &binder.tables[*at]);
    html! {
        @for (at, row) in soilers.enumerate() {
            @if at > 0 { ", " } (name(&row.id)) " (" (name(&row.product)) ")"
        }
        @if batch.soiled_by_unknown {
            @if !batch.soiled_by.is_empty() { ", and " } "not recorded, so it counts as a drying oil"
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
    let table = Listing::<UnsecuredNight>::new("Nights that rags lay wet and loose")
        .column("Rags", |night| rags(binder, night.container))
        .number("Pieces", |night| night.batch.pieces.digits())
        .number("Nights", |night| night.nights.to_string())
        .column("From", |night| night.batch.since.map(|at| binder.moment(at)))
        .column("To", |night| binder.moment(night.until))
        .column("Where", |night| place_of(binder, &night.batch))
        .column("With", |night| with(binder, &night.batch))
        .column("Ended with", |night| match night.missing {
            true => "missing at a count; no entry says where they went",
            false => "put away",
        })
        .rows(|night| night.batch.at)
        .empty("The log of the last twelve months shows no rag that was left wet and loose overnight. A night that is not in the log is not shown.");
    html! {
        @if loose > 0 { p { strong { "Rags are wet and loose at the end of this day. See the table above." } } }
        @if past.left_out > 0 { p { strong { "This table shows the latest " (MOST) " nights. " (past.left_out) " earlier nights of these twelve months are left out." } } }
        (binder.table(&table, past.list.iter().rev()))
    }
}

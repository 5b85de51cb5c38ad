//! Tab 2: places for oily rags, where the rags are, the nights they lay loose, and every entry of twelve months. No word
//! here says that a rag is safe, and nothing is summed up.

use super::checks::checks;
use super::entries::{RAGS, record};
use super::found::open_here;
use super::parts::{MOST, name, nothing, room, stands, table, timed, yes_no};
use super::{Binder, TABS, rows};
use crate::quantity::{Amount, Day, natural};
use crate::record::{Site, SiteKind};
use crate::stock::{ClothState, Night, Parcel};
use maud::{Markup, html};

/// Where rags may go.
const PLACES: [SiteKind; 5] = [
    SiteKind::OilyWasteCan,
    SiteKind::WaterCan,
    SiteKind::Outdoors,
    SiteKind::DryingLine,
    SiteKind::PadJar,
];

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let kept = binder.daybook.and_then(|daybook| daybook.sorts.get(RAGS));
    let latest = kept.and_then(|kept| kept.lines().last());
    let without =
        "So nothing here says where any rag went, and no rag is to be taken for put away.";
    let part = html! {
        p.screening { strong { "One rag wet with drying oil or varnish is enough to burn a building. No count, no number of hours and no \
            entry below shows a pile of them to be safe." } }
        (open_here(binder, &TABS[1]))
        h3 { "Places for oily rags" }
        (places(binder))
        h3 { "Where soiled rags and pads are, by the log, at the close of " (binder.view.on) }
        (now(binder))
        h3 { "Not accounted for: nights that rags lay wet and loose" }
        (nights(binder))
        (checks(binder, &TABS[1]))
        h3 { "Every entry about rags, month by month" }
        (record(binder, "Every entry about rags, month by month", RAGS, without))
    };
    (latest.map(|line| line.when.day()), part)
}

fn places(binder: &Binder<'_>) -> Markup {
    let sites = binder.book.sites.iter().enumerate();
    let list: Vec<(usize, &Site)> = sites
        .filter(|(_, site)| PLACES.contains(&site.kind))
        .collect();
    let heads = [
        "Place",
        "Kind",
        "Room",
        "Listed or rated",
        "#Size",
        "Last emptied, by the log",
        "Rows",
    ];
    if list.is_empty() {
        return nothing(
            "places.csv names no can for oily waste, no water can and no place outdoors.",
        );
    }
    table(
        "Places for oily rags",
        &heads,
        &html! { tbody {
            @for (at, site) in &list {
                @let can = matches!(site.kind, SiteKind::OilyWasteCan | SiteKind::WaterCan);
                @let emptied = binder.stock.emptied.get(*at).copied().flatten();
                tr {
                    th scope="row" { (name(&site.id)) }
                    td { (site.kind.word()) }
                    td { (name(room(binder.book, site.room))) }
                    td { (yes_no(site.rated)) }
                    td.number { @match site.capacity { Some(size) => (natural(Amount::Volume(size), binder.view.us)), None => @if can { "not known" } } }
                    td { @match emptied { Some((when, _)) => { (timed(when)) }, None => @if can { "no entry" } } }
                    td.rows { (rows::shown(&binder.rows.of_each([site.at].into_iter().chain(emptied.map(|(_, at)| at))), 3)) }
                }
            }
        } },
    )
}

/// A state in words that promise nothing.
fn state(state: ClothState) -> &'static str {
    match state {
        ClothState::Clean => "as bought",
        ClothState::Wet => "WET AND LOOSE",
        ClothState::Flat => {
            "spread outdoors in one layer; still wet until somebody finds them hard and dry"
        }
        ClothState::UnderWater => "under water; a pause, and they can heat again once out of it",
        ClothState::InCan => "in the can; to go out of the building",
        ClothState::InJar => "in the jar for pads, a container of flammable liquid",
        ClothState::Dry => "found hard and dry by a test",
    }
}

fn now(binder: &Binder<'_>) -> Markup {
    let all = binder.stock.holdings.iter().enumerate();
    let list: Vec<(usize, &Parcel)> = all
        .filter(|(at, _)| binder.stock.present(binder.book, *at))
        .flat_map(|(at, holding)| holding.cloth.iter().map(move |parcel| (at, parcel)))
        .filter(|(_, parcel)| parcel.state != ClothState::Clean)
        .collect();
    if list.is_empty() {
        return nothing(
            "By the log no soiled rag is on the premises. That is what was written down, and no more: a rag that nobody \
            wrote down lies where it lies.",
        );
    }
    let heads = ["Rags", "#Pieces", "State", "Where", "Since", "With", "Row"];
    table(
        "Where soiled rags and pads are",
        &heads,
        &html! { tbody {
            @for (at, parcel) in &list {
                tr.loose[parcel.state == ClothState::Wet] {
                    (which(binder, *at, parcel))
                    td { (state(parcel.state)) }
                    td { (name(stands(binder.book, parcel.stands).unwrap_or("not known"))) }
                    td { @match parcel.since { Some(since) => { (timed(since)) }, None => "not known" } }
                    (with(binder, parcel))
                    td.rows { (rows::shown(&binder.rows.of_each([parcel.at]), 1)) }
                }
            }
        } },
    )
}

/// The row of rags, and how many.
fn which(binder: &Binder<'_>, at: usize, parcel: &Parcel) -> Markup {
    let row = binder.book.containers.get(at);
    html! {
        th scope="row" { @if let Some(row) = row { (name(&row.id)) ", " (name(&row.product)) } }
        td.number { (parcel.pieces.digits()) }
    }
}

/// What is on them.
fn with(binder: &Binder<'_>, parcel: &Parcel) -> Markup {
    let soilers = parcel
        .soiled_by
        .iter()
        .filter_map(|at| binder.book.containers.get(*at));
    html! {
        td {
            @for (at, row) in soilers.enumerate() {
                @if at > 0 { ", " } (name(&row.id)) " (" (name(&row.product)) ")"
            }
            @if parcel.soiled_by_unknown {
                @if !parcel.soiled_by.is_empty() { ", and " } "not written down: counts as a drying oil"
            }
        }
    }
}

fn nights(binder: &Binder<'_>) -> Markup {
    let past = &binder.stock.year_nights;
    if binder.daybook.is_none() {
        return nothing("Without a log no night can be told from another. None is accounted for.");
    }
    let loose = binder
        .stock
        .holdings
        .iter()
        .flat_map(|holding| &holding.cloth);
    let loose = loose
        .filter(|parcel| parcel.state == ClothState::Wet)
        .count();
    let heads = [
        "Rags",
        "#Pieces",
        "#Nights",
        "From",
        "To",
        "Where",
        "With",
        "How it ended",
        "Row",
    ];
    html! {
        @if loose > 0 { p { strong { "Rags lie wet and loose at the close of this very day: see the table above." } } }
        @if past.list.is_empty() {
            (nothing("In the last twelve months no entry puts away a rag that had lain wet and loose over a night. A night that nobody \
                wrote down is not among them."))
        } @else {
            @if past.left_out > 0 { p { strong { (past.left_out) " earlier nights of these twelve months are left out here; the latest " (MOST) " are shown." } } }
            (table("Nights that rags lay wet and loose", &heads, &html! { tbody {
                @for night in past.list.iter().rev() { (night_row(binder, night)) }
            } }))
        }
    }
}

fn night_row(binder: &Binder<'_>, night: &Night) -> Markup {
    let parcel = &night.parcel;
    html! {
        tr {
            (which(binder, night.container, parcel))
            td.number { (night.nights) }
            td { @match parcel.since { Some(since) => { (timed(since)) }, None => "not known" } }
            td { (timed(night.until)) }
            td { (name(stands(binder.book, parcel.stands).unwrap_or("not known"))) }
            (with(binder, parcel))
            td { @if night.missing { "a count found them gone, and nobody wrote down where to" } @else { "put away" } }
            td.rows { (rows::shown(&binder.rows.of_each([parcel.at]), 1)) }
        }
    }
}

//! The tables that more than one format shows: stock, waste, use by month, due dates, packs and sessions. A column added here
//! appears in each format.

use super::air::{clear_by, of_lel, says, short_term, sum};
use super::columns::Medium::{Binder, Markdown, Page, Screen};
use super::columns::{Listing, TableCell};
use super::due::DueItem;
use super::groups::class_of;
use super::html::name;
use super::shelf::{MonthRow, StockRow, number_in};
use super::view::{PackView, View};
use crate::quantity::{Amount, natural};
use crate::text::Span;
use crate::vapour::against::Against;
use crate::vapour::session::Session;
use crate::vapour::shown::passes_a_limit;
use std::collections::HashSet;

/// Entries named of one session.
pub(super) const FEW: usize = 6;

/// A note about the figures of all sessions.
pub(super) const OF_SESSIONS: &str = "All figures are estimates for well-mixed air. The air at the bench and at your face is worse, and vapor also runs along \
            the floor. A quarter of the lower explosive limit (LEL) counts as hazardous. Other figures are shares of the limits, \
            added up over all substances.";

pub(super) fn stock<'v>(view: &View<'_>) -> Listing<'v, StockRow> {
    let us = view.us;
    let yes_no = |yes| if yes { "yes" } else { "no" };
    let listing = Listing::<StockRow>::new("Every container")
        .empty("Nothing is on record on this day.")
        .class("stock")
        .mark("data-container", |row| Some(&row.container))
        .column("Container", |row| TableCell::Name(&row.container))
        .column("Product", |row| TableCell::Name(&row.product))
        .column("Lot", |row| TableCell::optional(row.lot.as_deref()))
        .only(&[Binder])
        .column("Where", |row| match row.place_or_room() {
            "" => TableCell::Unknown,
            place => TableCell::Name(place),
        })
        .styled("Holds", "number holds", move |row| row.holds(us))
        .only(&[Screen, Markdown])
        .styled("Holds", "number holds", move |row| holds_in_binder(row, us))
        .only(&[Binder])
        .number("Size", move |row| match row.cloth {
            Some(_) => TableCell::from(""),
            None => row.capacity.map(|size| natural(size, us)).into(),
        })
        .only(&[Binder])
        .styled("Days old", "number age", |row| {
            row.age_days.map(|days| days.to_string())
        })
        .only(&[Screen, Markdown, Binder])
        .column("Tested", StockRow::tested_words)
        .only(&[Screen])
        .column("Class", class_by_pack)
        .only(&[Markdown])
        .column("Class", class_of)
        .only(&[Binder])
        .column("Labelled", move |row| match row.cloth {
            Some(_) => TableCell::from(""),
            None => row.labelled.map(yes_no).into(),
        })
        .only(&[Binder])
        .styled("Rows: inventory, then last entries", "rows", |row| {
            TableCell::Rows(row.rows.clone(), None)
        })
        .only(&[Binder]);
    page_columns(listing, view)
}

/// On the page a column has one unit, so that its amounts can be compared at a glance. No number of rags says anything.
fn page_columns<'v>(listing: Listing<'v, StockRow>, view: &View<'_>) -> Listing<'v, StockRow> {
    let on = view.on;
    let (liquid, solid) = if view.us { ("qt", "lb") } else { ("L", "kg") };
    let held = |row: &StockRow, symbol: &str| match row.cloth {
        Some(_) => String::new(),
        None => number_in(row.amount, symbol),
    };
    listing
        .number(format!("Liquid, {liquid}"), move |row| {
            match (row.amount, &row.cloth) {
                (None, None) => TableCell::Unknown,
                (Some(_), _) | (None, Some(_)) => held(row, liquid).into(),
            }
        })
        .only(&[Page])
        .number(format!("Vessel holds, {liquid}"), move |row| {
            number_in(row.capacity, liquid)
        })
        .only(&[Page])
        .number(format!("Solid, {solid}"), move |row| held(row, solid))
        .only(&[Page])
        .number("Pieces", move |row| held(row, "pcs"))
        .only(&[Page])
        .column("Use by, or test from", move |row| match row.last_day() {
            Some(day) if day < on => TableCell::Day(day, "(past)"),
            Some(day) => TableCell::Day(day, ""),
            None => TableCell::from(""),
        })
        .only(&[Page])
}

/// Containers of waste, with the columns of the stock.
pub(super) fn waste<'v>(view: &View<'_>) -> Listing<'v, StockRow> {
    Listing {
        title: "Waste in the shop".into(),
        empty: "No container of waste is on record on this day. Spent solvent counts only if its product has the kind waste.",
        class: "",
        mark: None,
        ..stock(view)
    }
}

/// Rags are listed by their state in a tab of their own, so no number of them is shown here.
fn holds_in_binder(row: &StockRow, us: bool) -> String {
    let holds = match row.cloth {
        Some(_) => "see tab 2".to_string(),
        None => row.amount_text(us),
    };
    match row.counted_full {
        true => format!("{holds}; was counted as full before"),
        false => holds,
    }
}

/// The class by every pack that has classes.
fn class_by_pack(row: &StockRow) -> String {
    let classes = row.class.iter();
    let classes = classes.map(|(pack, class)| format!("{pack}: {class}"));
    match row.cloth {
        Some(_) => "rags and pads".into(),
        None => classes.collect::<Vec<_>>().join("; "),
    }
}

/// The use of every product by month. Differences found by counts have a column of their own.
pub(super) fn months<'v>(us: bool) -> Listing<'v, MonthRow> {
    let held = move |amount: Amount| natural(amount, us);
    let moved = move |amount: Amount| match amount.base().is_zero() {
        true => String::new(),
        false => natural(amount, us),
    };
    Listing::<MonthRow>::new("Use by month")
        .empty("No amount is on record as received, used or counted.")
        .column("Product", |row| TableCell::Name(&row.product))
        .column("Month", |row| row.month.clone())
        .number("Start", move |row| held(row.start))
        .only(&[Markdown])
        .number("Received", move |row| moved(row.received))
        .only(&[Screen, Markdown])
        .number("Poured in", move |row| moved(row.arrived))
        .only(&[Markdown])
        .number("Used", move |row| moved(row.used))
        .only(&[Screen, Markdown])
        .number("Mixed", move |row| moved(row.mixed))
        .only(&[Screen, Markdown])
        .number("Poured out", move |row| moved(row.poured))
        .only(&[Markdown, Binder])
        .number("Discarded", move |row| moved(row.discarded))
        .number("Difference", move |row| moved(row.unexplained))
        .only(&[Markdown])
        .number("End", move |row| held(row.end))
        .only(&[Markdown])
}

/// Due dates, by day.
pub(super) fn dues<'v>(view: &View<'_>) -> Listing<'v, DueItem> {
    let on = view.on;
    Listing::<DueItem>::new("What is due, by day")
        .empty("Nothing on record is due within three months.")
        .column("Day", move |due| match due.day < on {
            true => TableCell::Day(due.day, "overdue"),
            false => TableCell::Day(due.day, ""),
        })
        .column("Kind", |due| due.kind)
        .column("What is due", |due| due.title.clone())
}

/// The packs that a shop is held against.
pub(super) fn packs<'v>() -> Listing<'v, PackView> {
    Listing::<PackView>::new("Packs")
        .empty("No pack is in use.")
        .column("Pack", |pack| TableCell::Name(&pack.id))
        .column("Title", |pack| TableCell::Name(&pack.title))
        .column("Where", |pack| TableCell::Name(&pack.jurisdiction))
        .column("Binds", |pack| TableCell::Name(&pack.binds))
        .number("Rules", |pack| pack.rules.to_string())
}

/// Sessions with vapor.
pub(super) fn sessions<'v>(view: &'v View<'_>) -> Listing<'v, Session> {
    let air = &view.air;
    let result = |session: &Session| match &session.gap {
        Some(gap) if passes_a_limit(session) => {
            format!("{}; the rest is unknown: {gap}", says(air, session))
        }
        Some(gap) => format!("unknown: {gap}"),
        None => says(air, session),
    };
    Listing::<Session>::new("Sessions of the last month, worst first")
        .empty("The log of the last month has no session with vapor. Sessions that were not logged are not shown.")
        .column("Start", |session| TableCell::Moment(session.began, view.us))
        .styled("Result", "prose", result)
        .column("Room", |session| {
            air.room(session).map(|room| TableCell::Name(&room.id))
        })
        .styled("Used", "prose", |session| air.used(session))
        .number("Peak of the LEL", of_lel)
        .number("Legal limits (8 h)", |it| {
            sum(it.told(Against::Legal))
        })
        .number("Guide values (8 h)", |it| {
            sum(it.told(Against::Guide))
        })
        .number("Short-term limits (15 min)", short_term)
        // A session with a gap has no such figure.
        .number("Clear by", |it| {
            clear_by(it, view.us).filter(|_| it.gap.is_none())
        })
        .column("By", |session| match session.by.as_slice() {
            [] => TableCell::from("not recorded"),
            by => name(&by.join(", ")).into(),
        })
        .only(&[Binder])
        .styled("Rows", "rows", entries)
        .only(&[Binder])
}

fn entries<'v>(session: &Session) -> TableCell<'v> {
    let places = || session.emissions.iter().map(|emission| emission.at);
    let all: HashSet<Span> = places().collect();
    TableCell::Rows(places().take(FEW).collect(), Some(all.len()))
}

//! Entries of the log by month, as they were written: a corrected one shows both readings, one taken back is struck out.

use super::context::Binder;
use super::parts::{MOST, nothing};
use crate::quantity::{Amount, Day, Moment, month_of, natural};
use crate::record::{ProductKind, ShopTables, Vessel, What};
use crate::report::html::{name, table, timed};
use crate::report::shelf::place_name;
use crate::stock::{
    Daybook, DaybookEntries as Kept, DaybookLine as Line, DaybookQuery as Wanted, daybook,
};
use crate::text::{Files, Problems, clean};
use maud::{Markup, html};

/// The record of rags, by position in the daybook.
pub(super) const RAGS: usize = 0;
/// The record of waste.
pub(super) const WASTE: usize = 1;

/// Months that a record shows, that of the day among them.
const MONTHS: i32 = 12;

/// The entries of the last twelve months about rags, and those about waste; `None` where the shop has no log.
pub fn read_daybook(
    files: &Files,
    tables: &ShopTables,
    on: Day,
    problems: &mut Problems,
) -> Option<Daybook> {
    let wanted = Wanted {
        from: Moment::start_of(record_from(on)),
        close: Moment::close_of(on),
        most: MOST,
        sorts: &[&|line| of_rags(tables, line), &|line| {
            of_waste(tables, line)
        }],
    };
    daybook(files, tables, &wanted, problems)
}

/// The first day of the twelve months.
fn record_from(on: Day) -> Day {
    Day::parse(&format!("{}-01", month_of(first_month(on)))).unwrap_or(on)
}

fn first_month(on: Day) -> i32 {
    on.month_key() - MONTHS + 1
}

fn is_cloth(tables: &ShopTables, container: usize) -> bool {
    let vessel = tables.containers.get(container).and_then(|row| row.vessel);
    vessel.is_some_and(Vessel::is_cloth)
}

/// Where a soiled rag went, and what was found of it; clean ones that are bought or opened are no part of it.
fn of_rags(tables: &ShopTables, line: &Line) -> bool {
    match line.what {
        What::Soil | What::Spread | What::Soak | What::Bin | What::Empty => true,
        What::Receive | What::Open | What::Correct => false,
        What::Move
        | What::Mix
        | What::Decant
        | What::Use
        | What::Discard
        | What::Test
        | What::Count => line.touches(|container| is_cloth(tables, container)),
    }
}

/// What was thrown out, what a can was emptied of, and all that went into or out of a waste container.
fn of_waste(tables: &ShopTables, line: &Line) -> bool {
    let waste = |container| is_waste(tables, container);
    matches!(line.what, What::Discard | What::Empty) || line.touches(waste)
}

/// Does a container hold waste?
pub(super) fn is_waste(tables: &ShopTables, container: usize) -> bool {
    tables.kinds.get(container).copied().flatten() == Some(ProductKind::Waste)
}

/// One record by month, or what there is to say in its place.
pub(super) fn record(binder: &Binder<'_>, label: &str, sort: usize, without: &str) -> Markup {
    let Some(daybook) = binder.daybook else {
        return nothing(&format!("The shop has no log.csv. {without}"));
    };
    let none = Kept::default();
    let kept = daybook.sorts.get(sort).unwrap_or(&none);
    let heads = [
        "Day and time",
        "Done",
        "What",
        "#Amount",
        "Into, or with",
        "Where",
        "By",
        "Remark",
        "Row",
    ];
    let months = months(binder.view.on, daybook, kept);
    html! {
        @if kept.count() == 0 { (nothing(&format!("No such entry in the twelve months to {}. {without}", binder.view.on))) }
        @if kept.left_out > 0 {
            p { strong { "The latest " (kept.count()) " entries are shown; " (kept.left_out)
                " earlier of these twelve months are not, and stand in the log among the tables." } }
        }
        @if kept.count() > 0 {
            (table(label, &heads, &html! {
                @for month in &months {
                    tbody {
                        tr.group { th colspan="9" scope="rowgroup" { (month.title) } }
                        @for line in &month.lines { (entry(binder, line)) }
                    }
                }
            }))
        }
    }
}

/// A month, or several in which there is nothing.
struct Month<'d> {
    title: String,
    lines: Vec<&'d Line>,
}

/// The twelve months, the latest first; those before the log begins, and those of which nothing is written, are said.
fn months<'d>(on: Day, daybook: &Daybook, kept: &'d Kept) -> Vec<Month<'d>> {
    let first = daybook
        .spans
        .values()
        .map(|(_, first, _)| first.day().month_key())
        .min();
    let shown = kept.lines().next().map(|line| line.when.day().month_key());
    let mut list: Vec<Month<'d>> = Vec::new();
    let mut empty: Option<(i32, i32, &str)> = None;
    let flush = |empty: &mut Option<(i32, i32, &'static str)>, list: &mut Vec<Month<'d>>| {
        if let Some((from, to, why)) = empty.take() {
            let span = if from == to {
                month_of(from)
            } else {
                format!("{} to {}", month_of(from), month_of(to))
            };
            list.push(Month {
                title: format!("{span}: {why}"),
                lines: Vec::new(),
            });
        }
    };
    for key in (first_month(on)..=on.month_key()).rev() {
        let lines: Vec<&Line> = kept
            .lines()
            .filter(|line| line.when.day().month_key() == key)
            .collect();
        if !lines.is_empty() {
            flush(&mut empty, &mut list);
            let count = lines.len();
            let word = if count == 1 { "entry" } else { "entries" };
            list.push(Month {
                title: format!("{}: {count} {word}", month_of(key)),
                lines,
            });
            continue;
        }
        let why = if first.is_none_or(|first| key < first) {
            "the log does not go back so far"
        } else if kept.left_out > 0 && shown.is_none_or(|shown| key < shown) {
            "not shown here; see the log among the tables"
        } else {
            "no such entry"
        };
        match &mut empty {
            Some((from, _, same)) if *same == why => *from = key,
            _ => {
                flush(&mut empty, &mut list);
                empty = Some((key, key, why));
            }
        }
    }
    flush(&mut empty, &mut list);
    list
}

fn entry(binder: &Binder<'_>, line: &Line) -> Markup {
    let mended = line.mended;
    let void = mended.is_some_and(|mended| mended.void);
    let container = |at: usize| binder.tables.containers.get(at).map(|row| row.id.as_str());
    let product = |at: usize| {
        binder
            .tables
            .containers
            .get(at)
            .map(|row| row.product.as_str())
    };
    let id = line.container.and_then(container);
    let now = mended
        .and_then(|mended| mended.container)
        .and_then(container);
    let place = line.location.and_then(|at| place_name(binder.tables, at));
    let place_now = mended
        .and_then(|m| m.location)
        .and_then(|at| place_name(binder.tables, at));
    let amount = |amount: Amount| natural(amount, binder.view.us);
    let held = mended.and_then(|mended| mended.amount).map(amount);
    html! {
        tr.void[void] data-entry=(line.id) {
            td { (timed(line.when)) }
            th scope="row" { @if void { s { (line.what.word()) } } @else { (line.what.word()) } }
            td {
                (reading(id, now))
                @if let Some(product) = line.container.and_then(product) { ", " (name(product)) }
            }
            td.number { (reading(line.amount.map(amount).as_deref(), held.as_deref())) @if line.amount.is_none() && held.is_none() { (unsaid(line.what)) } }
            td { @if let Some(target) = line.target.and_then(container) { (name(target)) } }
            td { (reading(place, place_now)) }
            td { @if line.by.is_empty() { "not written" } @else { (name(&line.by)) } }
            td {
                @if !line.note.is_empty() { (name(&line.note)) }
                @if let Some(mended) = mended {
                    @if !line.note.is_empty() { "; " }
                    @if mended.void { "taken back by " } @else { "corrected by " }
                    (binder.row(mended.at))
                }
            }
            td.rows { (binder.row(line.at)) }
        }
    }
}

/// As it was written, struck out where a correction says otherwise.
fn reading(written: Option<&str>, now: Option<&str>) -> Markup {
    html! {
        @match (written, now) {
            (Some(written), Some(now)) if written != now => { s { (clean(written)) } " " (name(now)) }
            (Some(text), _) | (None, Some(text)) => (name(text)),
            (None, None) => "",
        }
    }
}

/// What an entry without an amount means.
fn unsaid(what: What) -> &'static str {
    match what {
        What::Discard | What::Spread | What::Soak | What::Bin | What::Move => "all of it",
        What::Empty => "all in it",
        What::Receive
        | What::Open
        | What::Mix
        | What::Decant
        | What::Use
        | What::Soil
        | What::Test
        | What::Count
        | What::Correct => "",
    }
}

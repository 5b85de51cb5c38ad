//! Entries of the log by month, as they were written: a corrected one shows both readings, one taken back is struck out.

use super::context::Binder;
use super::parts::MOST;
use crate::quantity::{Amount, Day, Moment, month_of, natural};
use crate::record::{ContainerId, Location, ProductKind, ShopTables, Vessel, What};
use crate::report::html::{name, nothing, table, timed};
use crate::report::shelf::place_name;
use crate::report::words::date;
use crate::stock::{Daybook, DaybookEntries, DaybookLine, DaybookQuery, daybook};
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
    let wanted = DaybookQuery {
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

fn is_cloth(tables: &ShopTables, container: ContainerId) -> bool {
    tables[container].vessel.is_some_and(Vessel::is_cloth)
}

/// Where a soiled rag went, and what was found of it; clean ones that are bought or opened are no part of it.
fn of_rags(tables: &ShopTables, line: &DaybookLine) -> bool {
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

/// What was discarded, what a can was emptied of, and all that went into or out of a waste container.
fn of_waste(tables: &ShopTables, line: &DaybookLine) -> bool {
    let waste = |container| is_waste(tables, container);
    matches!(line.what, What::Discard | What::Empty) || line.touches(waste)
}

/// Does a container hold waste?
fn is_waste(tables: &ShopTables, container: ContainerId) -> bool {
    tables.kind(container) == Some(ProductKind::Waste)
}

/// One record by month, or what there is to say in its place.
pub(super) fn record(binder: &Binder<'_>, label: &str, sort: usize, without: &str) -> Markup {
    let Some(daybook) = binder.daybook else {
        return nothing(&format!("The shop has no log.csv. {without}"));
    };
    let none = DaybookEntries::default();
    let kept = daybook.sorts.get(sort).unwrap_or(&none);
    let heads = [
        "Date and time",
        "Entry",
        "What",
        "#Amount",
        "Into or with",
        "Where",
        "By",
        "Remark",
        "Row",
    ];
    let months = months(binder.view.on, daybook, kept);
    html! {
        @if kept.count() == 0 { (nothing(&format!("The log has no such entry in the twelve months up to {}. {without}", date(binder.view.on)))) }
        @if kept.left_out > 0 {
            p { strong { "This table shows the latest " (kept.count()) " entries. " (kept.left_out)
                " earlier entries of these twelve months are in tables/log.csv." } }
        }
        @if kept.count() > 0 {
            (table(label, &heads, &html! {
                @for month in &months {
                    tbody {
                        tr.group { th colspan="9" scope="rowgroup" { (month.title()) } }
                        @for line in &month.entries { (entry(binder, line)) }
                    }
                }
            }))
        }
    }
}

/// A month, or several in which there is nothing.
struct RecordMonth<'d> {
    first: i32,
    last: i32,
    /// Why there is nothing.
    without: Option<&'static str>,
    entries: Vec<&'d DaybookLine>,
}

impl RecordMonth<'_> {
    fn title(&self) -> String {
        let months = match self.first == self.last {
            true => month_of(self.first),
            false => format!("{} to {}", month_of(self.first), month_of(self.last)),
        };
        match (self.without, self.entries.len()) {
            (Some(why), _) => format!("{months}: {why}"),
            (None, 1) => format!("{months}: 1 entry"),
            (None, count) => format!("{months}: {count} entries"),
        }
    }
}

/// The twelve months, the latest first; those before the log begins, and those of which nothing is written, are said.
fn months<'d>(on: Day, daybook: &Daybook, kept: &'d DaybookEntries) -> Vec<RecordMonth<'d>> {
    let begins = daybook.spans.values();
    let begins = begins.map(|(_, first, _)| first.day().month_key()).min();
    let shown = kept.lines().next().map(|line| line.when.day().month_key());
    let mut list: Vec<RecordMonth<'d>> = Vec::new();
    for key in (first_month(on)..=on.month_key()).rev() {
        let mine = kept.lines();
        let mine = mine.filter(|line| line.when.day().month_key() == key);
        let entries: Vec<&DaybookLine> = mine.collect();
        let without = if !entries.is_empty() {
            None
        } else if begins.is_none_or(|begins| key < begins) {
            Some("before the first entry of the log")
        } else if kept.left_out > 0 && shown.is_none_or(|shown| key < shown) {
            Some("not shown here; see tables/log.csv")
        } else {
            Some("no such entry")
        };
        match list.last_mut() {
            Some(month) if without.is_some() && month.without == without => month.first = key,
            _ => list.push(RecordMonth {
                first: key,
                last: key,
                without,
                entries,
            }),
        }
    }
    list
}

fn entry(binder: &Binder<'_>, line: &DaybookLine) -> Markup {
    let (tables, corrected) = (binder.tables, line.mended);
    let void = corrected.is_some_and(|correction| correction.void);
    let id = |container: Option<ContainerId>| container.map(|it| tables[it].id.as_str());
    let place = |at: Option<Location>| at.and_then(|at| place_name(tables, at));
    let amount = |amount: Option<Amount>| amount.map(|it| natural(it, binder.view.us));
    let written = amount(line.amount);
    let now = amount(corrected.and_then(|it| it.amount));
    html! {
        tr.void[void] data-entry=(line.id) {
            td { (timed(line.when, binder.view.us)) }
            th scope="row" { @if void { s { (line.what.word()) } } @else { (line.what.word()) } }
            td {
                (reading(id(line.container), id(corrected.and_then(|it| it.container))))
                @if let Some(container) = line.container { ", " (name(&tables[container].product)) }
            }
            td.number { (reading(written.as_deref(), now.as_deref())) @if written.is_none() && now.is_none() { (unsaid(line.what)) } }
            td { @if let Some(target) = id(line.target) { (name(target)) } }
            td { (reading(place(line.location), place(corrected.and_then(|it| it.location)))) }
            td { @if line.by.is_empty() { "not recorded" } @else { (name(&line.by)) } }
            td {
                @if !line.note.is_empty() { (name(&line.note)) }
                @if let Some(correction) = corrected {
                    @if !line.note.is_empty() { "; " }
                    @if void { "taken back by " } @else { "corrected by " }
                    (binder.row(correction.at))
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
        What::Empty => "all of its contents",
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

//! Tab 1: what is stored where, by class and place, against every limit that counts it; then each container.

use super::checks::checks;
use super::context::Binder;
use super::found::{about, open_here};
use super::rows::row_markup;
use super::tab::Tab;
use crate::finding::{Compared, Concern, Finding};
use crate::quantity::Day;
use crate::report::columns::{Listing, Medium};
use crate::report::groups::ClassGroup;
use crate::report::html::{listing, name, nothing, prose, source, state, table};
use crate::report::listings::STOCK;
use crate::report::shelf::StockRow;
use crate::report::urgent::RuleGroup;
use crate::report::wrap::many;
use maud::{Markup, html};

/// Rows named of a finding that is met; one that is open has all of them in tab 8.
const FEW: usize = 12;
/// What is held against a limit on an amount.
const LIMITS: [Concern; 2] = [Concern::StoredTotal, Concern::OneContainer];

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let known = binder.tables.containers.iter().filter_map(|row| row.since);
    let entry = binder.stock.last_entry.map(|moment| moment.day());
    let latest = known
        .filter(|day| *day <= binder.view.on)
        .chain(entry)
        .max();
    let part = html! {
        (open_here(binder, Tab::Inventory))
        (limits(binder))
        (groups(binder))
        (containers(binder))
        (checks(binder, Tab::Inventory))
    };
    (latest, part)
}

/// Every limit on an amount, rule by rule: those on what is stored together first.
fn held<'a>(binder: &Binder<'a>) -> Vec<RuleGroup<'a>> {
    let numbers = |f: &Finding| matches!(f.compared, Some(Compared::AtMost { .. })) || f.calls();
    let view = binder.view;
    let of_concern = |concern| view.by_rule(|f| f.concern == concern && numbers(f));
    LIMITS.into_iter().flat_map(of_concern).collect()
}

fn limits(binder: &Binder<'_>) -> Markup {
    let held = held(binder);
    let heads = [
        "What or where",
        "#Found",
        "#Limit",
        "Margin",
        "State",
        "Rows",
    ];
    html! {
        h3 { "Each limit on an amount" }
        @if held.is_empty() {
            (nothing("No limit in use applies to what is stored here."))
        } @else {
            p.faint { "An amount exactly at its limit is within it. Close means that less than a tenth is left." }
            (table("Each limit on an amount", &heads, &html! {
                @for held in &held {
                    tbody {
                        tr.group { th colspan="6" scope="rowgroup" {
                            (prose(&held.first.title)) @if held.first.local { ", limit set by the local authority" }
                            " " span.source { (source(&held.first.citation)) }
                        } }
                        @for (_, finding) in &held.list { (limit(binder, finding)) }
                    }
                }
            }))
        }
    }
}

fn limit(binder: &Binder<'_>, finding: &Finding) -> Markup {
    let rows = binder.view.places(finding);
    html! {
        tr {
            th scope="row" {
                (about(binder, finding))
            }
            @if finding.limit.is_empty() {
                td colspan="3" { (prose(&binder.view.words(finding).fact)) }
            } @else {
                td.number { (prose(&finding.observed)) }
                td.number { (prose(&finding.limit)) }
                td { span.no { (prose(finding.margin.as_deref().unwrap_or(""))) } @if finding.tightest { ", the strictest of the packs" } }
            }
            td { (state(finding, &binder.view.words(finding))) }
            td.rows { (row_markup(&rows, FEW)) }
        }
    }
}

fn groups(binder: &Binder<'_>) -> Markup {
    let view = binder.view;
    html! {
        h3 { "By place and class" }
        @if view.groups.is_empty() {
            (nothing("No liquid and no solid product is on record on this day."))
        } @else {
            (table("Stock by place and class", &["Place", "Room", "Class", "#Holds", "#Containers"], &html! { tbody {
                @for group in &view.groups { (group_row(binder, group)) }
            } }))
            p.faint { "Rags and pads are not added up, because one oily rag is enough for a fire. See tab 2." }
        }
    }
}

fn group_row(binder: &Binder<'_>, group: &ClassGroup) -> Markup {
    html! {
        tr {
            th scope="row" { @if group.place.is_empty() { "not recorded" } @else { (name(&group.place)) } }
            td { @if group.room.is_empty() { "not recorded" } @else { (name(&group.room)) } }
            td { (prose(&group.class)) }
            td.number { (group.holds(binder.view.us)) }
            td.number { (group.containers) }
        }
    }
}

fn containers(binder: &Binder<'_>) -> Markup {
    html! {
        h3 { "Every container " span.faint { (many(binder.view.stock.len(), "row")) } }
        (stock_table(binder, &STOCK, binder.view.stock.iter()))
    }
}

/// Containers with the rows that they rest on.
pub(super) fn stock_table<'r>(
    binder: &'r Binder<'_>,
    table: &Listing<StockRow>,
    rows: impl Iterator<Item = &'r StockRow>,
) -> Markup {
    listing(table, Medium::Binder, rows, binder.view, |places, _| {
        row_markup(&binder.rows.of_each(places.iter().copied()), FEW)
    })
}

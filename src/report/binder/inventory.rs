//! Tab 1: what stands where, by class and place, against every limit that counts it; then each container.

use super::super::groups::{ClassGroup, class_of};
use super::super::kinds::Kinds;
use super::super::shelf::StockRow;
use super::found::{about, open_here};
use super::parts::{many, name, nothing, prose, source, table, verdict};
use super::{Binder, TABS, rows};
use crate::finding::{Compared, Finding};
use crate::quantity::{Day, natural};
use maud::{Markup, html};

/// Rows named of a finding that is met; one that is open has all of them in tab 8.
const FEW: usize = 12;
/// Kinds of check that hold an amount against a limit.
const LIMITS: [&str; 2] = ["total-at-most", "each-at-most"];

/// One rule with what it was held against.
struct Held<'a> {
    first: &'a Finding,
    list: Vec<&'a Finding>,
}

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let known = binder.tables.containers.iter().filter_map(|row| row.since);
    let entry = binder.stock.last_entry.map(|moment| moment.day());
    let latest = known
        .filter(|day| *day <= binder.view.on)
        .chain(entry)
        .max();
    let part = html! {
        (open_here(binder, &TABS[0]))
        (limits(binder))
        (groups(binder))
        (containers(binder))
    };
    (latest, part)
}

/// Every limit on an amount, rule by rule: those on what stands together first.
fn held<'a>(binder: &Binder<'a>) -> Vec<Held<'a>> {
    let kinds = Kinds::of_packs(binder.packs);
    let mut list: Vec<Held<'a>> = Vec::new();
    for kind in LIMITS {
        let of_kind = |f: &&&Finding| kinds.of(f) == kind;
        let numbers =
            |f: &&Finding| matches!(f.compared, Some(Compared::AtMost { .. })) || f.calls();
        let all = binder.view.findings.iter();
        for finding in all.filter(|f| of_kind(&f) && numbers(f)) {
            let same = |held: &&mut Held<'a>| {
                let other = held.first;
                (&other.pack, &other.rule, other.local)
                    == (&finding.pack, &finding.rule, finding.local)
                    && other.citation == finding.citation
            };
            match list.iter_mut().find(same) {
                Some(held) => held.list.push(finding),
                None => list.push(Held {
                    first: finding,
                    list: vec![finding],
                }),
            }
        }
    }
    list
}

fn limits(binder: &Binder<'_>) -> Markup {
    let held = held(binder);
    let heads = [
        "Where, or what",
        "#Stands there",
        "#Limit",
        "Margin",
        "Verdict",
        "Rows",
    ];
    html! {
        h3 { "Each limit on an amount" }
        @if held.is_empty() {
            (nothing("No limit in use counts anything that stands here."))
        } @else {
            p.faint { "A limit met exactly is met; near is less than a tenth of it to spare." }
            (table("Each limit on an amount", &heads, &html! {
                @for held in &held {
                    tbody {
                        tr.group { th colspan="6" scope="rowgroup" {
                            (prose(&held.first.title)) @if held.first.local { ", the local authority's own limit" }
                            " " (source(&held.first.citation))
                        } }
                        @for finding in &held.list { (limit(binder, finding)) }
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
                td colspan="3" { (prose(&finding.observed)) }
            } @else {
                td.number { (prose(&finding.observed)) }
                td.number { (prose(&finding.limit)) }
                td { span.no { (prose(finding.margin.as_deref().unwrap_or(""))) } @if finding.tightest { ", the tighter of the packs" } }
            }
            td { (verdict(finding.verdict)) }
            td.rows { (rows::shown(&rows, FEW)) }
        }
    }
}

fn groups(binder: &Binder<'_>) -> Markup {
    let view = binder.view;
    html! {
        h3 { "By place and class" }
        @if view.groups.is_empty() {
            (nothing("Nothing but rags and pads, or nothing at all, is on record on this day."))
        } @else {
            (table("Stock by place and class", &["Place", "Room", "Class", "#Holds", "#Containers"], &html! { tbody {
                @for group in &view.groups { (group_row(binder, group)) }
            } }))
            p.faint { "Rags and pads are in no sum: no number of them says anything. See tab 2." }
        }
    }
}

fn group_row(binder: &Binder<'_>, group: &ClassGroup) -> Markup {
    let sum = group.sum.filter(|_| group.unknown < group.containers);
    html! {
        tr {
            th scope="row" { @if group.place.is_empty() { "no place" } @else { (name(&group.place)) } }
            td { @if group.room.is_empty() { "not known" } @else { (name(&group.room)) } }
            td { (prose(&group.class)) }
            td.number {
                @match sum { Some(sum) => (natural(sum, binder.view.us)), None => "not known" }
                @if sum.is_some() && group.unknown > 0 { " and " (group.unknown) " not known" }
            }
            td.number { (group.containers) }
        }
    }
}

fn containers(binder: &Binder<'_>) -> Markup {
    let heads = [
        "Container",
        "Product",
        "Class",
        "Where",
        "#Holds",
        "#Size",
        "#Age, days",
        "Labelled",
        "Rows: as written, then last entries",
    ];
    html! {
        h3 { "Every container " span.faint { (many(binder.view.stock.len(), "row")) } }
        @if binder.view.stock.is_empty() {
            (nothing("Nothing is on record on this day."))
        } @else {
            (table("Every container", &heads, &html! { tbody {
                @for row in &binder.view.stock { (container(binder, row)) }
            } }))
        }
    }
}

fn container(binder: &Binder<'_>, row: &StockRow) -> Markup {
    let at = binder.tables.container(&row.container);
    let written = at.and_then(|at| binder.tables.containers.get(at));
    let held = at.and_then(|at| binder.stock.containers.get(at));
    let entries = held
        .iter()
        .flat_map(|held| held.touched.into_iter().flatten());
    let rows = binder
        .rows
        .of_each(written.map(|row| row.at).into_iter().chain(entries));
    let cloth = written
        .and_then(|row| row.vessel)
        .is_some_and(|vessel| vessel.is_cloth());
    html! {
        tr data-container=(row.container) {
            th scope="row" { (name(&row.container)) }
            td {
                (name(&row.product))
                @if let Some(lot) = written.and_then(|row| row.lot.as_deref()) { ", lot " (name(lot)) }
            }
            td { @if cloth { "rags and pads" } @else { (prose(&class_of(row))) } }
            td {
                @if row.place.is_empty() && row.room.is_empty() { "not known" }
                @else if row.place.is_empty() { (name(&row.room)) }
                @else { (name(&row.place)) }
            }
            // Where rags are, state by state, is told in their own tab, and no number of them here.
            td.number.holds { @if cloth { "see tab 2" } @else { (row.holds(binder.view.us)) } @if held.is_some_and(|held| held.counted_full) { ", counted as full at first" } }
            td.number { @match row.capacity { Some(size) => (natural(size, binder.view.us)), None => @if !cloth { "not known" } } }
            td.number { @match row.age_days { Some(days) => (days), None => "not known" } }
            td { @if !cloth { (super::parts::yes_no(written.and_then(|row| row.labelled))) } }
            td.rows { (rows::shown(&rows, FEW)) }
        }
    }
}

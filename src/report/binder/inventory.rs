//! Tab 1: each limit on an amount, the stock by place and class, and every container.

use super::checks::checks;
use super::context::Binder;
use super::found::{about, open_here};
use super::rows::row_markup;
use super::tab::Tab;
use crate::finding::{Compared, Concern, Finding};
use crate::quantity::Day;
use crate::report::columns::{Listing, TableCell};
use crate::report::groups::ClassGroup;
use crate::report::html::{nothing, prose, source, state, table};
use crate::report::listings::stock;
use crate::report::rule_groups::RuleGroup;
use crate::text::counted;
use maud::{Markup, html};

/// Rows named of a finding that is met; one that is open has all of them in tab 8.
const FEW: usize = 12;
/// Containers that fit below the table of classes on one page.
const SHORT: usize = 12;

/// The findings that compare an amount with a limit.
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
        // Short tables stay on one page, so that no page is nearly empty.
        @if binder.view.stock.len() <= SHORT {
            div.keep { (groups(binder)) (containers(binder)) }
        } @else {
            (groups(binder))
            (containers(binder))
        }
        (checks(binder, Tab::Inventory))
    };
    (latest, part)
}

/// Every limit on an amount, rule by rule. Limits on a total come first.
fn held<'a>(binder: &Binder<'a>) -> Vec<RuleGroup<'a>> {
    let numbers = |f: &Finding| matches!(f.compared, Some(Compared::AtMost { .. })) || f.calls();
    let view = binder.view;
    let of_concern = |concern| view.by_rule(|f| f.rule.concern == concern && numbers(f));
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
                            (prose(&held.first.rule.title)) @if held.first.local { ", limit set by the local authority" }
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
        (binder.table(&class_groups(view.us), &view.groups))
        @if !view.groups.is_empty() {
            p.faint { "Rags and pads are not added up, because one oily rag is enough for a fire. See tab 2." }
        }
    }
}

fn class_groups<'c>(us: bool) -> Listing<'c, ClassGroup> {
    Listing::<ClassGroup>::new("Stock by place and class")
        .column("Place", |group| recorded(&group.place))
        .column("Room", |group| recorded(&group.room))
        .column("Class", |group| group.class.clone())
        .number("Holds", move |group| group.holds(us))
        .number("Containers", |group| group.containers.to_string())
        .empty("No liquid and no solid product is on record on this day.")
}

fn recorded(place: &str) -> TableCell<'_> {
    TableCell::recorded((!place.is_empty()).then_some(place))
}

fn containers(binder: &Binder<'_>) -> Markup {
    html! {
        h3 { "Every container " span.faint { (counted(binder.view.stock.len(), "row")) } }
        (binder.table(&stock(binder.view), &binder.view.stock))
    }
}

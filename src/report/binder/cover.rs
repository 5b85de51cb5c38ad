//! The first sheet: whose binder, of which day, what is open, and the index of the tabs.

use super::context::Binder;
use super::found::of_topics;
use super::tab::Tab;
use crate::finding::Verdict;
use crate::pack::TOPICS;
use crate::quantity::Day;
use crate::report::html::{counts, name, nothing, on_day, prose, said, table};
use crate::report::page::plans_on_paper;
use crate::report::statements::{NOTHING_OPEN, SCREENING};
use maud::{Markup, html};

/// Most urgent things on the cover.
const FIRST: usize = 5;

/// Verdicts that are open.
const OPEN: [Verdict; 3] = [Verdict::Breach, Verdict::CannotJudge, Verdict::Near];

/// The cover and the index; each tab has the day of its latest record.
pub(super) fn cover(binder: &Binder<'_>, tabs: &[(Tab, Option<Day>)]) -> Markup {
    let view = binder.view;
    html! {
        header.cover {
            p.kicker { "Inspector's binder" }
            h1 { (name(&view.shop)) }
            p.day { "at the end of " (on_day(view.on)) }
            p.screening { strong { (SCREENING) } }
            (about(binder))
            (counts(view))
            (sign_off())
            div.two { div { (topics(binder)) } div { (first(binder)) } }
        }
        nav.index id="index" aria-labelledby="index-title" {
            h2 id="index-title" { "Index" }
            (index(binder, tabs))
            p.faint {
                "Pages are numbered within their tab, at the foot: 3-1 is the first page of tab 3. " code { "inventory.csv:14" }
                " means line 14 of " code { "tables/inventory.csv" } ", a copy of the shop's table as it was read for this audit. "
                code { "audit.json" } " holds the audit for programs."
            }
        }
        (floor_plans(binder))
    }
}

fn index(binder: &Binder<'_>, tabs: &[(Tab, Option<Day>)]) -> Markup {
    let heads = [
        "#Tab",
        "Contents",
        "#Open findings",
        "Latest record",
        "Pages",
    ];
    table(
        "Index",
        &heads,
        &html! { tbody {
            @for (tab, day) in tabs {
                @let number = tab.number();
                tr {
                    td.number { (number) }
                    th scope="row" { a href={ "#tab-" (number) } { (tab.title()) } }
                    td.number data-open=(number) { (open(binder, *tab)) }
                    td { @match day { Some(day) => (on_day(*day)), None => "none" } }
                    td.no { "from " (number) "-1" }
                }
            }
            tr {
                td.number { "C" }
                th scope="row" { a href="#tab-C" { "Cautions" } }
                td.number {} td {} td.no { "from C-1" }
            }
        } },
    )
}

/// How many findings are open under a tab; actions and rules have none of their own.
fn open(binder: &Binder<'_>, tab: Tab) -> String {
    match tab {
        Tab::Open => binder.open().count().to_string(),
        Tab::Actions | Tab::Rules => "–".into(),
        Tab::Inventory
        | Tab::Rags
        | Tab::Exits
        | Tab::Air
        | Tab::Waste
        | Tab::Sheets
        | Tab::Records => of_topics(binder, tab.topics()).len().to_string(),
    }
}

fn about(binder: &Binder<'_>) -> Markup {
    let (view, shop) = (binder.view, &binder.tables.shop);
    html! {
        dl.about {
            div { dt { "Address" } dd { (written(shop.address.as_deref())) } }
            div { dt { "Telephone" } dd { (written(shop.telephone.as_deref())) } }
            div { dt { "Authority" } dd {
                @match &view.authority {
                    Some(authority) => (name(authority)),
                    None => "not recorded in shop.toml",
                }
            } }
            div { dt { "Record keeper" } dd {
                @match &shop.keeper { Some(keeper) => (name(keeper)), None => "not recorded; see tab 9" }
            } }
            @if let Some(ask) = &shop.ask { div { dt { "Contact" } dd { (name(ask)) } } }
            div { dt { "People employed" } dd {
                @match shop.employees { Some(count) => (count), None => "unknown; the rules for employers are applied" }
            } }
            div { dt { "Rule packs" } dd {
                @for (at, pack) in view.packs.iter().enumerate() {
                    @if at > 0 { "; " } (prose(&pack.title)) @if pack.advisory { " (only advice for this shop)" }
                }
            } }
        }
    }
}

/// A text of shop.toml, or a line to write on.
fn written(text: Option<&str>) -> Markup {
    html! {
        @match text { Some(text) => (name(text)), None => span.blank {} }
    }
}

/// Lines for those who walk through the shop with this binder.
fn sign_off() -> Markup {
    html! {
        div.sign-off {
            @for role in ["For the shop", "For the authority"] {
                p { (role) span.blank {} " signature" span.blank {} " date" span.blank {} }
            }
        }
    }
}

/// The plan of each room with the numbers of what to do, and what they stand for.
fn floor_plans(binder: &Binder<'_>) -> Markup {
    let view = binder.view;
    let plans = plans_on_paper(view);
    html! {
        @if let Some(plans) = plans {
            section.floors aria-labelledby="floors-title" {
                h2 #floors-title { "Floor plan" }
                (plans)
            }
        }
    }
}

/// What to do first, with the numbers of the floor plan, for a reader with little time.
fn first(binder: &Binder<'_>) -> Markup {
    let parts = binder.view.to_do.parts();
    let lines = || {
        parts
            .iter()
            .flat_map(|(title, lines)| lines.iter().map(move |line| (title, line)))
    };
    let more = lines().count().saturating_sub(FIRST);
    html! {
        @if lines().next().is_none() {
            (nothing(NOTHING_OPEN))
        } @else {
            p.label.urgent { "What to do first" @if more > 0 { "; " (more) " more under the floor plan" } }
            ol.todo {
                @for (title, line) in lines().take(FIRST) {
                    li { span.label { (title) } ": " (prose(&line.text)) }
                }
            }
        }
    }
}

/// How many findings are open, by topic and verdict.
fn topics(binder: &Binder<'_>) -> Markup {
    let count = |topic: &str, wanted: Verdict| {
        let open = binder.open();
        open.filter(|(_, f)| f.rule.topic == topic && f.verdict == wanted)
            .count()
    };
    let any = |topic: &&&str| OPEN.iter().any(|verdict| count(topic, *verdict) > 0);
    html! {
        @if binder.open().count() > 0 {
            table.topics {
                caption { "Open by topic" }
                thead { tr {
                    th scope="col" { "Topic" }
                    @for verdict in OPEN { th.number scope="col" { (said(verdict)) } }
                    th.number scope="col" { "Tab" }
                } }
                tbody {
                    @for topic in TOPICS.iter().filter(any) {
                        tr {
                            th scope="row" { (topic) }
                            @for verdict in OPEN { td.number { (count(topic, verdict)) } }
                            td.number { (Tab::with_topic(topic).number()) }
                        }
                    }
                }
            }
        }
    }
}

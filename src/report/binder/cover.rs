//! The first sheet: whose binder, of which day, what is open, and the index of the tabs.

use super::context::Binder;
use super::found::of_topics;
use super::tab::Tab;
use crate::finding::Verdict;
use crate::pack::TOPICS;
use crate::quantity::Day;
use crate::report::html::{counts, dated, name, nothing, prose, said, table, verdict};
use crate::report::page::plans_on_paper;
use crate::report::urgent::{NOTHING_OPEN, SCREENING};
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
            p.day { "at the close of " (dated(view.on)) }
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
                "Sheets are numbered within their tab, at the foot: 3-1 is the first of tab 3. A row such as " code { "inventory.csv:14" }
                " is line 14 of the file of that name in the folder " code { "tables" } " of this binder, a copy of the shop's table as it was \
                 read for this audit. " code { "audit.json" } " holds the audit for programs."
            }
        }
        (floor_plans(binder))
    }
}

fn index(binder: &Binder<'_>, tabs: &[(Tab, Option<Day>)]) -> Markup {
    let heads = [
        "#Tab",
        "What it holds",
        "#Open findings",
        "Latest record",
        "Sheets",
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
                    td { @match day { Some(day) => (dated(*day)), None => "none on record" } }
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
                    None => "not known: shop.toml names no authority that was asked",
                }
            } }
            div { dt { "Keeps the records" } dd {
                @match &shop.keeper { Some(keeper) => (name(keeper)), None => "not recorded; see tab 9" }
            } }
            @if let Some(ask) = &shop.ask { div { dt { "Ask" } dd { (name(ask)) } } }
            div { dt { "People employed" } dd {
                @match shop.employees { Some(count) => (count), None => "not known; held to be an employer" }
            } }
            div { dt { "Held against" } dd {
                @for (at, pack) in view.packs.iter().enumerate() {
                    @if at > 0 { "; " } (prose(&pack.title)) @if pack.advisory { " (advice here)" }
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

/// The most urgent things, so that whoever has ten minutes reads them first.
fn first(binder: &Binder<'_>) -> Markup {
    let first = binder.view.first(FIRST);
    html! {
        @if first.list.is_empty() {
            (nothing(NOTHING_OPEN))
        } @else {
            p.label.urgent { "Most urgent" @if first.more > 0 { "; " (first.more) " more in tab 8" } }
            ol.todo {
                @for (action, subjects, worst) in &first.list {
                    li { (verdict(*worst)) " " (prose(first_sentence(action))) " " span.faint { (name(subjects)) } }
                }
            }
        }
    }
}

/// The cover has room for the first thing of each; tab 8 has the whole. A full stop within a name ends nothing.
fn first_sentence(action: &str) -> &str {
    let ends = action.match_indices(". ").map(|(at, _)| at);
    let mut ends = ends.filter(|at| action[..*at].matches('`').count().is_multiple_of(2));
    ends.next().map_or(action, |at| &action[..=at])
}

/// How many findings are open, by topic and verdict.
fn topics(binder: &Binder<'_>) -> Markup {
    let count = |topic: &str, wanted: Verdict| {
        let open = binder.open();
        open.filter(|(_, f)| f.topic == topic && f.verdict == wanted)
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

#[cfg(test)]
mod tests {
    use super::first_sentence;

    #[test]
    fn a_name_ends_no_sentence() {
        for (action, first) in [
            ("Put it out.", "Put it out."),
            ("Put it out. Then log it.", "Put it out."),
            (
                "Empty `Jar No. 7` now. Then log it.",
                "Empty `Jar No. 7` now.",
            ),
            (
                "Move 1.5 gal into the cabinet",
                "Move 1.5 gal into the cabinet",
            ),
        ] {
            assert_eq!(first_sentence(action), first);
        }
    }
}

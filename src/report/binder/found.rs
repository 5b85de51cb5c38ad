//! What is open under a tab, in short; tab 8 has each of them in full.

use super::context::Binder;
use super::tab::Tab;
use crate::finding::{Finding, Verdict};
use crate::report::html::{dated, name, nothing, prose, table, verdict};
use crate::report::wrap::many;
use maud::{Markup, html};

/// The open findings of these topics, each with its number.
pub(super) fn of_topics<'a>(binder: &Binder<'a>, topics: &[&str]) -> Vec<(usize, &'a Finding)> {
    let open = binder.open();
    open.filter(|(_, finding)| topics.contains(&finding.topic))
        .collect()
}

/// The table of them, and how many were met.
pub(super) fn open_here(binder: &Binder<'_>, tab: Tab) -> Markup {
    let topics = tab.topics();
    let open = of_topics(binder, topics);
    let count = |wanted: Verdict| {
        let mine = binder.view.findings.iter();
        mine.filter(|f| topics.contains(&f.topic) && f.verdict == wanted && !f.is_about_nothing())
            .count()
    };
    let (met, idle) = (count(Verdict::Meets), count(Verdict::NotInForce));
    html! {
        h3 { "Open here" }
        @if open.is_empty() {
            (nothing("No finding of this tab is open. That shows no room and no rag to be safe; it says only that the rules in use \
                met nothing in what was written down."))
        } @else {
            @let dated = binder.view.against.earlier.is_some();
            @let heads = ["No.", "About", "State", "Rule", "Found", "Limit", "Open since"];
            // Without an earlier audit it is unknown for how long anything is open.
            (table(&format!("Open: {}", tab.title()), heads.get(..if dated { 7 } else { 6 }).unwrap_or(&heads), &html! { tbody { @for (number, finding) in &open { (row(binder, *number, finding)) } } }))
            p.faint { "Each has its working, its source and its rows on the page named beside its number." }
        }
        // Beside rags no number of what is met: it would calm.
        @if tab != Tab::Rags { p.faint {
            "Met by what was written down: " (many(met, "finding")) "; not in force: " (idle) ". Each rule stands in tab 10."
        } }
    }
}

fn row(binder: &Binder<'_>, number: usize, finding: &Finding) -> Markup {
    let against = &binder.view.against;
    let since = against.since(finding).filter(|_| against.earlier.is_some());
    html! {
        tr {
            td.no { a href={ "#f" (number) } { "No. " (number) } ", page " (binder.page_of(number)) }
            th scope="row" { (about(binder, finding)) }
            td { (verdict(finding.verdict)) @if finding.is_accepted() { " accepted" } }
            td { (prose(&finding.title)) }
            td { (prose(&finding.observed)) }
            td { (prose(&finding.limit)) }
            @if against.earlier.is_some() { td { @if let Some(day) = since { (dated(day)) } } }
        }
    }
}

/// What a finding is about; the shop itself needs no name in its own binder.
pub(super) fn about(binder: &Binder<'_>, finding: &Finding) -> Markup {
    html! {
        @if finding.subject.id == binder.view.shop { "the whole shop" } @else { (name(&finding.subject.id)) }
    }
}

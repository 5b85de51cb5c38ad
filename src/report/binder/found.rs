//! What is open under a tab, in short; tab 8 has each of them in full.

use super::context::Binder;
use super::tab::Tab;
use crate::finding::{Finding, Verdict};
use crate::report::html::{dated, name, nothing, prose, state, table};
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
        h3 { "Open findings" }
        @if open.is_empty() {
            (nothing("This tab has no open finding. This covers only the rules in use and what was recorded. It does not show that a \
                room or a rag is safe."))
        } @else {
            @let dated = binder.view.against.earlier.is_some();
            @let heads = ["No.", "About", "State", "Rule", "Found", "Open since"];
            // Without an earlier audit it is unknown for how long anything is open.
            (table(&format!("Open: {}", tab.title()), heads.get(..if dated { 6 } else { 5 }).unwrap_or(&heads), &html! { tbody { @for (number, finding) in &open { (row(binder, *number, finding)) } } }))
            p.faint { "The page beside each number shows its math, its source and its rows." }
        }
        // A number of rules met would reassure, so the tab about rags shows none.
        @if tab != Tab::Rags { p.faint {
            "Within the limit, by what is on record: " (many(met, "finding")) ". Not in effect yet: " (idle) ". Tab 10 lists each rule."
        } }
    }
}

fn row(binder: &Binder<'_>, number: usize, finding: &Finding) -> Markup {
    let against = &binder.view.against;
    let since = against.since(finding).filter(|_| against.earlier.is_some());
    let words = binder.view.words(finding);
    html! {
        tr {
            td.no { a href={ "#f" (number) } { "No. " (number) } ", page " (binder.page_of(number)) }
            th scope="row" { (about(binder, finding)) }
            td { (state(finding, &words)) @if finding.is_accepted() { " accepted" } }
            td { (prose(&finding.title)) }
            td { (prose(&words.fact)) }
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

//! The open findings of a tab in a short table. Tab 8 shows each of them in full.

use super::context::Binder;
use super::tab::Tab;
use crate::finding::{Finding, Verdict};
use crate::report::columns::{Listing, TableCell};
use crate::report::html::{name, nothing, state};
use crate::text::counted;
use maud::{Markup, html};

/// The open findings of these topics, each with its number.
pub(super) fn of_topics<'a>(binder: &Binder<'a>, topics: &[&str]) -> Vec<(usize, &'a Finding)> {
    let open = binder.open();
    open.filter(|(_, finding)| topics.contains(&finding.rule.topic))
        .collect()
}

/// The table of them, and how many were met.
pub(super) fn open_here(binder: &Binder<'_>, tab: Tab) -> Markup {
    let topics = tab.topics();
    let open = of_topics(binder, topics);
    let count = |wanted: Verdict| {
        let mine = binder.view.findings.iter();
        mine.filter(|f| {
            topics.contains(&f.rule.topic) && f.verdict == wanted && !f.does_not_apply()
        })
        .count()
    };
    let (met, idle) = (count(Verdict::Meets), count(Verdict::NotInForce));
    html! {
        h3 { "Open findings" }
        @if open.is_empty() {
            (nothing("This tab has no open finding. This covers only the rules in use and what was recorded. It does not show that a \
                room or a rag is safe."))
        } @else {
            (binder.table(&table(binder, tab), &open))
            p.faint { "The page beside each number shows its math, its source and its rows." }
        }
        // A number of rules met would reassure, so the tab about rags shows none.
        @if tab != Tab::Rags { p.faint {
            "Within the limit, by what is on record: " (counted(met, "finding")) ". Not in effect: " (idle) ". Tab 10 lists each rule."
        } }
    }
}

fn table<'c>(binder: &'c Binder<'_>, tab: Tab) -> Listing<'c, (usize, &'c Finding)> {
    let against = &binder.view.against;
    Listing::<(usize, &Finding)>::new(format!("Open: {}", tab.title()))
.column("No.", |(number, _)| {
            html! { span.no { a href={ "#f" (number) } { "No. " (number) } ", page " (binder.page_of(*number)) } }
        })
.column("About", |(_, finding)| about(binder, finding))
.column("State", |(_, finding)| {
            html! {
                (state(finding, &binder.view.words(finding)))
                @if finding.is_accepted() { " accepted" }
            }
        })
.column("Rule", |(_, finding)| finding.rule.title.to_string())
.column("Found", |(_, finding)| binder.view.words(finding).fact)
        // Without an earlier audit it is unknown for how long anything is open.
        .column("Open since", |(_, finding)| {
            let since = against.since(finding).filter(|_| against.earlier.is_some());
            since.map_or(TableCell::from(""), TableCell::from)
        })
        .row_head(1)
}

/// What a finding is about; the shop itself needs no name in its own binder.
pub(super) fn about(binder: &Binder<'_>, finding: &Finding) -> Markup {
    html! {
        @if finding.subject.id == binder.view.shop { "the whole shop" } @else { (name(&finding.subject.id)) }
    }
}

//! Tab 8: everything open, each with its numbers, working, source and rows.

use super::context::Binder;
use super::found::about;
use super::rows::row_markup;
use crate::finding::Finding;
use crate::quantity::Day;
use crate::report::html::{figures, name, nothing, on_day, prose, source, state};
use crate::report::urgent::NO_FINDING;
use crate::text::clean;
use maud::{Markup, html};

/// Rows named of one finding; a finding about a month of work may rest on thousands.
const ROWS: usize = 500;

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let part = html! {
        @if binder.open().count() == 0 {
            (nothing(NO_FINDING))
        } @else {
            p.faint { "The most urgent come first. Rows are the lines of the tables behind a finding." }
            ol.findings {
                @for (number, finding) in binder.open() { (one(binder, number, finding)) }
            }
        }
    };
    (Some(binder.view.on), part)
}

fn one(binder: &Binder<'_>, number: usize, finding: &Finding) -> Markup {
    let since = binder
        .view
        .against
        .since(finding)
        .filter(|since| *since < binder.view.on);
    let places = binder.view.places(finding);
    let words = binder.view.words(finding);
    html! {
        li.finding.(finding.verdict.word()) id={ "f" (number) } data-finding=(number) {
            h3 {
                span.faint { "No. " (number) } " " (state(finding, &words)) " "
                span.subject { (about(binder, finding)) } ": " (prose(&finding.title))
            }
            p.faint {
                (words.law) " · " (clean(&finding.pack)) "/" (clean(&finding.rule)) " · " (finding.topic)
                @if finding.advisory { " · only advice for this shop" }
                @if finding.local { " · limit set by the local authority" }
                @if let Some(since) = since { " · open since " (on_day(since)) }
            }
            p { strong { (prose(&words.fact)) } }
            (figures(finding, &words.fact))
            @for said in &finding.said { p.said { (prose(said)) } }
            @if !finding.working.is_empty() {
                p.label { "Working" }
                ol.working { @for step in &finding.working { li { (prose(step)) } } }
            }
            @if words.task != words.fact { p { span.label { "To do" } " " (prose(&words.task)) } }
            @if finding.action != words.task { p { span.label { "In detail" } " " (prose(&finding.action)) } }
            p { span.label { "Why" } " " (prose(&finding.why)) }
            @if let Some(accepted) = &finding.accepted {
                p { span.label { @if accepted.lapsed { "Acceptance expired" } @else { "Accepted" } } " by " (name(&accepted.by))
                    " until " (on_day(accepted.until)) ": " (prose(&accepted.why)) }
            }
            p { span.label { "Source" } " " span.source { (source(&finding.citation)) } }
            p.rows { span.label { "Rows" } " " @if places.is_empty() { "none" } @else { (row_markup(&places, ROWS)) } }
        }
    }
}

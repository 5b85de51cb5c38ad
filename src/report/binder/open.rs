//! Tab 8: everything open, each with its numbers, working, source and rows.

use super::context::Binder;
use super::found::about;
use super::rows::row_markup;
use super::tab::Tab;
use crate::finding::Finding;
use crate::quantity::Day;
use crate::report::finding_details::{FindingDetail, details, full_source};
use crate::report::html::{figures, nothing, prose, state};
use crate::report::statements::NO_FINDING;
use maud::{Markup, html};

/// Rows named of one finding; a finding about a month of work may rest on thousands.
const ROWS: usize = 500;

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let part = html! {
        @if binder.open().count() == 0 {
            (nothing(NO_FINDING))
        } @else {
            p.faint { "The most urgent come first. Rows are the lines of the tables behind a finding." }
            @for page in 1..=binder.pages.count() {
                ol.findings id={ "page-" (Tab::Open.number()) "-" (page) } {
                    @for (number, finding) in binder.open().filter(|(number, _)| binder.pages.of(*number) == page) {
                        (one(binder, number, finding))
                    }
                }
            }
        }
    };
    (Some(binder.view.on), part)
}

fn one(binder: &Binder<'_>, number: usize, finding: &Finding) -> Markup {
    let words = binder.view.words(finding);
    let source = full_source(finding, &words);
    html! {
        li.finding.(finding.verdict.word()) id={ "f" (number) } data-finding=(number) {
            h3 {
                span.faint { "No. " (number) } " " (state(finding, &words)) " "
                span.subject { (about(binder, finding)) } ": " (prose(&finding.rule.title))
            }
            p { strong { (prose(&words.fact)) } }
            (figures(finding, &words.fact))
            @for detail in details(binder.view, finding, &words, &source) {
                @match detail {
                    FindingDetail::Text("", text) => p { (prose(&text)) },
                    FindingDetail::Text(label, text) => p { span.label { (label) } " " (prose(&text)) },
                    FindingDetail::Steps(steps) => {
                        p.label { "Working" }
                        ol.working { @for step in steps { li { (prose(step)) } } }
                    }
                    FindingDetail::Rows(rows) => p.rows {
                        span.label { "Rows" } " "
                        @if rows.is_empty() { "none" } @else { (row_markup(&rows, ROWS)) }
                    },
                }
            }
        }
    }
}

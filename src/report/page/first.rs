//! The head of the page: how many findings of which verdict, and what to do first.

use super::words::{prose, said, sign, verdict};
use super::{View, part};
use crate::finding::Verdict;
use crate::report::month;
use maud::{Markup, html};

/// Most things to do first.
const FIRST: usize = 12;

/// Most changes of each sort since the earlier audit.
const CHANGES: usize = 20;

/// The verdicts, counted.
pub(in crate::report) fn counts(view: &View<'_>) -> Markup {
    html! {
        ul.counts aria-label="Findings by verdict" {
            @for (word, verdict) in Verdict::WORDS {
                li.(word) {
                    (sign(verdict)) " "
                    @let count = match verdict { Verdict::Meets => view.counts.met(), other => view.counts.of(other) };
                    span.number data-count=(word) { (count) } " "
                    span.word { (said(verdict)) }
                }
            }
        }
        @if view.counts.about_nothing + view.counts.accepted > 0 {
            p.faint {
                @if view.counts.accepted > 0 {
                    "Accepted by somebody, and still open among these: " (view.counts.accepted) ". "
                }
                @if view.counts.about_nothing > 0 { (idle(view)) }
            }
        }
    }
}

/// A rule that is about nothing here is not called met.
fn idle(view: &View<'_>) -> Markup {
    html! {
        "Counted in none of these: " span data-count="about_nothing" { (view.counts.about_nothing) }
        " rules, or parts of one, that are about nothing in this shop."
    }
}

/// What to do first, each with a link to the finding behind it.
pub(super) fn first(view: &View<'_>) -> Markup {
    let first = view.first(FIRST);
    part(
        "first",
        html! {
            @if first.list.is_empty() {
                p.nothing { "Nothing that the rules asked for is open. That shows no room and no rag to be safe." }
            } @else {
                ol.todo {
                    @for (action, subjects, worst) in &first.list {
                        li {
                            p.action { (prose(action)) }
                            p.faint {
                                (verdict(*worst)) " "
                                bdi { (crate::text::clean(subjects)) }
                                @if let Some(at) = behind(view, action) {
                                    " · " a href={ "#f" (at) } { "the finding" span.unseen { " about " bdi { (crate::text::clean(subjects)) } } }
                                }
                            }
                        }
                    }
                }
                @if let Some(left) = first.left_out() { p.faint { (left) } }
            }
            @for told in month::parts(view, CHANGES) {
                h3 { (prose(&told.title)) }
                ul.month { @for line in &told.lines { li { (prose(line)) } } }
            }
            @for remark in &view.remarks {
                p.remark { (prose(remark)) "." }
            }
        },
    )
}

/// The first open finding that asks for this.
fn behind(view: &View<'_>, action: &str) -> Option<usize> {
    view.findings
        .iter()
        .position(|f| f.calls() && !f.is_accepted() && f.action == action)
}

//! What to do first, each with a link to the finding behind it, and what changed since the earlier audit.

use crate::report::html::{nothing, prose, verdict};
use crate::report::month;
use crate::report::urgent::NOTHING_OPEN;
use crate::report::view::View;
use crate::text::clean;
use maud::{Markup, html};

/// Most things to do first.
const FIRST: usize = 12;

/// Most changes of each sort since the earlier audit.
const CHANGES: usize = 20;

/// What to do first.
pub(super) fn first(view: &View<'_>) -> Markup {
    let first = view.first(FIRST);
    html! {
        @if first.list.is_empty() {
            (nothing(NOTHING_OPEN))
        } @else {
            ol.todo {
                @for (action, subjects, worst) in &first.list {
                    li {
                        p.action { (prose(action)) }
                        p.faint {
                            (verdict(*worst)) " "
                            bdi { (clean(subjects)) }
                            @if let Some(at) = behind(view, action) {
                                " · " a href={ "#f" (at) } { "the finding" span.unseen { " about " bdi { (clean(subjects)) } } }
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
    }
}

/// The first open finding that asks for this.
fn behind(view: &View<'_>, action: &str) -> Option<usize> {
    view.findings
        .iter()
        .position(|f| f.calls() && !f.is_accepted() && f.action == action)
}

//! What is due, by day: what is past already, and what comes within the next three months.

use crate::quantity::Period;
use crate::report::html::{dated, nothing, prose, table};
use crate::report::view::View;
use maud::{Markup, html};

/// So far ahead the page looks; the calendar has the rest.
const AHEAD: Period = Period::Months(3);
/// As many rows as a reader takes in.
const MOST: usize = 30;

/// The days on which things fall due.
pub(super) fn due(view: &View<'_>) -> Markup {
    let near = view.on.plus(AHEAD);
    let all = view.dues.iter().filter(|due| due.day <= near);
    let list: Vec<_> = all.take(MOST).collect();
    let more = view.dues.len() - list.len();
    html! {
        @if list.is_empty() {
            (nothing("Nothing on record is due within three months."))
        } @else {
            (table("What is due, by day", &["Day", "Kind", "What is due"], &html! { tbody {
                @for due in &list {
                    tr {
                        th scope="row" {
                            (dated(due.day))
                            @if due.day < view.on { " " span.faint { "overdue" } }
                        }
                        td data-label="Kind" { (due.kind) }
                        td data-label="What is due" { (prose(&due.title)) }
                    }
                }
            } }))
        }
        @if more > 0 {
            p.faint { "Later: " (more) " more, in the calendar file due.ics." }
        }
    }
}

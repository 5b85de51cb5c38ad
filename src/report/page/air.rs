//! The air of the month: the course of the worst session with its limits, and the sessions as a table.

use crate::report::air_view::air_course;
use crate::report::columns::Medium;
use crate::report::html::{nothing, prose};
use crate::report::html_table::listing;
use crate::report::listings::{OF_SESSIONS, sessions};
use crate::report::plot::PlottedView;
use crate::report::view::View;
use crate::text::counted;
use maud::{Markup, PreEscaped, html};

/// Sessions in the table; the others are counted.
const MOST: usize = 12;

/// The part about air.
pub(super) fn air(view: &View<'_>) -> Markup {
    let all = view.air.sessions.list.len();
    let left = view.air.left_out(MOST);
    html! {
        @if all > 0 {
            p.faint { (OF_SESSIONS) }
            (course(view))
        }
        (listing(&sessions(view), Medium::Page, view.air.worst(MOST), |_, _| html! {}))
        @if left > 0 {
            p.faint { (counted(left, "more session")) ", none of them worse: run " code { "sandarac air" } "." }
        }
    }
}

fn course(view: &View<'_>) -> Markup {
    let Some(course) = air_course(&view.air) else {
        return nothing("No session can be drawn. The table shows which facts are missing.");
    };
    html! {
        figure aria-labelledby="air-words" {
            (drawn(&course.wide, "large"))
            (drawn(&course.phone, "small"))
            figcaption {
                p id="air-words" { (prose(&course.title)) " " (prose(&course.below)) }
                p.faint id="air-told" { (prose(&course.told)) }
            }
        }
    }
}

fn drawn(drawn: &PlottedView, class: &str) -> Markup {
    html! {
        svg.plot.course.(class) role="img" aria-labelledby="air-words air-told" viewBox=(drawn.view) {
            (PreEscaped(&drawn.inner))
        }
    }
}

//! The air of the month: the course of the worst session with its limits, and the sessions as a table.

use super::words::{many, name, prose, wide};
use super::{View, part};
use crate::report::air::{clear_by, of_lel, says, short_term, sum};
use crate::report::air_view::air_course;
use crate::vapour::session::Session;
use maud::{Markup, PreEscaped, html};

/// Sessions in the table; the others are counted.
const MOST: usize = 12;

/// The part about air.
pub(super) fn air(view: &View<'_>) -> Markup {
    let all = view.air.sessions.list.len();
    part(
        "air",
        html! {
            @if all == 0 {
                p.nothing { "No session with vapour is on record for the last month. That says what was logged, not what was in the air." }
            } @else {
                p.faint {
                    "Every figure is an estimate for air that is stirred through the whole room. At the bench and at your face it is worse; \
                     vapour also runs along the floor. A quarter of the lower explosive limit counts as hazardous."
                }
                @if let Some(course) = air_course(&view.air) {
                    figure aria-labelledby="air-words" {
                        svg.plot.course role="img" aria-labelledby="air-words air-told" viewBox=(course.view) {
                            (PreEscaped(&course.inner))
                        }
                        figcaption {
                            p id="air-words" { "Worst session: " (prose(&course.title)) ". " (prose(&course.below)) }
                            p.faint id="air-told" { (prose(&course.told)) }
                        }
                    }
                } @else {
                    p.nothing { "The course of no session can be drawn: see what is missing in the table." }
                }
                (table(view, all))
            }
        },
    )
}

fn table(view: &View<'_>, all: usize) -> Markup {
    let left = view.air.left_out(MOST);
    html! {
        h3 { "Sessions, worst first " span.faint { (many(all, "session")) } }
        (wide("Sessions of the month, worst first", html! {
            table {
                thead { tr {
                    th scope="col" { "Began" }
                    th scope="col" { "What it says" }
                    th scope="col" { "Room" }
                    th scope="col" { "Used" }
                    th.number scope="col" { "Peak, share of lower explosive limit" }
                    th.number scope="col" { "Legal limits, sum over 8 h" }
                    th.number scope="col" { "Guide values, sum over 8 h" }
                    th.number scope="col" { "Short-term limits, sum over 15 min" }
                    th.number scope="col" { "Clear by" }
                } }
                tbody { @for session in view.air.worst(MOST) { (row(view, session)) } }
            }
        }))
        @if left > 0 {
            p.faint { "And " (left) " more that are no worse; " code { "sandarac air" } " shows them." }
        }
    }
}

fn row(view: &View<'_>, session: &Session) -> Markup {
    let known = session.gap.is_none();
    let figure = |shown: Option<String>| {
        shown
            .filter(|_| known)
            .unwrap_or_else(|| "not known".into())
    };
    html! {
        tr {
            th scope="row" { time { (session.initial) } }
            td {
                @if let Some(gap) = &session.gap { "cannot be told: " (prose(gap)) }
                @else { (prose(&says(&view.air, session))) }
            }
            td { (name(view.air.room(session).map_or("", |room| room.id.as_str()))) }
            td { (prose(&view.air.used(session))) }
            td.number { (figure(of_lel(session))) }
            td.number { (figure(sum(session.legal))) }
            td.number { (figure(sum(session.guide))) }
            td.number { (short_term(session)) }
            td.number { (figure(clear_by(session))) }
        }
    }
}

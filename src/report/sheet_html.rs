//! The round as a page to print, or to read on a phone: one file, no network, no script. Two columns on paper, one on a
//! phone; a row is never cut. Every name is escaped by the templates.

use super::against::ActionState;
use super::html::{HtmlHead, document, name};
use super::label::Paper;
use super::page::numbers_by_place;
use super::sheet_rows::{Ask, Leg, RoundLine, RoundSheet};
use super::view::View;
use super::words::date;
use crate::text::clean;
use maud::{Markup, html};
use std::collections::HashMap;

/// In the head of each page of the round: by this the program knows it again.
pub const ROUND_MARK: &str = "<meta name=\"sandarac-round\" content=\"1\">";

/// The sheet's own style, in the sheet itself.
const STYLE: &str = include_str!("sheet.css");

/// The numbers of the floor plan, by place.
type Numbers = HashMap<String, Vec<usize>>;

pub fn sheet_html(sheet: &RoundSheet, view: &View<'_>, paper: Paper) -> String {
    let page = format!(
        "@page{{size:{};margin:8mm 8mm 10mm;@bottom-right{{content:counter(page) ' / ' counter(pages);font:7pt sans-serif}}\
         @bottom-left{{content:'Round of {}: a screening aid, not a certificate';font:7pt sans-serif}}}}",
        paper.word(),
        date(sheet.on)
    );
    let numbers = numbers_by_place(view);
    let body = html! {
        main {
            (head(sheet))
            div.columns {
                @for leg in &sheet.legs { (room(leg, &numbers)) }
                (promised(view))
                (foot(sheet))
            }
        }
    };
    let head = HtmlHead {
        title: &format!("Round of {}, {}", date(sheet.on), sheet.shop),
        style: &[&page, STYLE],
        scheme: "only light",
        mark: ROUND_MARK,
    };
    document(&head, &body).into_string()
}

fn head(sheet: &RoundSheet) -> Markup {
    html! {
        div.head {
            h1 { "Round of " (date(sheet.on)) ", " (name(&sheet.shop)) }
            p { "Walked by" i.line {} "on" i.line {} "from" i.line {} "to" i.line {} }
            p {
                "Count first, then compare with the book. A number without a unit has the unit printed after its line. Leave a line \
                 blank if you did not look. Blank is unknown, never a yes. Beside every no, write the fix and the person. A question \
                 without a date was never answered. An asterisk marks a question that is recommended, not required. "
                strong { "Put any loose oily rag under water or flat outdoors before you go on." }
            }
        }
    }
}

/// A room, place by place in walking order.
fn room(leg: &Leg, numbers: &Numbers) -> Markup {
    html! {
        section {
            h2 { (name(&leg.title)) }
            @for lines in leg.lines.chunk_by(|a, b| a.place == b.place) {
                @let place = lines.first().map_or("", |line| line.place.as_str());
                @if !place.is_empty() {
                    h3 {
                        (name(place))
                        // The name of a fixture here ends with the words of its plate.
                        @let on_plan = numbers.get(place).or_else(|| numbers.get(place.split(" (").next()?));
                        @if let Some(on_plan) = on_plan {
                            " " small { "on the floor plan:" @for number in on_plan { " " (number) } }
                        }
                    }
                }
                @for line in lines { (row(line)) }
            }
        }
    }
}

fn row(line: &RoundLine) -> Markup {
    html! {
        div.row {
            span.n { @if let Some(number) = line.number { (number) } }
            @match &line.ask {
                Ask::Count(count) => {
                    p {
                        b { (name(&count.container)) } " " (name(&count.product))
                        small { " book: " (clean(&count.expected)) @if !count.remark.is_empty() { "; " (clean(&count.remark)) } }
                    }
                    span.found { i.line {} (count.unit) }
                }
                Ask::Check(check) => {
                    p {
                        (check.question) @if !check.must { "*" }
                        small { " " (check.pass) @if check.answered { "; " (check.due) } }
                    }
                    span.found {
                        i.box {} "yes" i.box {} "no"
                        @if check.may_be_absent { i.box {} "n/a" }
                    }
                }
                Ask::Look { what, should } => {
                    p { (clean(what)) small { " " (clean(should)) } }
                    span.found { i.line {} }
                }
            }
        }
    }
}

/// Open actions, with room to close them.
fn promised(view: &View<'_>) -> Markup {
    let open = || {
        view.actions
            .iter()
            .filter(|row| row.state != ActionState::Closed)
    };
    html! {
        @if open().next().is_some() {
            section {
                h2 { "Open actions" }
                @for row in open() {
                    div.row {
                        span.n { (name(&row.action.id)) }
                        p {
                            (name(&row.action.what))
                            small {
                                " " (name(row.action.who.as_deref().unwrap_or("person not recorded")))
                                @if let Some(day) = row.action.by { ", by " (date(day)) }
                                @if row.state == ActionState::Late { ", overdue" }
                                @if let Some(remark) = row.remark { "; " (remark) }
                            }
                        }
                        span.found { "done" i.line {} }
                    }
                }
            }
        }
    }
}

fn foot(sheet: &RoundSheet) -> Markup {
    html! {
        section.foot {
            @if !sheet.empty.is_empty() {
                p {
                    small {
                        "Empty by the book: "
                        @for (at, container) in sheet.empty.iter().enumerate() {
                            @if at > 0 { ", " } (name(container))
                        }
                        ". If one of them holds anything, add it below."
                    }
                }
            }
            p { "Not on this list:" i.line {} }
            p { i.line {} }
            p { "Signed" i.line {} "on" i.line {} }
            p { small { "A screening aid, not a certificate. Nothing here shows that a room or a pile of oily rags is safe." } }
        }
    }
}

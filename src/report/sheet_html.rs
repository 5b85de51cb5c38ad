//! The round as a page to print: one file, no network, no script. A row is never cut by a page break, and headings come
//! again on each page. Every name is escaped by the templates.

use super::against::ActionState;
use super::html::{Head, document, name};
use super::label::Paper;
use super::sheet::{Ask, Leg, RoundLine, RoundSheet};
use super::view::View;
use crate::text::clean;
use maud::{Markup, html};

/// In the head of each page of the round: by this the program knows it again.
pub const ROUND_MARK: &str = "<meta name=\"sandarac-round\" content=\"1\">";

/// Empty rows at the end of each room, for what stands there and is not on the list.
const SPARE: usize = 2;

/// The sheet's own style, in the sheet itself.
const STYLE: &str = include_str!("sheet.css");

/// The page.
pub fn sheet_html(sheet: &RoundSheet, view: &View<'_>, paper: Paper) -> String {
    let page = format!(
        "@page{{size:{};margin:10mm 10mm 12mm;@bottom-right{{content:counter(page) ' / ' counter(pages);font:7pt sans-serif}}\
         @bottom-left{{content:'Round of {}: a screening aid, not a certificate';font:7pt sans-serif}}}}",
        paper.word(),
        sheet.on
    );
    let body = html! {
        (head(sheet))
        @for leg in &sheet.legs {
            (table(leg))
        }
        (promised(view))
        (foot(sheet, view))
    };
    let head = Head {
        title: &format!("Round of {}, {}", sheet.on, sheet.shop),
        style: &[&page, STYLE],
        scheme: "only light",
        mark: ROUND_MARK,
    };
    document(&head, &body).into_string()
}

fn head(sheet: &RoundSheet) -> Markup {
    html! {
        div.head {
            h1 { "The round of " (sheet.on) ", " (name(&sheet.shop)) }
            p {
                "Walked by" i.line style="width:48mm" {} "on" i.line style="width:28mm" {}
                "from" i.line style="width:16mm" {} "to" i.line style="width:16mm" {}
            }
            p {
                "Count what is there before you look at what should be. A number without a unit is read in the unit printed at the right of its box. \
                 What you did not look at stays empty; empty is not known, and never a yes. A no gets a note and somebody to mend it."
            }
        }
    }
}

fn table(leg: &Leg) -> Markup {
    // What stands about stands in a room; the shop as a whole has nothing to add.
    let spare = if leg.room.is_empty() { 0 } else { SPARE };
    html! {
        table {
            colgroup { col.n; col.at; col; col.should; col.found; col.by; col.note; }
            thead {
                tr { th.room colspan="7" { (name(&leg.title)) } }
                tr {
                    th.n { "No." } th.at { "Where" } th { "What" } th.should { "Should be" }
                    th.found { "Found" } th.by { "Initials" } th.note { "Note; who mends it" }
                }
            }
            tbody {
                @for line in &leg.lines { (row(line)) }
                @for _ in 0..spare {
                    tr { td.n {} td {} td { small { "not on this list:" } } td {} td.found {} td {} td {} }
                }
            }
        }
    }
}

fn row(line: &RoundLine) -> Markup {
    html! {
        tr {
            td.n { @if let Some(number) = line.number { (number) } }
            td { (name(&line.place)) }
            @match &line.ask {
                Ask::Count(count) => {
                    td {
                        b { (name(&count.container)) } " " (name(&count.product))
                        @if !count.remark.is_empty() { br; small { (clean(&count.remark)) } }
                    }
                    td { (clean(&count.expected)) }
                    td.found { span.unit { (count.unit) } }
                }
                Ask::Check(check) => {
                    td colspan="2" {
                        (check.question)
                        @if !check.must { " " i { "(should)" } }
                        br;
                        small { "Yes: " (check.pass) ". [" (check.source) "]" }
                    }
                    td.found {
                        i.box {} "yes" i.box {} "no"
                        @if check.may_be_absent { i.box {} "not present" }
                        small { (check.due) }
                    }
                }
                Ask::Look { what, should } => {
                    td { (clean(what)) }
                    td { (clean(should)) }
                    td.found {}
                }
            }
            td {} td {}
        }
    }
}

/// What somebody undertook, with room to close it.
fn promised(view: &View<'_>) -> Markup {
    let open = || {
        view.actions
            .iter()
            .filter(|row| row.state != ActionState::Closed)
    };
    html! {
        @if open().next().is_some() {
            table {
                colgroup { col.n; col; col.at; col.should; col.by; col.note; }
                thead {
                    tr { th.room colspan="6" { "Actions still open" small { " (into actions.csv)" } } }
                    tr {
                        th.n { "No." } th { "What" } th.at { "Who" } th.should { "By" }
                        th.by { "Initials" } th.note { "Done on" }
                    }
                }
                tbody {
                    @for row in open() {
                        tr {
                            td.n { (name(&row.action.id)) }
                            td {
                                (name(&row.action.what))
                                @if let Some(remark) = row.remark { br; small { (remark) } }
                            }
                            td { (name(row.action.who.as_deref().unwrap_or("nobody named"))) }
                            td {
                                @match row.action.by { Some(day) => { (day) } None => { "no day set" } }
                                @if row.state == ActionState::Late { b { ", late" } }
                            }
                            td {} td {}
                        }
                    }
                }
            }
        }
    }
}

fn foot(sheet: &RoundSheet, view: &View<'_>) -> Markup {
    html! {
        @if !sheet.empty.is_empty() {
            p {
                "Empty by the book: "
                @for (at, container) in sheet.empty.iter().enumerate() {
                    @if at > 0 { ", " } (name(container))
                }
                ". If one of them holds anything, write it on an empty row."
            }
        }
        div.foot {
            p {
                "Everything on this sheet was looked at, but for the empty rows. Signed" i.line style="width:45mm" {}
                "day" i.line style="width:25mm" {}
            }
        }
        h2 { "Cautions" }
        div.cautions {
            @for caution in &view.cautions {
                p { b { (clean(&caution.title)) ". " } (clean(&caution.text)) }
            }
        }
    }
}

//! The first sheet: the worst fact, what to do about everything that is open, the floor plan and the nearest limits. Printed,
//! it is one page.

use super::filter::{Filter, classes};
use super::limits::limits;
use super::lists::{DoLine, DoList, DoLists, LineState};
use super::plan::{plan, rooms};
use crate::report::html::{counts, name, prose};
use crate::report::statements::{NOTHING_OPEN, SCREENING};
use crate::report::view::View;
use crate::report::words::date;
use maud::{Markup, html};

pub(super) fn sheet(view: &View<'_>, lists: &DoLists, filter: &Filter) -> Markup {
    let drawn = rooms(view, lists);
    html! {
        (headline(view, lists))
        (counts(view))
        (filter.controls())
        div.two {
            section #list aria-label="What to do" {
                @if lists.iter().all(|list| list.lines.is_empty()) { p.nothing { (NOTHING_OPEN) } }
                @for list in lists.iter() { (list_of(list, filter)) }
                @for remark in &view.remarks { p.remark { (prose(remark)) } }
            }
            div {
                @if let Some(floor) = drawn.first() {
                    section aria-labelledby="plan-title" {
                        h2 #plan-title { "Where " small { (name(&floor.room)) ", numbers as in the list" } }
                        (plan(view, floor, lists))
                    }
                }
                (limits(view))
            }
        }
        p.aid { (SCREENING) }
        (emergency(view))
    }
}

/// The worst fact as a sentence: the only filled color of the page.
fn headline(view: &View<'_>, lists: &[DoList]) -> Markup {
    let first = lists.iter().flat_map(|list| &list.lines).next();
    let alarm = first.is_some_and(|line| matches!(line.state, LineState::Now | LineState::Over));
    html! {
        div.alarm.calm[!alarm] {
            p.headline { (prose(&view.to_do.headline)) }
            // A headline that says what to do says it once.
            @if let Some(line) = first.filter(|line| alarm && !view.to_do.headline.starts_with(&line.action)) { p { (prose(&line.action)) } }
        }
    }
}

fn list_of(list: &DoList, filter: &Filter) -> Markup {
    if list.lines.is_empty() {
        return html! {};
    }
    let shown = list.lines.iter().take_while(|line| line.on_sheet).count();
    let (shown, more) = list.lines.split_at(shown);
    html! {
        h2 { (list.title) " " small { (list.lines.len()) } }
        ol.todo { @for line in shown { (line_of(line, filter)) } }
        @if !more.is_empty() {
            details.more {
                summary { "And " (more.len()) " more" }
                ol.todo { @for line in more { (line_of(line, filter)) } }
            }
            p.printed { "And " (more.len()) " more on the page." }
        }
    }
}

fn line_of(line: &DoLine, filter: &Filter) -> Markup {
    html! {
        li class=(classes(filter, line.state, &line.who, &line.rooms)) data-line=(line.number) {
            span.num.(line.state.class()) { (line.number) }
            div {
                p.action { (prose(&line.action)) }
                @if !line.why.is_empty() { p.why { (prose(&line.why)) } }
                @if !line.note.is_empty() {
                    p.note {
                        (prose(&line.note))
                        @if let Some(at) = line.findings.first() { span.go { " · " a href={ "#f" (at) } { "details" span.unseen { " of number " (line.number) } } } }
                    }
                }
            }
        }
    }
}

/// Blank lines for emergency numbers, on paper only.
fn emergency(view: &View<'_>) -> Markup {
    let lines = [
        "Fire and ambulance",
        "Poison control",
        "Fire office",
        "Key holder",
        "This address",
    ];
    html! {
        div.emergency {
            strong { "Emergency" }
            @for line in lines { span.blank { (line) } }
            span { (name(&view.shop)) ", " (date(view.on)) }
        }
    }
}

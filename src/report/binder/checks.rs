//! The round under a tab: each question, when it was last answered and is due again, and every answer there is.

use super::context::Binder;
use super::parts::MOST;
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::Answer;
use crate::report::html::{dated, name, nothing, table, timed};
use crate::report::wrap::many;
use crate::text::clean;
use crate::trade::Asked;
use maud::{Markup, html};

/// Answers that belong under a tab, the earliest first. Answers to unknown questions are in the tab about exits.
pub(super) fn answers<'a>(binder: &Binder<'a>, tab: Tab) -> Vec<&'a Answer> {
    let mut list = binder.answers();
    list.retain(|answer| {
        let question = binder.reference.round.find(&answer.check);
        let own = question.map_or(Tab::Exits, |question| Tab::with_topic(&question.topic));
        own == tab
    });
    list
}

/// The day of the last of them.
pub(super) fn latest(binder: &Binder<'_>, tab: Tab) -> Option<Day> {
    answers(binder, tab).last().map(|answer| answer.when.day())
}

/// Questions and answers.
pub(super) fn checks(binder: &Binder<'_>, tab: Tab) -> Markup {
    let asked = binder.view.round.iter();
    let asked: Vec<&Asked<'_>> = asked
        .filter(|asked| tab.topics().contains(&asked.question.topic.as_str()))
        .collect();
    let given = answers(binder, tab);
    html! {
        h3 { "Questions of the round" }
        @if asked.is_empty() {
            (nothing("The round of this shop has no question for this tab."))
        } @else {
            (table(&format!("Questions: {}", tab.title()), &["About", "Question", "Last answer", "Next due", "Row"], &html! { tbody {
                @for asked in &asked { (question(binder, asked, &given)) }
            } }))
        }
        h3 { "Every answer " span.faint { (many(given.len(), "row")) } }
        (list(binder, tab, &given))
    }
}

fn said(answer: Option<bool>) -> &'static str {
    match answer {
        Some(true) => "yes",
        Some(false) => "NO",
        None => "not present",
    }
}

fn question(binder: &Binder<'_>, asked: &Asked<'_>, given: &[&Answer]) -> Markup {
    let mine =
        |answer: &&&Answer| answer.check == asked.question.check && answer.place == asked.about;
    let last = given.iter().rfind(mine);
    html! {
        tr {
            th scope="row" { @if asked.about.is_empty() { "the shop" } @else { (name(&asked.about)) } }
            td { (asked.question.question) }
            td {
                @match last {
                    Some(last) => {
                        (dated(last.when.day())) ": " (said(last.answer))
                        @if let Some(by) = &last.by { ", " (name(by)) }
                    }
                    None => strong { "never answered" },
                }
            }
            td {
                @if asked.due < binder.view.on { strong { (dated(asked.due)) ", overdue" } }
                @else if asked.due == binder.view.on { strong { (dated(asked.due)) ", today" } }
                @else { (dated(asked.due)) }
            }
            td.rows { @if let Some(last) = last { (binder.row(last.at)) } }
        }
    }
}

fn list(binder: &Binder<'_>, tab: Tab, given: &[&Answer]) -> Markup {
    let skipped = given.len().saturating_sub(MOST);
    if given.is_empty() {
        return nothing(if binder.has("checks.csv") {
            "checks.csv has no answer for this tab up to this day. What was not asked is unknown."
        } else {
            "The shop has no checks.csv, so no check is on record."
        });
    }
    html! {
        @if skipped > 0 {
            p { strong { "This table shows the latest " (MOST) ". " (skipped) " earlier answers are in tables/checks.csv." } }
        }
        (table(&format!("Every answer: {}", tab.title()), &["Date and time", "Question", "About", "Answer", "By", "Remark", "Row"], &html! { tbody {
            @for answer in given.iter().skip(skipped).rev() {
                tr {
                    td { (timed(answer.when)) }
                    th scope="row" { (name(&answer.check)) }
                    td { @if answer.place.is_empty() { "the shop" } @else { (name(&answer.place)) } }
                    td { @if answer.answer == Some(false) { strong { "NO" } } @else { (said(answer.answer)) } }
                    td { @match &answer.by { Some(by) => (name(by)), None => "not recorded" } }
                    td {
                        @if let Some(note) = &answer.note { (name(note)) }
                        @if let Some(link) = binder.photo(answer) { img.photo src=(link) alt=(format!("Photo of {}, {}", clean(&answer.check), answer.when)); }
                    }
                    td.rows { (binder.row(answer.at)) }
                }
            }
        } }))
    }
}

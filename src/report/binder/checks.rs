//! The round under a tab: each question, when it was last answered and is due again, and every answer there is.

use super::context::Binder;
use super::parts::MOST;
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::Answer;
use crate::report::columns::{Listing, TableCell};
use crate::report::html::{name, nothing, on_day};
use crate::text::{clean, counted};
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
    let asked = asked.filter(|asked| tab.topics().contains(&asked.question.topic.as_str()));
    let given = answers(binder, tab);
    html! {
        h3 { "Questions of the round" }
        (binder.table(&questions(binder, tab, &given), asked))
        h3 { "Every answer " span.faint { (counted(given.len(), "row")) } }
        (every_answer(binder, tab, &given))
    }
}

fn said(answer: Option<bool>) -> &'static str {
    match answer {
        Some(true) => "yes",
        Some(false) => "NO",
        None => "not present",
    }
}

/// What a question or an answer is about.
fn about(place: &str) -> TableCell<'_> {
    match place {
        "" => "the shop".into(),
        place => TableCell::Name(place),
    }
}

fn questions<'c>(binder: &Binder<'_>, tab: Tab, given: &'c [&Answer]) -> Listing<'c, Asked<'c>> {
    let on = binder.view.on;
    let last = move |asked: &Asked<'_>| {
        let mine =
            |answer: &&&Answer| answer.check == asked.question.check && answer.place == asked.about;
        given.iter().rfind(mine)
    };
    Listing::<Asked<'_>>::new(format!("Questions: {}", tab.title()))
        .column("About", |asked| about(&asked.about))
        .column("Question", |asked| asked.question.question.clone())
        .column("Last answer", move |asked| {
            html! {
                @match last(asked) {
                    Some(last) => {
                        (on_day(last.when.day())) ": " (said(last.answer))
                        @if let Some(by) = &last.by { ", " (name(by)) }
                    }
                    None => strong { "never answered" },
                }
            }
        })
        .column("Next due", move |asked| {
            html! {
                @if asked.due < on { strong { (on_day(asked.due)) ", overdue" } }
                @else if asked.due == on { strong { (on_day(asked.due)) ", today" } }
                @else { (on_day(asked.due)) }
            }
        })
        .rows(move |asked| last(asked).map(|last| last.at))
        .empty("The round of this shop has no question for this tab.")
}

fn every_answer(binder: &Binder<'_>, tab: Tab, given: &[&Answer]) -> Markup {
    let skipped = given.len().saturating_sub(MOST);
    if given.is_empty() {
        return nothing(if binder.has("checks.csv") {
            "checks.csv has no answer for this tab up to this day. What was not asked is unknown."
        } else {
            "The shop has no checks.csv, so no check is on record."
        });
    }
    let table = Listing::<&Answer>::new(format!("Every answer: {}", tab.title()))
.column("Date and time", |answer| binder.moment(answer.when))
.column("Question", |answer| TableCell::Name(&answer.check))
.column("About", |answer| about(&answer.place))
.column("Answer", |answer| {
            html! { @if answer.answer == Some(false) { strong { "NO" } } @else { (said(answer.answer)) } }
        })
.column("By", |answer| TableCell::recorded(answer.by.as_deref()))
.column("Remark", |answer| {
            html! {
                @if let Some(note) = &answer.note { (name(note)) }
                @if let Some(link) = binder.photo(answer) { img.photo src=(link) alt=(format!("Photo of {}, {}", clean(&answer.check), answer.when)); }
            }
        })
.rows(|answer| answer.at)
        .row_head(1);
    html! {
        @if skipped > 0 {
            p { strong { "This table shows the latest " (MOST) ". " (skipped) " earlier answers are in tables/checks.csv." } }
        }
        (binder.table(&table, given.iter().skip(skipped).rev()))
    }
}

//! The round: one question on a screen, in walking order. Answers wait on the computer, where several people can walk it together and
//! it can be interrupted, until the round is saved as one.

use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{ended, page};
use crate::bench::problem::BenchProblem;
use crate::bench::round_draft::{DraftLine, RoundDraft};
use crate::bench::secret::entry_id;
use crate::bench::state::BenchNow;
use crate::bench::when::shown_moment;
use crate::quantity::Moment;
use crate::record::What;
use crate::report::{Ask, RoundCheck, RoundCount, RoundLine};
use crate::text::{clean, counted};
use maud::{Markup, html};

/// A round that was saved can be taken back for so many minutes.
pub const UNDO_MINUTES: i64 = 10;

/// The answers of the round, as buttons.
const ANSWERS: [(&str, &str); 3] = [("yes", "Yes"), ("no", "No"), ("not present", "Not present")];

/// The page of a line: questions by their word and what they are about, counts by their container.
fn link(line: &RoundLine) -> Option<String> {
    match &line.ask {
        Ask::Check(check) => Some(format!(
            "/round/ask?check={}&where={}",
            url(&check.check),
            url(&check.about)
        )),
        Ask::Count(count) => Some(format!("/round/ask?container={}", url(&count.container))),
        Ask::Look { .. } => None,
    }
}

/// What waits in the round for a line.
fn waits<'d>(draft: &'d RoundDraft, line: &RoundLine) -> Option<&'d DraftLine> {
    match &line.ask {
        Ask::Check(check) => draft.answer(&check.check, &check.about),
        Ask::Count(count) => draft.count(&count.container),
        Ask::Look { .. } => None,
    }
}

/// Was it answered or counted, in this round or earlier today?
fn is_done(now: &BenchNow, draft: &RoundDraft, line: &RoundLine) -> bool {
    let today = now.at.day();
    let saved = match &line.ask {
        Ask::Check(check) => now.shop.tables.answers.iter().any(|answer| {
            answer.check == check.check
                && answer.place == check.about
                && answer.when.day() == today
                && answer.when <= now.at
        }),
        Ask::Count(count) => now.counted.contains(&count.container),
        Ask::Look { .. } => true,
    };
    saved || waits(draft, line).is_some()
}

/// The whole round, leg by leg.
pub fn overview(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let draft = RoundDraft::read(call.bench.folder())?;
    let lines: Vec<&RoundLine> = now.round.legs.iter().flat_map(|leg| &leg.lines).collect();
    let asked = lines.iter().filter(|line| line.number.is_some()).count();
    let open = lines
        .iter()
        .filter(|line| !is_done(&now, &draft, line))
        .count();
    let next = lines
        .iter()
        .find(|line| !is_done(&now, &draft, line))
        .and_then(|line| link(line));
    let main = html! {
        p.count { strong { (asked.saturating_sub(open)) } " of " (asked) " done today." }
        (under_way(call, &now, &draft))
        (taken_back(call, &now)?)
        @if let Some(next) = next { p { a.act href=(next) { @if draft.lines.is_empty() { "Walk the round" } @else { "Go on with the round" } } } }
        @for leg in &now.round.legs {
            section {
                h2 { bdi { (clean(&leg.title)) } }
                ul.things { @for line in &leg.lines { li { (row(&now, &draft, line)) } } }
            }
        }
    };
    Ok(Reply::page(page(call, &now, "Round", &main)))
}

/// What waits, and the button that saves it.
fn under_way(call: &Call, now: &BenchNow, draft: &RoundDraft) -> Markup {
    let shown = |line: &DraftLine| {
        let what = [line.cell("check"), line.cell("container")].concat();
        let told = [line.cell("answer"), line.cell("amount")].concat();
        (what, told, shown_moment(line.when, now.at.day(), now.us()))
    };
    html! {
        @if let Some(first) = draft.lines.first() {
            section.card.open {
                h2 { (counted(draft.lines.len(), "answer")) " not saved yet" }
                p { "Since " (shown_moment(first.when, now.at.day(), now.us())) ". They are kept on the shop's computer. They count when the round is saved." }
                @if call.may_log() {
                    form method="post" action="/round/save" {
                        button type="submit" { "Save the round: " (counted(draft.lines.len(), "answer")) }
                    }
                    details {
                        summary { "Look through them" }
                        ul.things {
                            @for line in &draft.lines {
                                @let (what, told, when) = shown(line);
                                li {
                                    p { strong { (clean(&told)) } ": " bdi { (clean(&what)) } " " bdi { (clean(line.cell("where"))) }
                                        ", " (when) @if !line.cell("by").is_empty() { ", " bdi { (clean(line.cell("by"))) } }
                                        @if !line.cell("note").is_empty() { ". " bdi { (clean(line.cell("note"))) } } }
                                    form method="post" action="/round/out" {
                                        input type="hidden" name="line" value=(line.id);
                                        button.quiet type="submit" { "Take it out" }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// May this round still be taken back?
pub fn is_fresh(saved: &RoundDraft, now: Moment) -> bool {
    let age = saved.saved.map(|saved| now.minutes_since(saved));
    age.is_some_and(|age| (0..=UNDO_MINUTES).contains(&age))
}

/// The round that was saved just now, and the button that takes it back.
fn taken_back(call: &Call, now: &BenchNow) -> Result<Markup, BenchProblem> {
    let saved = RoundDraft::last_saved(call.bench.folder())?;
    Ok(html! {
        @if let Some(when) = saved.saved.filter(|_| is_fresh(&saved, now.at) && call.may_log()) {
            div.done role="status" {
                p { strong { "The round is saved: " (counted(saved.lines.len(), "answer")) "." } " " (shown_moment(when, now.at.day(), now.us())) }
                form method="post" action="/round/undo" { button.quiet type="submit" { "Undo the round" } }
            }
        }
    })
}

fn row(now: &BenchNow, draft: &RoundDraft, line: &RoundLine) -> Markup {
    let words = match &line.ask {
        Ask::Check(check) => {
            html! { (clean(&check.question)) " " small { bdi { (clean(&check.about)) } } }
        }
        Ask::Count(count) => {
            html! { "Count " bdi { (clean(&count.container)) } " " small { bdi { (clean(&count.product)) } } }
        }
        Ask::Look { what, should } => {
            html! { "Look: " (clean(what)) ". It should be: " (ended(should)) }
        }
    };
    let told = waits(draft, line).map(|line| [line.cell("answer"), line.cell("amount")].concat());
    html! {
        @if let Some(link) = link(line) {
            a.act href=(link) { span {
                @if let Some(told) = told { strong { (clean(&told)) } ": " } @else if is_done(now, draft, line) { "Done: " }
                (words)
            } }
        } @else { p { (words) } }
    }
}

/// One line of the round.
pub fn ask(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let draft = RoundDraft::read(call.bench.folder())?;
    let lines: Vec<&RoundLine> = now.round.legs.iter().flat_map(|leg| &leg.lines).collect();
    let wanted = match call.text("container") {
        "" => format!(
            "/round/ask?check={}&where={}",
            url(call.text("check")),
            url(call.text("where"))
        ),
        container => format!("/round/ask?container={}", url(container)),
    };
    let at = lines
        .iter()
        .position(|line| link(line).as_deref() == Some(wanted.as_str()));
    let Some((at, line)) = at.and_then(|at| Some((at, lines.get(at)?))) else {
        return Err(BenchProblem::missing(
            "This question is not part of today's round.",
        ));
    };
    let later = lines.iter().skip(at + 1).chain(lines.iter().take(at));
    let next = later
        .into_iter()
        .find(|line| !is_done(&now, &draft, line))
        .and_then(|line| link(line));
    let next = next.unwrap_or_else(|| "/round".to_string());
    let leg = now
        .round
        .legs
        .iter()
        .find(|leg| leg.lines.iter().any(|own| std::ptr::eq(own, *line)));
    let main = html! {
        p.faint {
            @if let Some(leg) = leg { bdi { (clean(&leg.title)) } }
            @if !line.place.is_empty() { ", " bdi { (clean(&line.place)) } }
            @if let Some(told) = waits(&draft, line) { " (" (clean(&[told.cell("answer"), told.cell("amount")].concat())) ", not saved yet)" }
            @else if is_done(&now, &draft, line) { " (done today)" }
        }
        @match &line.ask {
            Ask::Check(check) => (question(call, check, &next)),
            Ask::Count(count) => (count_form(call, count, &next)),
            Ask::Look { what, .. } => p { (clean(what)) },
        }
        p { a.act.quiet href=(next) { "Skip" } " " a.act.quiet href="/round" { "The whole round" } }
    };
    Ok(Reply::page(page(call, &now, "Round", &main)))
}

fn question(call: &Call, check: &RoundCheck, next: &str) -> Markup {
    let hidden = || {
        html! {
            input type="hidden" name="id" value=(entry_id());
            input type="hidden" name="check" value=(check.check);
            input type="hidden" name="where" value=(check.about);
            input type="hidden" name="back" value=(next);
        }
    };
    let answers = || {
        let fits = |answer: &&(&str, &str)| check.may_be_absent || answer.0 != "not present";
        ANSWERS.iter().filter(fits)
    };
    html! {
        p.question { (clean(&check.question)) }
        @if !check.about.is_empty() { p { bdi { (clean(&check.about)) } } }
        p { "Yes means: " (ended(&check.pass)) }
        p.faint { (ended(&check.due)) }
        @if call.may_log() {
            div.acts.answers {
                @for (answer, words) in answers() {
                    form method="post" action="/round/answer" {
                        (hidden())
                        input type="hidden" name="answer" value=(answer);
                        button type="submit" { (words) }
                    }
                }
            }
            details.more {
                summary { "With a photo or a note" }
                form.entry method="post" action="/round/answer" enctype="multipart/form-data" {
                    (hidden())
                    label.field { span { "Photo, at most 8 MB. Its place and device are removed." }
                        input type="file" name="photo" accept="image/jpeg,image/png" capture="environment"; }
                    label.field { span { "Note, such as what is wrong" } input name="note" autocomplete="off"; }
                    div.acts.answers { @for (answer, words) in answers() { button type="submit" name="answer" value=(answer) { (words) } } }
                }
            }
        }
    }
}

fn count_form(call: &Call, count: &RoundCount, next: &str) -> Markup {
    let id = count.container.as_str();
    let known = count.expected != "unknown";
    let hidden = || {
        html! {
            input type="hidden" name="id" value=(entry_id());
            input type="hidden" name="what" value=(What::Count.word());
            input type="hidden" name="container" value=(id);
            input type="hidden" name="back" value=(next);
        }
    };
    html! {
        p.question { "How much is in " bdi { (clean(id)) } "?" }
        p { bdi { (clean(&count.product)) } @if !count.remark.is_empty() { ", " (clean(&count.remark)) } }
        @if call.may_log() {
            @if known {
                form method="post" action="/round/answer" {
                    (hidden())
                    button type="submit" name="amount" value=(count.expected) { (count.expected) ", as in the book" }
                }
            }
            form.entry method="post" action="/round/answer" {
                (hidden())
                label.field { span { "Another amount" @if !count.unit.is_empty() { ", such as 3 " (count.unit) } } input name="amount" autocomplete="off" required; }
                button type="submit" { "This amount" }
            }
        }
    }
}

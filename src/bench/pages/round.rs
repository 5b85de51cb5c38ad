//! The round: one question on a screen, in walking order. Each answer is written at once, so that a round can be interrupted and
//! several people can walk it together.

use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{answer_buttons, ended, entry_link, page};
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::record::What;
use crate::report::{Ask, RoundCheck, RoundCount, RoundLine};
use crate::text::clean;
use maud::{Markup, html};

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

/// Was it answered or counted today?
fn is_done(now: &BenchNow, line: &RoundLine) -> bool {
    let today = now.at.day();
    match &line.ask {
        Ask::Check(check) => now.shop.tables.answers.iter().any(|answer| {
            answer.check == check.check
                && answer.place == check.about
                && answer.when.day() == today
                && answer.when <= now.at
        }),
        Ask::Count(count) => now.counted.contains(&count.container),
        Ask::Look { .. } => true,
    }
}

/// The whole round, leg by leg.
pub fn overview(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let lines: Vec<&RoundLine> = now.round.legs.iter().flat_map(|leg| &leg.lines).collect();
    let asked = lines.iter().filter(|line| line.number.is_some()).count();
    let open = lines.iter().filter(|line| !is_done(&now, line)).count();
    let next = lines
        .iter()
        .find(|line| !is_done(&now, line))
        .and_then(|line| link(line));
    let main = html! {
        p.count { strong { (asked.saturating_sub(open)) } " of " (asked) " done today. Each answer is saved at once." }
        @if let Some(next) = next { p { a.act href=(next) { "Go on with the round" } } }
        @for leg in &now.round.legs {
            section {
                h2 { bdi { (clean(&leg.title)) } }
                ul.things { @for line in &leg.lines { li { (row(&now, line)) } } }
            }
        }
    };
    Ok(Reply::page(page(call, &now, "Round", &main)))
}

fn row(now: &BenchNow, line: &RoundLine) -> Markup {
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
    html! {
        @if let Some(link) = link(line) {
            a.act href=(link) { span { @if is_done(now, line) { "Done: " } (words) } }
        } @else { p { (words) } }
    }
}

/// One line of the round.
pub fn ask(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
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
        .find(|line| !is_done(&now, line))
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
            @if is_done(&now, line) { " (done today)" }
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
    html! {
        p.question { (clean(&check.question)) }
        @if !check.about.is_empty() { p { bdi { (clean(&check.about)) } } }
        p { "Yes means: " (ended(&check.pass)) }
        p.faint { (ended(&check.due)) }
        (answer_buttons(call, &check.check, &check.about, check.may_be_absent, next))
    }
}

fn count_form(call: &Call, count: &RoundCount, next: &str) -> Markup {
    let id = count.container.as_str();
    let known = count.expected != "unknown";
    html! {
        p.question { "How much is in " bdi { (clean(id)) } "?" }
        p { bdi { (clean(&count.product)) } @if !count.remark.is_empty() { ", " (clean(&count.remark)) } }
        @if call.may_log() {
            @if known {
                div.acts { (entry_link(What::Count, &[("container", id), ("amount", &count.expected)], next, &html! { (count.expected) ", as in the book" })) }
            }
            form.entry method="get" action="/entry" {
                input type="hidden" name="what" value=(What::Count.word());
                input type="hidden" name="container" value=(id);
                input type="hidden" name="back" value=(next);
                label.field { span { "Another amount" @if !count.unit.is_empty() { ", such as 3 " (count.unit) } } input name="amount" autocomplete="off" required; }
                button type="submit" { "Next" }
            }
        }
    }
}

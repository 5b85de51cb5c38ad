//! Closing time as one list to tick off.

use super::now::card;
use crate::bench::buttons::answer_buttons;
use crate::bench::call::{Call, Reply};
use crate::bench::frame::{ended, page};
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::check::{Account, ClosingLine, ClosingTopic};
use crate::text::clean;
use maud::{Markup, html};

pub fn closing(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let lines = |account: Account| {
        now.closing
            .lines
            .iter()
            .filter(move |line| line.standing == account)
    };
    let open = now.closing.open();
    let main = html! {
        p.count { strong { (open) } " of " (now.closing.lines.len()) " lines are open." }
        @if open == 0 {
            p.calm { "Nothing is open on this list. It knows only what is in the log, and it does not show that a rag or a room is safe." }
        }
        @for line in lines(Account::Open) { (line_card(call, &now, line)) }
        @for line in lines(Account::Warned) { (line_card(call, &now, line)) }
        @if lines(Account::Accounted).next().is_some() {
            h2 { "Accounted for" }
            ul.things {
                @for line in lines(Account::Accounted) {
                    li { p { bdi { (clean(&line.subject)) } ": " (ended(&line.observed)) } }
                }
            }
        }
    };
    Ok(Reply::page(page(call, &now, "Closing", &main)))
}

fn line_card(call: &Call, now: &BenchNow, line: &ClosingLine) -> Markup {
    match line.about {
        ClosingTopic::Question => question(call, now, line),
        ClosingTopic::OilyRag | ClosingTopic::Can | ClosingTopic::Rag | ClosingTopic::Bench => {
            card(call, now, line)
        }
    }
}

/// A question of the evening with its answers as buttons.
fn question(call: &Call, now: &BenchNow, line: &ClosingLine) -> Markup {
    let Some(question) = now.shop.reference.round.find(&line.subject) else {
        return card(call, now, line);
    };
    html! {
        article.card.open {
            h2 { (clean(&question.question)) }
            p { bdi { (clean(&line.place)) } }
            p.faint { "Yes means: " (ended(&question.pass)) }
            (answer_buttons(call, &question.check, &line.place, question.may_be_absent, "/closing"))
        }
    }
}

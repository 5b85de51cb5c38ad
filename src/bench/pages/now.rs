//! What is open at this minute, worst first; and the same for a wall, readable across the room.

use crate::audit::Thing;
use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{page, settle_links, wall as wall_page};
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::bench::when::{age, shown_clock, shown_day};
use crate::check::{Account, ClosingLine, ClosingTopic};
use crate::finding::SubjectKind;
use crate::quantity::Moment;
use crate::text::clean;
use maud::{Markup, html};

/// The wall looks again after so many seconds.
const WALL_SECONDS: u32 = 20;
/// So many things of a list are shown; the rest are counted.
const MOST: usize = 25;
/// Containers that were used last.
const RECENT: usize = 6;
/// Said where nothing is open.
const NOTHING: &str =
    "Nothing is open by what is recorded. Only what somebody wrote down is known here.";

/// The page.
pub fn now(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let open = rags_and_cans(&now);
    let to_do = &now.to_do;
    let today: Vec<&Thing> = to_do
        .now
        .iter()
        .chain(&to_do.today)
        .filter(|thing| !is_shown(thing, &open))
        .collect();
    let main = html! {
        p.faint { (shown_day(now.at.day())) ", " (shown_clock(now.at, now.us())) }
        @if open.is_empty() && today.is_empty() { p.calm { (NOTHING) } }
        @if !open.is_empty() {
            section aria-label="Rags and cans" {
                @for line in &open { (card(call, &now, line)) }
            }
        }
        @if call.may_log() { (recent(&now)) }
        @if !today.is_empty() {
            section {
                h2 { "Before the day is over" }
                (things(&now, &today))
            }
        }
        @if !to_do.this_week.is_empty() {
            details {
                summary { "This week: " (to_do.this_week.len()) }
                (things(&now, &to_do.this_week.iter().collect::<Vec<_>>()))
            }
        }
        @if !to_do.find_out.is_empty() {
            details {
                summary { "Not recorded yet: " (to_do.find_out.len()) }
                (things(&now, &to_do.find_out.iter().collect::<Vec<_>>()))
            }
        }
    };
    Ok(Reply::page(page(call, &now, "Now", &main)))
}

/// Rags and cans that are not accounted for at this minute.
fn rags_and_cans(now: &BenchNow) -> Vec<&ClosingLine> {
    let about = |topic| {
        matches!(
            topic,
            ClosingTopic::OilyRag | ClosingTopic::Can | ClosingTopic::Rag
        )
    };
    let lines = now.closing.lines.iter();
    lines
        .filter(|line| line.standing == Account::Open && about(line.about))
        .collect()
}

/// Is a thing shown among the rags and cans already?
fn is_shown(thing: &Thing, open: &[&ClosingLine]) -> bool {
    open.iter().any(|line| line.subject == thing.subject.id)
}

/// A line of the closing list, with its age and what settles it.
pub fn card(call: &Call, now: &BenchNow, line: &ClosingLine) -> Markup {
    let oily = line.about == ClosingTopic::OilyRag;
    let kind = match line.standing {
        Account::Open if oily => "card danger",
        Account::Open => "card open",
        Account::Warned => "card warned",
        Account::Accounted => "card",
    };
    html! {
        article class=(kind) {
            h2 { bdi { (clean(&line.subject)) } }
            @if let Some(since) = line.since {
                p.age data-since=(now.at.minutes_since(since)) { (age(now.at.minutes_since(since))) }
            }
            p { (clean(&line.observed)) "." }
            p.action { (clean(&line.action)) }
            (settle_links(call, line, call.here.split('?').next().unwrap_or("/")))
        }
    }
}

fn things(now: &BenchNow, list: &[&Thing]) -> Markup {
    html! {
        ul.things {
            @for thing in list.iter().take(MOST) {
                li {
                    p.action { (clean(&thing.action)) }
                    p.faint {
                        (subject(now, thing))
                        @if !thing.product.is_empty() { ", " bdi { (clean(&thing.product)) } }
                        @if !thing.place.is_empty() { ", " bdi { (clean(&thing.place)) } }
                        @if let Some(due) = thing.due { ", due " (shown_day(due)) }
                    }
                }
            }
        }
        @if list.len() > MOST { p { (list.len() - MOST) " more." } }
    }
}

/// The name of a thing, with a link to where it can be settled.
fn subject(now: &BenchNow, thing: &Thing) -> Markup {
    let id = &thing.subject.id;
    let link = match thing.subject.kind {
        SubjectKind::Container => now.row(id).map(|_| format!("/container/{}", url(id))),
        SubjectKind::Rag => Some("/rags".to_string()),
        SubjectKind::Check => Some("/round".to_string()),
        SubjectKind::Place | SubjectKind::Room | SubjectKind::Shop => None,
    };
    html! {
        @match link {
            Some(link) => a href=(link) { bdi { (clean(id)) } },
            None => bdi { (clean(id)) },
        }
    }
}

/// Links to the containers that were used last.
fn recent(now: &BenchNow) -> Markup {
    let list = now.last_used(RECENT);
    html! {
        @if !list.is_empty() {
            section {
                h2 { "Used last" }
                div.acts {
                    @for (container, product) in list {
                        a.act href={ "/container/" (url(container)) } {
                            bdi { (clean(container)) } " " small { bdi { (clean(product)) } }
                        }
                    }
                }
            }
        }
    }
}

/// The wall: large letters, no buttons.
pub fn wall(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let open = rags_and_cans(&now);
    let rags = open.iter().any(|line| line.about == ClosingTopic::OilyRag);
    let soon = rags && closes_soon(&now);
    let main = html! {
        @if soon { p.closing-soon { strong { "The shop closes soon, and a rag is open." } } }
        h1 {
            @match open.len() {
                0 => { "No rag and no can is open by the log" }
                1 => { "1 thing is open" }
                count => { (count) " things are open" }
            }
        }
        ul.lines {
            @for line in open.iter().take(8) {
                li class=(if line.about == ClosingTopic::OilyRag { "danger" } else { "open" }) {
                    strong { bdi { (clean(&line.subject)) } " at " bdi { (clean(&line.place)) } }
                    @if let Some(since) = line.since { " " span.age { (age(now.at.minutes_since(since))) } }
                }
            }
        }
        p {
            (shown_clock(now.at, now.us()))
            @let due = now.to_do.now.len() + now.to_do.today.len();
            @if due > 0 { " · " (due) " more for today on the page Now" }
        }
    };
    Ok(Reply::page(wall_page(&now, "Wall", WALL_SECONDS, &main)))
}

/// Is it an hour before closing time, or later?
fn closes_soon(now: &BenchNow) -> bool {
    let closes = now.shop.tables.shop.bench.closes;
    let minutes = now.at.minutes_since(Moment::start_of(now.at.day()));
    closes.is_some_and(|closes| minutes + 60 >= i64::from(closes))
}

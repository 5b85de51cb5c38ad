//! What is open at this minute, worst first; and the same for a wall, readable across the room.

use crate::bench::buttons::settle_links;
use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{ended, page, wall as wall_page};
use crate::bench::problem::BenchProblem;
use crate::bench::round_draft::RoundDraft;
use crate::bench::state::BenchNow;
use crate::bench::when::age;
use crate::check::{Account, ClosingLine, ClosingTopic};
use crate::finding::{Subject, SubjectKind};
use crate::quantity::Moment;
use crate::report::words::{ActionLine, clock, date};
use crate::text::clean;
use maud::{Markup, html};

/// The wall looks again after so many seconds.
const WALL_SECONDS: u32 = 20;
/// So many things of a list are shown; the rest are counted.
const MOST: usize = 25;
/// So many links stand under a line.
const LINKS: usize = 6;
/// Containers that were used last.
const RECENT: usize = 6;
/// Said where nothing is open.
const NOTHING: &str = "Nothing is open in the records. This page knows only what is in them.";

pub fn now(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let open = rags_and_cans(&now);
    let to_do = &now.to_do;
    let today: Vec<&ActionLine> = to_do
        .now
        .iter()
        .chain(&to_do.today)
        .filter(|thing| !is_shown(thing, &open))
        .collect();
    let main = html! {
        p.faint { (date(now.at.day())) ", " (clock(now.at, now.us())) }
        @if open.is_empty() && today.is_empty() { p.calm { (NOTHING) } }
        (round(call)?)
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

/// A round that waits to be saved.
fn round(call: &Call) -> Result<Markup, BenchProblem> {
    let count = RoundDraft::read(call.bench.folder())?.lines.len();
    Ok(html! {
        @if count > 0 {
            article.card.open {
                h2 { @if count == 1 { "1 answer of a round is not saved" } @else { (count) " answers of a round are not saved" } }
                p { a.act href="/round" { "Go to the round" } }
            }
        }
    })
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

/// Is a line shown among the rags and cans already?
fn is_shown(line: &ActionLine, open: &[&ClosingLine]) -> bool {
    let shown = |subject: &Subject| open.iter().any(|line| line.subject == subject.id);
    !line.subjects.is_empty() && line.subjects.iter().all(shown)
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
            h2 { bdi { (clean(&line.subject)) } @if !line.place.is_empty() && line.place != line.subject { " at " bdi { (clean(&line.place)) } } }
            @if let Some(since) = line.since {
                p.age data-since=(now.at.minutes_since(since)) { (age(now.at.minutes_since(since))) }
            }
            p { (ended(&line.observed)) }
            p.action { (ended(&line.action)) }
            (settle_links(call, line, call.here.split('?').next().unwrap_or("/")))
        }
    }
}

fn things(now: &BenchNow, list: &[&ActionLine]) -> Markup {
    html! {
        ul.things {
            @for line in list.iter().take(MOST) {
                li {
                    p.action { (clean(&line.text)) }
                    @if !line.says_all && !line.fact.is_empty() { p { (clean(&line.fact)) } }
                    p.faint {
                        @if let Some(deadline) = &line.deadline { (clean(deadline)) ". " }
                        @if let Some(person) = &line.person { bdi { (clean(person)) } ". " }
                        (clean(&line.law))
                    }
                    (links(now, line))
                }
            }
        }
        @if list.len() > MOST { p { (list.len() - MOST) " more." } }
    }
}

/// Links to where the things of a line can be settled.
fn links(now: &BenchNow, line: &ActionLine) -> Markup {
    let mut list: Vec<(String, &str)> = Vec::new();
    for subject in &line.subjects {
        let id = subject.id.as_str();
        let link = match subject.kind {
            SubjectKind::Container => now.row(id).map(|_| (format!("/container/{}", url(id)), id)),
            SubjectKind::Rag => Some(("/rags".to_string(), "Rags")),
            SubjectKind::Check => Some(("/round".to_string(), "Round")),
            SubjectKind::Place | SubjectKind::Room | SubjectKind::Shop | SubjectKind::Person => {
                None
            }
        };
        list.extend(link.filter(|link| !list.contains(link)));
    }
    html! {
        @if !list.is_empty() {
            p.links { @for (to, words) in list.iter().take(LINKS) { a href=(to) { bdi { (clean(words)) } } " " } }
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
                            span { bdi { (clean(container)) } " " small { bdi { (clean(product)) } } }
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
                    strong {
                        bdi { (clean(&line.subject)) }
                        @if !line.place.is_empty() && line.place != line.subject { " at " bdi { (clean(&line.place)) } }
                    }
                    @if let Some(since) = line.since { " " span.age { (age(now.at.minutes_since(since))) } }
                }
            }
        }
        p {
            (clock(now.at, now.us()))
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

//! What all pages share: head, navigation, the line of state, messages, buttons.

use super::assets::{script_path, style_path};
use super::call::Call;
use super::problem::BenchProblem;
use super::recent::LogLine;
use super::secret::entry_id;
use super::state::BenchNow;
use super::when::shown_moment;
use crate::quantity::Moment;
use crate::record::What;
use crate::report::words::date;
use crate::text::clean;
use axum::http::StatusCode;
use maud::{DOCTYPE, Markup, html};

/// An entry can be taken back by one tap for so many minutes.
pub const UNDO_MINUTES: i64 = 10;

/// Under every page.
const SCREENING: &str = "A screening aid, not a certificate. Local codes, the safety data sheet of each product and a licensed \
                         practitioner come first. Nothing here shows that a room or a pile of oily rags is safe.";

/// The main pages: where, and what they are called.
const MAIN: [(&str, &str); 5] = [
    ("/", "Now"),
    ("/work", "Log"),
    ("/rags", "Rags"),
    ("/closing", "Closing"),
    ("/more", "More"),
];

fn document(title: &str, refresh: Option<u32>, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                @if let Some(seconds) = refresh { noscript { meta http-equiv="refresh" content=(seconds); } }
                title { (title) }
                link rel="stylesheet" href=(style_path());
                script src=(script_path()) defer {}
            }
            body data-refresh=[refresh] { (body) }
        }
    }
}

/// A page of the shop.
pub fn page(call: &Call, now: &BenchNow, title: &str, main: &Markup) -> Markup {
    let shop = &now.shop.tables.shop.name;
    let path = call.here.split('?').next().unwrap_or_default();
    let body = html! {
        a.skip href="#main" { "Skip to the page" }
        header {
            p.shop { bdi { (clean(shop)) } }
            nav aria-label="Main pages" {
                ul {
                    @for (to, words) in MAIN.into_iter().filter(|(to, _)| *to != "/work" || call.may_log()) {
                        li { a href=(to) aria-current=[(to == path).then_some("page")] { (words) } }
                    }
                }
            }
        }
        (unencrypted(call))
        (ahead(now))
        p #waiting role="status" {}
        main #main {
            h1 { (title) }
            (logged(call, now))
            (main)
        }
        (footer())
    };
    document(&format!("{title}: {}", clean(shop)), None, &body)
}

/// A page for the wall, which looks again by itself.
pub fn wall(now: &BenchNow, title: &str, seconds: u32, main: &Markup) -> Markup {
    let body =
        html! { p #waiting role="status" {} main #main.wall { (ahead(now)) (main) } (footer()) };
    let title = format!("{title}: {}", clean(&now.shop.tables.shop.name));
    document(&title, Some(seconds), &body)
}

/// A page that knows nothing of the shop.
pub fn bare(title: &str, main: &Markup) -> Markup {
    let body = html! {
        main #main { h1 { (title) } (main) }
        (footer())
    };
    document(title, None, &body)
}

fn footer() -> Markup {
    html! { footer { p { (SCREENING) } } }
}

fn unencrypted(call: &Call) -> Markup {
    html! {
        @if call.bench.pairing().is_some() && !call.bench.encrypted {
            p.open { "This connection is not encrypted. Others on the network can read what is sent." }
        }
    }
}

/// Entries and answers that lie ahead of the clock are not counted, so a page without them cannot be trusted.
fn ahead(now: &BenchNow) -> Markup {
    let entries = now.stock.ahead.map(|(_, last)| last);
    let later = now.stock.last_entry.filter(|last| *last > now.at);
    let answers = now.shop.answers_ahead.map(|(_, last)| last);
    let begins = now.shop.tables.containers_after(now.at.day());
    html! {
        @if let Some(last) = entries.max(later).max(answers) {
            p.open {
                "Some entries or answers are ahead of this computer's clock, up to " (shown_moment(last, now.at.day(), now.us()))
                ". This page may be wrong. Set the clock, or correct them in log.csv and checks.csv."
            }
        }
        @if let Some((_, last)) = begins {
            p.open {
                "Some containers begin after today, up to " (date(last))
                ". They are not counted here. Set the clock, or correct the column \"since\" of inventory.csv."
            }
        }
    }
}

/// What was just logged, and the button that takes it back.
fn logged(call: &Call, now: &BenchNow) -> Markup {
    let number = call.text("logged");
    let line = now.recent.iter().rev().find(|line| line.entry == number);
    let (Some(line), false) = (line, number.is_empty()) else {
        return html! {};
    };
    let words = if line.is_corrected {
        "is taken back"
    } else {
        "is logged"
    };
    html! {
        div.done role="status" {
            p { strong { "Entry " (line.entry) " " (words) "." } " " (line_words(line, now)) }
            (undo(call, now, line))
        }
    }
}

/// The button that takes an entry back, while it may.
pub fn undo(call: &Call, now: &BenchNow, line: &LogLine) -> Markup {
    let written = Moment::parse(line.cell("written")).ok();
    let fresh = written.is_some_and(|written| now.at.minutes_since(written) <= UNDO_MINUTES);
    let may = call.may_log() && fresh && !line.is_corrected && line.cell("what") != "correct";
    html! {
        @if may {
            form method="post" action="/undo" {
                input type="hidden" name="id" value=(entry_id());
                input type="hidden" name="entry" value=(line.entry);
                input type="hidden" name="back" value=(path_of(call));
                @let more = now.sent_together(line).len();
                button.quiet type="submit" { "Undo entry " (line.entry) @if more > 1 { " and what was logged with it" } }
            }
        }
    }
}

/// This page without its query.
fn path_of(call: &Call) -> &str {
    call.here.split('?').next().unwrap_or("/")
}

/// An entry of the log in words.
pub fn line_words(line: &LogLine, now: &BenchNow) -> Markup {
    let cell = |column: &str| clean(line.cell(column));
    let when = Moment::parse(line.cell("when")).ok();
    let when = when.map_or_else(
        || cell("when"),
        |when| shown_moment(when, now.at.day(), now.us()),
    );
    let what = What::parse(line.cell("what"));
    html! {
        (what_words(what)) @if !line.cell("container").is_empty() { " " bdi { (cell("container")) } }
        @if !line.cell("amount").is_empty() { ", " (cell("amount")) }
        @if !line.cell("into").is_empty() {
            @if what == Some(What::Correct) { " entry " } @else { ", " (into_words(what)) " " }
            bdi { (cell("into")) }
        }
        @if !line.cell("from").is_empty() { ", from " bdi { (cell("from")) } }
        @if !line.cell("place").is_empty() { ", at " bdi { (cell("place")) } }
        ", " (when)
        @if !line.cell("by").is_empty() { ", " bdi { (cell("by")) } }
    }
}

/// What was done, as a heading of an entry.
pub fn what_words(what: Option<What>) -> &'static str {
    match what {
        Some(What::Receive) => "Received",
        Some(What::Open) => "Opened",
        Some(What::Move) => "Moved",
        Some(What::Mix) => "Mixed from",
        Some(What::Decant) => "Poured from",
        Some(What::Use) => "Used from",
        Some(What::Soil) => "Soiled",
        Some(What::Discard) => "Discarded",
        Some(What::Spread) => "Laid flat",
        Some(What::Soak) => "Put under water",
        Some(What::Bin) => "Into the rag can",
        Some(What::Empty) => "Emptied",
        Some(What::Test) => "Tested",
        Some(What::Count) => "Counted",
        Some(What::Correct) => "Corrected",
        None => "Answered",
    }
}

fn into_words(what: Option<What>) -> &'static str {
    match what {
        Some(What::Soil) => "with",
        Some(What::Test) => "test",
        Some(_) | None => "into",
    }
}

/// A text as a sentence: with one full stop.
pub fn ended(text: &str) -> String {
    let text = clean(text);
    let text = text.trim_end();
    match text.ends_with(['.', '!', '?']) {
        true => text.to_string(),
        false => format!("{text}."),
    }
}

/// A problem on a page of the shop, or on its own where the shop cannot be read.
pub fn problem_page(call: &Call, problem: &BenchProblem) -> Markup {
    let inner = html! {
        (problem_words(problem))
        @if problem.may_be_logged { (anyway(call)) }
        @if !call.text("what").is_empty() && problem.status == StatusCode::UNPROCESSABLE_ENTITY { (correct(call)) }
        p { a.act.quiet href=(call.back()) { "Go back" } }
    };
    match call.bench.now() {
        Ok(now) if call.caller.is_some() => page(call, &now, "Not done", &inner),
        Ok(_) | Err(_) => bare("Not done", &inner),
    }
}

/// The form once more, for what has happened already.
fn anyway(call: &Call) -> Markup {
    html! {
        form method="post" action="/entry" {
            @for (name, text) in call.fields.iter().filter(|(name, _)| name != "anyway") {
                input type="hidden" name=(name) value=(text);
            }
            input type="hidden" name="anyway" value="yes";
            button type="submit" { "It has happened: log it" }
        }
    }
}

/// The fields of an entry that a person may have got wrong, as they are called on the page.
const CORRECTED: [(&str, &str); 8] = [
    ("container", "Container"),
    ("amount", "Amount"),
    ("into", "Into"),
    ("from", "From"),
    ("place", "Place"),
    ("minutes", "Minutes"),
    ("when", "When, such as 5pm or yesterday 17:30"),
    ("note", "Note"),
];

/// The same form again, with what was typed in it.
fn correct(call: &Call) -> Markup {
    let words = |name: &str| CORRECTED.iter().find(|(own, _)| *own == name);
    html! {
        details.more open {
            summary { "Correct it" }
            form.entry method="get" action="/entry" {
                @for (name, text) in call.fields.iter().filter(|(name, _)| !matches!(name.as_str(), "id" | "anyway" | "typed" | "sent")) {
                    @match words(name) {
                        Some((_, words)) => label.field { span { (words) } input name=(name) value=(text) autocomplete="off"; },
                        None => input type="hidden" name=(name) value=(text);,
                    }
                }
                button type="submit" { "Next" }
            }
        }
    }
}

/// What is wrong and what to do.
pub fn problem_words(problem: &BenchProblem) -> Markup {
    html! {
        div.problem role="alert" {
            p { strong { (clean(&problem.wrong)) } }
            p { (clean(&problem.fix)) }
            @for line in &problem.more { p.more { (clean(line)) } }
        }
    }
}

/// A problem on a page that knows nothing of the shop.
pub fn bare_problem(problem: &BenchProblem) -> Markup {
    bare("Not done", &problem_words(problem))
}

/// A problem as lines for the script: what became of it, then the words.
pub fn problem_lines(problem: &BenchProblem) -> String {
    let state = match problem {
        _ if problem.is_passing() => "later",
        _ if problem.status == StatusCode::UNAUTHORIZED => "unpaired",
        _ if problem.may_be_logged => "against",
        _ => "refused",
    };
    let mut text = format!(
        "{state}\n\n\n{} {}",
        clean(&problem.wrong),
        clean(&problem.fix)
    );
    for line in &problem.more {
        text.push_str(&format!("\n{}", clean(line)));
    }
    text
}

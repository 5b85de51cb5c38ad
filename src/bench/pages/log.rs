//! Logging: the working page that stays usable without the server, what an entry would do, and the entry itself.

use crate::bench::call::{Call, Reply, url};
use crate::bench::effect::effect;
use crate::bench::entry::sent;
use crate::bench::frame::{page, what_words};
use crate::bench::problem::BenchProblem;
use crate::bench::secret::entry_id;
use crate::bench::sent::{Sent, Written};
use crate::bench::state::BenchNow;
use crate::bench::when::shown_moment;
use crate::bench::write::{Planned, against, look, write};
use crate::quantity::Moment;
use crate::record::{Vessel, What};
use crate::report::words::moment;
use crate::stock::UnclearWhy;
use crate::text::clean;
use axum::http::StatusCode;
use maud::{Markup, html};

/// What an entry of the working page asks, beside what was done.
#[derive(Clone, Copy)]
enum FieldAsked {
    Container,
    Rags,
    Amount,
    Pieces,
    Into,
    With,
    Place,
    Minutes,
    Result,
}

/// The forms of the working page, the most frequent first.
const FORMS: [(What, &str, &[FieldAsked]); 13] = [
    (
        What::Use,
        "Used on the work",
        &[
            FieldAsked::Container,
            FieldAsked::Amount,
            FieldAsked::Minutes,
        ],
    ),
    (
        What::Soil,
        "Rags got finish on them",
        &[
            FieldAsked::Rags,
            FieldAsked::Pieces,
            FieldAsked::With,
            FieldAsked::Place,
        ],
    ),
    (
        What::Soak,
        "Rags put under water",
        &[FieldAsked::Rags, FieldAsked::Pieces, FieldAsked::Place],
    ),
    (
        What::Spread,
        "Rags laid flat outdoors",
        &[FieldAsked::Rags, FieldAsked::Pieces, FieldAsked::Place],
    ),
    (
        What::Bin,
        "Rags put into the rag can",
        &[FieldAsked::Rags, FieldAsked::Pieces, FieldAsked::Place],
    ),
    (What::Empty, "A can emptied outdoors", &[FieldAsked::Place]),
    (
        What::Decant,
        "Poured into another container of the same product",
        &[FieldAsked::Container, FieldAsked::Amount, FieldAsked::Into],
    ),
    (
        What::Mix,
        "Mixed into something else, or into waste",
        &[FieldAsked::Container, FieldAsked::Amount, FieldAsked::Into],
    ),
    (
        What::Open,
        "Opened for the first time",
        &[FieldAsked::Container],
    ),
    (
        What::Count,
        "Counted or measured",
        &[FieldAsked::Container, FieldAsked::Amount],
    ),
    (
        What::Move,
        "Moved",
        &[FieldAsked::Container, FieldAsked::Place],
    ),
    (
        What::Test,
        "Tested",
        &[FieldAsked::Container, FieldAsked::Result],
    ),
    (
        What::Discard,
        "Discarded",
        &[FieldAsked::Container, FieldAsked::Amount],
    ),
];

/// One document with every form and every name in it. It holds no secret and no figure, so a browser may keep it.
pub fn work(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let main = html! {
        p { "Choose what was done. Without the shop's computer, entries wait on this device and are sent later." }
        section #queue aria-label="Waiting entries" hidden {}
        (names(&now))
        @for (what, words, asks) in FORMS {
            details.more {
                summary { (words) }
                form.entry method="get" action="/entry" {
                    input type="hidden" name="what" value=(what.word());
                    input type="hidden" name="back" value="/work";
                    @for ask in asks { (field(&now, *ask, what)) }
                    button type="submit" { "Next" }
                }
            }
        }
    };
    Ok(Reply {
        cache: "private, no-cache",
        ..Reply::page(page(call, &now, "Log", &main))
    })
}

/// The names that fields offer, each list once.
fn names(now: &BenchNow) -> Markup {
    let tables = &now.shop.tables;
    html! {
        datalist #containers {
            @for row in tables.containers.iter().filter(|row| !row.vessel.is_some_and(Vessel::is_cloth)) {
                option value=(row.id) { (clean(&row.product)) }
            }
        }
        datalist #places {
            @for place in &tables.places { option value=(place.id) { (place.kind.word()) } }
        }
    }
}

fn field(now: &BenchNow, ask: FieldAsked, what: What) -> Markup {
    let tables = &now.shop.tables;
    let rags = tables
        .containers
        .iter()
        .filter(|row| row.vessel.is_some_and(Vessel::is_cloth));
    // Without a number all that are meant are taken.
    let needed = !matches!(what, What::Discard | What::Soak | What::Spread | What::Bin);
    html! {
        @match ask {
            FieldAsked::Container => label.field { span { "Container" } input name="container" list="containers" autocomplete="off" required; },
            FieldAsked::Rags => label.field { span { "Which rags" } select name="container" { @for row in rags { option value=(row.id) { (clean(&row.id)) } } } },
            FieldAsked::Amount => label.field { span { "Amount, such as 3 fl oz" } input name="amount" autocomplete="off" required[needed]; },
            FieldAsked::Pieces => label.field { span { "How many" } input name="amount" inputmode="numeric" autocomplete="off" required[needed]; },
            FieldAsked::Into => label.field { span { "Into which container" } input name="into" list="containers" autocomplete="off" required; },
            FieldAsked::With => label.field { span { "With what, if known" } input name="into" list="containers" autocomplete="off"; },
            FieldAsked::Place => label.field { span { "Place" } input name="place" list="places" autocomplete="off" required[what != What::Soil]; },
            FieldAsked::Minutes => label.field { span { "Minutes of work, if known" } input name="minutes" inputmode="numeric" autocomplete="off"; },
            FieldAsked::Result => label.field { span { "Result" } select name="result" { option { "pass" } option { "retest" } option { "fail" } } },
        }
    }
}

/// What an entry would do. Nothing is written yet.
pub fn preview(call: &Call) -> Result<Reply, BenchProblem> {
    may_correct(call)?;
    let now = call.bench.now()?;
    let mut call = call.with_fields(call.fields.clone());
    if call.text("id").is_empty() {
        call.fields
            .retain(|(name, text)| name != "id" && !text.trim().is_empty());
        call.fields.push(("id".into(), entry_id()));
    }
    let entry = sent(&call, &now)?;
    let planned = look(&call.bench, &entry)?;
    let stops = against(&planned.store.shop, &planned.plan, &entry).is_some();
    let main = html! {
        (sentences(&entry))
        (effect(&planned, &entry))
        (batches(&call, &planned))
        form.log method="post" action="/entry" {
            @for (name, text) in settled(&call, &entry) { input type="hidden" name=(name) value=(text); }
            @if stops { input type="hidden" name="anyway" value="yes"; }
            button type="submit" { @if stops { "It has happened: log it" } @else { "Log it" } }
            (who_and_when(&call, &entry, &now))
        }
        p { a.act.quiet href=(call.back()) { "Go back" } }
    };
    Ok(Reply::page(page(&call, &now, "Log this?", &main)))
}

/// The fields with names and amounts as the tables write them: sent again later, `half` still means the same.
fn settled<'a>(call: &'a Call, entry: &'a Sent) -> Vec<(&'a str, &'a str)> {
    let own = |name: &str| !matches!(name, "anyway" | "by" | "when");
    let fields = call.fields.iter().filter(|(name, _)| own(name));
    let list = fields.map(|(name, text)| {
        let understood = match name.as_str() {
            "container" | "amount" | "into" | "from" | "place" => entry.cell(name),
            _ => "",
        };
        let text = if understood.is_empty() {
            text.as_str()
        } else {
            understood
        };
        (name.as_str(), text)
    });
    list.collect()
}

/// The groups of rags that the entry could mean, each as a link that names it.
fn batches(call: &Call, planned: &Planned) -> Markup {
    let (plan, tables) = (&planned.plan, &planned.plan.shop.tables);
    let link = |what: What, from: &str| {
        let fields = call.fields.iter();
        let fields = fields.filter(|(name, _)| !matches!(name.as_str(), "id" | "from" | "anyway"));
        let mut link = format!("/entry?from={}", url(from));
        for (name, text) in fields {
            let text = if name == "what" { what.word() } else { text };
            link.push_str(&format!("&{}={}", url(name), url(text)));
        }
        link
    };
    html! {
        @for entry in plan.unclear.iter().filter(|entry| entry.why != UnclearWhy::TooEarly) {
            p { "Which of them?" }
            div.acts {
                @for batch in &entry.could_be {
                    @if let Some(from) = plan.before.source_word(tables, (entry.container, batch), entry.clear_kind()) {
                        a.act href=(link(entry.clear_kind(), &from)) { span {
                            (batch.pieces.digits()) " " (batch.state.words().state) ", "
                            bdi { (clean(&tables.location_name(batch.location).unwrap_or_else(|| "unknown place".into()))) }
                            @if let Some(since) = batch.since { ", since " (moment(since, tables.shop.us)) }
                        } }
                    }
                }
            }
        }
    }
}

/// Who did it and when, to be changed if it was another person or earlier.
fn who_and_when(call: &Call, entry: &Sent, now: &BenchNow) -> Markup {
    let by = entry.cell("by");
    let at = shown_moment(entry.when, now.at.day(), now.us());
    let when = match call.text("when") {
        "" => String::new(),
        _ => entry.when.to_string(),
    };
    html! {
        details.more {
            summary { span { @if by.is_empty() { "Person not recorded" } @else { "By " bdi { (clean(by)) } } ", " (at) } }
            label.field { span { "Who did it" } input name="by" value=(by) autocomplete="off"; }
            label.field { span { "When, such as 5pm or yesterday 17:30; empty for now" } input name="when" value=(when) autocomplete="off"; }
        }
    }
}

/// What was done, in a sentence each: "Used 4 fl oz from A-1, 30 min".
fn sentences(entry: &Sent) -> Markup {
    html! { @for cells in entry.entries() { p.what { strong { (sentence(cells)) } } } }
}

fn sentence(cells: &[(&'static str, String)]) -> Markup {
    let found = |column: &str| cells.iter().find(|(name, _)| *name == column);
    let cell = |column: &str| found(column).map_or_else(String::new, |(_, text)| clean(text));
    let has = |column: &str| !cell(column).is_empty();
    let what = What::parse(&cell("what"));
    let takes = matches!(what, Some(What::Use | What::Mix | What::Decant));
    let verb = what_words(what).trim_end_matches(" from");
    let corrects = what == Some(What::Correct);
    html! {
        (verb)
        @if corrects { " entry " (cell("into")) ":" }
        @if has("amount") { " " (cell("amount")) @if has("container") { @if takes { " from" } @else { " of" } } }
        @if has("container") { " " bdi { (cell("container")) } }
        @if has("into") && !corrects {
            @if what == Some(What::Soil) { " with " } @else if what == Some(What::Test) { ", test " } @else { " into " }
            bdi { (cell("into")) }
        }
        @if has("from") { " from " bdi { (cell("from")) } }
        @if has("place") { @if what == Some(What::Move) { " to " } @else { " at " } bdi { (cell("place")) } }
        @if has("minutes") { ", " (cell("minutes")) " min" }
        @if has("note") { @if !corrects { ":" } " " (cell("note")) }
    }
}

/// Writes an entry or an answer, once however often it is sent.
pub fn entry(call: &Call) -> Result<Reply, BenchProblem> {
    may_correct(call)?;
    logged(call)
}

/// Corrections of what others logged, or long ago, are for the office.
fn may_correct(call: &Call) -> Result<(), BenchProblem> {
    let corrects = What::parse(call.text("what")) == Some(What::Correct);
    match corrects && !call.may_manage() {
        false => Ok(()),
        true => Err(BenchProblem::new(
            StatusCode::FORBIDDEN,
            "Only an owner corrects entries.",
            "Ask the owner. An entry of the last ten minutes can be taken back on the page where it was logged.",
        )),
    }
}

fn logged(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let entry = sent(call, &now)?;
    let written = write(&call.bench, &entry)?;
    Ok(told(
        call,
        &entry,
        &written,
        &shown_moment(call.bench.clock().now(), now.at.day(), now.us()),
    ))
}

fn told(call: &Call, entry: &Sent, written: &Written, at: &str) -> Reply {
    let number = written.numbers.first().map_or("", String::as_str);
    let back = call.back();
    let joint = if back.contains('?') { '&' } else { '?' };
    let place = match number {
        "" => back.to_string(),
        number => format!("{back}{joint}logged={number}"),
    };
    if !call.plain {
        return Reply::see(place);
    }
    // The script removes what waits only when the answer names its id.
    let state = if written.already {
        "already"
    } else {
        "written"
    };
    let words = match number {
        "" => format!("Answered at {at}."),
        number => format!("Entry {number} is logged."),
    };
    Reply::lines(format!("{state}\n{}\n{place}\n{words}", entry.id))
}

/// Takes an entry back, while it may be.
pub fn undo(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let number = call.cell("entry")?;
    let line = now.recent.iter().rev().find(|line| line.entry == number);
    let line =
        line.ok_or_else(|| BenchProblem::missing("The latest entries do not include this one."))?;
    let written = Moment::parse(line.cell("written")).ok();
    let fresh = written
        .is_some_and(|written| now.at.minutes_since(written) <= crate::bench::frame::UNDO_MINUTES);
    if !fresh {
        return Err(BenchProblem::unfit(
            "This entry was written more than ten minutes ago.",
            format!(
                "Correct it on the computer: sandarac log undo {}",
                clean(&number)
            ),
        ));
    }
    let fields = [
        ("what", "correct"),
        ("into", number.as_str()),
        ("note", "void: taken back at the bench"),
    ];
    let mut fields: Vec<(String, String)> = fields
        .map(|(name, text)| (name.to_string(), text.to_string()))
        .to_vec();
    let others = now.sent_together(line).into_iter();
    let others = others.filter(|other| other.entry != number);
    fields.extend(others.map(|other| ("also".to_string(), other.entry.clone())));
    fields.extend(
        call.fields
            .iter()
            .filter(|(name, _)| matches!(name.as_str(), "id" | "back" | "typed" | "sent"))
            .cloned(),
    );
    logged(&call.with_fields(fields))
}

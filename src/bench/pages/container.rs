//! One container: what it is, and everything that can be done with it.

use crate::bench::buttons::entry_link;
use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{line_words, page, undo};
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::fact::{Age, Kept};
use crate::quantity::{Amount, Dimension, natural};
use crate::record::{Container, ContainerId, Vessel, What};
use crate::report::StockRow;
use crate::report::words::date;
use crate::stock::{GLASS_TEST, PUT_AWAY};
use crate::text::clean;
use crate::typing::as_typed;
use maud::{Markup, html};

/// The last entries that are shown.
const ENTRIES: usize = 6;

pub fn container(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let tables = &now.shop.tables;
    let Some(id) = tables.container(&call.name) else {
        return Err(BenchProblem::missing(format!(
            "There is no container \"{}\".",
            clean(&call.name)
        )));
    };
    let row = &tables[id];
    let kept = now.kept.iter().find(|kept| kept.container == id);
    let main = html! {
        (facts(&now, row, now.row(&row.id), kept))
        (label_offer(call, &now, row))
        @if call.may_log() { (actions(&now, row, id)) }
        (history(call, &now, row))
        p { a.act.quiet href={ "/print/labels?name=" (url(&row.id)) } { "Print its label" } }
    };
    Ok(Reply::page(page(call, &now, &clean(&row.id), &main)))
}

/// What was just mixed or poured needs a label.
fn label_offer(call: &Call, now: &BenchNow, row: &Container) -> Markup {
    let number = call.text("logged");
    let line = now.recent.iter().rev().find(|line| line.entry == number);
    let filled = line.is_some_and(|line| {
        let what = What::parse(line.cell("what"));
        matches!(what, Some(What::Mix | What::Decant)) && line.cell("into") == row.id
    });
    html! {
        @if filled && !number.is_empty() {
            p { a.act href={ "/print/labels?name=" (url(&row.id)) } { "Print the label of " bdi { (clean(&row.id)) } } }
        }
    }
}

fn facts(now: &BenchNow, row: &Container, shown: Option<&StockRow>, kept: Option<&Kept>) -> Markup {
    let us = now.us();
    let stock = now.shop.tables.container(&row.id).map(|at| &now.stock[at]);
    let made = stock.and_then(|stock| stock.made);
    html! {
        p.product { bdi { (clean(&row.product)) } }
        p.amount {
            @match shown {
                Some(shown) => strong { (shown.holds(us)) },
                None => strong { "empty" },
            }
            @if let Some(capacity) = row.capacity { " of " (natural(capacity, us)) }
        }
        dl.facts {
            @if let Some(shown) = shown {
                div { dt { "Place" } dd { bdi { (clean(shown.place_or_room())) } } }
                @for (pack, class) in &shown.class { div { dt { "Class, " (clean(pack)) } dd { (clean(class)) } } }
                @if let Some(lot) = &shown.lot { div { dt { "Lot" } dd { bdi { (clean(lot)) } } } }
                @if shown.tested.is_some() { div { dt { "Tested" } dd { (clean(&shown.tested_words())) } } }
            }
            @if let Some(made) = made { div { dt { "Made" } dd { (date(made)) } } }
            @if let Some(kept) = kept {
                @if let Some(day) = kept.test_from { div { dt { "Test from" } dd { (date(day)) } } }
                @if let Some(day) = kept.use_by { div { dt { "Use by" } dd { (date(day)) } } }
                @if let Some(words) = age_words(kept.age) { div { dt { "Shelf life" } dd { strong { (words) } } } }
            }
            (heats(now, row))
            @if row.labelled == Some(false) { div { dt { "Label" } dd { strong { "It has no label." } } } }
        }
    }
}

fn age_words(age: Age) -> Option<&'static str> {
    match age {
        Age::Failed => Some("It failed a test. Do not use it on any work."),
        Age::Past => Some("Expired. Test it or discard it."),
        Age::TestDue => Some("Test it before use."),
        Age::NotKnown => Some("Its first day is not recorded. Test it before use."),
        Age::Good | Age::NoTime => None,
    }
}

/// Says so if rags wet with it are self-heating. Unknown counts as self-heating.
fn heats(now: &BenchNow, row: &Container) -> Markup {
    let id = now.shop.tables.container(&row.id);
    let hazard = id.map(|id| now.hazards.of_container(&now.stock, id));
    html! {
        @if hazard.is_none_or(|hazard| hazard.heats.value) {
            div { dt { "Rags" } dd { strong { "Rags wet with it count as self-heating, and one is enough to start a fire. As soon as you stop using a rag, " (PUT_AWAY) } } }
        }
    }
}

fn actions(now: &BenchNow, row: &Container, at: ContainerId) -> Markup {
    let back = format!("/container/{}", url(&row.id));
    let cloth = row.vessel.is_some_and(Vessel::is_cloth);
    let id = row.id.as_str();
    let opened = now.stock[at].opened.is_some();
    let link = |what: What, cells: &[(&str, &str)], words: &str| {
        let mut all = vec![("container", id)];
        all.extend_from_slice(cells);
        entry_link(what, &all, &back, &html! { (words) })
    };
    html! {
        @if cloth {
            p { a.act href="/rags" { "Soiled, or put away" } }
        } @else {
            section {
                h2 { "Used" }
                div.acts {
                    @for amount in amounts(now, row, at) { (link(What::Use, &[("amount", &amount)], &amount)) }
                }
                (form(What::Use, id, &back, "Other amount", &html! { (amount_field()) (minutes_field()) }))
            }
        }
        section {
            h2 { "Other" }
            div.acts {
                @if !cloth && !opened { (link(What::Open, &[], "Opened for the first time")) }
                @if !cloth { (link(What::Count, &[("amount", zero(now, row, at))], "Empty")) }
                (link(What::Discard, &[], "Discarded, all of it"))
            }
            @if !cloth { (poured(now, id, &back)) }
            (counted(now, row, at, &back))
            (moved(now, id, &back))
            @if !cloth { (tested(id, &back)) }
            (form(What::Discard, id, &back, "Discarded in part", &amount_field()))
        }
    }
}

/// The amount used last, then a few round ones.
fn amounts(now: &BenchNow, row: &Container, at: ContainerId) -> Vec<String> {
    let us = now.us();
    let uses = now.stock.uses.iter().rev();
    let last = uses.into_iter().find(|used| used.container == at);
    let mut list: Vec<String> = last
        .map(|used| natural(used.amount, us))
        .into_iter()
        .collect();
    let held = now.stock[at].amount.or(row.capacity);
    let round: &[&str] = match (held.map(Amount::dimension), us) {
        (Some(Dimension::Mass), true) => &["1 oz", "2 oz", "4 oz"],
        (Some(Dimension::Mass), false) => &["25 g", "50 g", "100 g"],
        (Some(Dimension::Pieces), _) => &["1 pcs", "2 pcs", "5 pcs"],
        (_, true) => &["1 fl oz", "2 fl oz", "4 fl oz", "8 fl oz"],
        (_, false) => &["25 mL", "50 mL", "100 mL", "250 mL"],
    };
    for amount in round {
        if !list.iter().any(|known| known == amount) {
            list.push((*amount).to_string());
        }
    }
    let locale = now.shop.tables.shop.locale;
    list.iter()
        .map(|amount| as_typed(amount, &locale))
        .collect()
}

/// Nothing, in the unit of what it holds.
fn zero(now: &BenchNow, row: &Container, at: ContainerId) -> &'static str {
    let held = now.stock[at].amount.or(row.capacity);
    match (held.map(Amount::dimension), now.us()) {
        (Some(Dimension::Mass), true) => "0 oz",
        (Some(Dimension::Mass), false) => "0 g",
        (Some(Dimension::Pieces), _) => "0 pcs",
        (_, true) => "0 fl oz",
        (_, false) => "0 mL",
    }
}

/// A form behind a summary: what it asks, then what the entry would do.
fn form(what: What, container: &str, back: &str, words: &str, fields: &Markup) -> Markup {
    html! {
        details.more {
            summary { (words) }
            form.entry method="get" action="/entry" {
                input type="hidden" name="what" value=(what.word());
                input type="hidden" name="container" value=(container);
                input type="hidden" name="back" value=(back);
                (fields)
                button type="submit" { "Next" }
            }
        }
    }
}

fn amount_field() -> Markup {
    html! {
        label.field { span { "Amount, such as 3 fl oz" } input name="amount" inputmode="text" autocomplete="off" required; }
    }
}

fn minutes_field() -> Markup {
    html! {
        label.field { span { "Minutes of work, if known" } input name="minutes" inputmode="numeric" autocomplete="off"; }
    }
}

fn poured(now: &BenchNow, id: &str, back: &str) -> Markup {
    let targets = html! {
        (amount_field())
        label.field { span { "Into which container" }
            select name="into" required {
                option value="" { "Choose" }
                @for row in now.shop.tables.containers.iter().filter(|row| row.id != id && !row.vessel.is_some_and(Vessel::is_cloth)) {
                    option value=(row.id) { (clean(&row.id)) " – " (clean(&row.product)) }
                }
            }
        }
    };
    html! {
        (form(What::Decant, id, back, "Poured into another container of the same product", &targets))
        (form(What::Mix, id, back, "Mixed into something else, or into waste", &targets))
    }
}

fn counted(now: &BenchNow, row: &Container, at: ContainerId, back: &str) -> Markup {
    let slider = row
        .capacity
        .filter(|capacity| capacity.dimension() == Dimension::Volume);
    let held = now.stock[at].amount;
    let fields = html! {
        @if let Some(held) = held { p { "By the book: " (natural(held, now.us())) } }
        label.field { span { "Amount that is there" } input name="amount" autocomplete="off" required[slider.is_none()]; }
        @if let Some(capacity) = slider {
            label.field { span { "Or the level, up to " (natural(capacity, now.us())) }
                input type="range" name="level" min="0" max="100" step="5" value="50";
            }
        }
    };
    form(What::Count, &row.id, back, "Counted or measured", &fields)
}

fn moved(now: &BenchNow, id: &str, back: &str) -> Markup {
    let fields = html! {
        label.field { span { "Where it is now" }
            select name="place" required {
                option value="" { "Choose" }
                @for place in &now.shop.tables.places { option value=(place.id) { (clean(&place.id)) } }
                @for room in &now.shop.tables.rooms { option value=(room.id) { (clean(&room.id)) } }
            }
        }
    };
    form(What::Move, id, back, "Moved", &fields)
}

fn tested(id: &str, back: &str) -> Markup {
    let fields = html! {
        input type="hidden" name="into" value=(GLASS_TEST);
        label.field { span { "Minutes until a thin smear on glass was dry" } input name="minutes" inputmode="numeric" autocomplete="off"; }
        label.field { span { "Or the result" }
            select name="result" {
                option value="" { "By the minutes" }
                option value="pass" { "pass" } option value="retest" { "retest" } option value="fail" { "fail" }
            }
        }
    };
    form(What::Test, id, back, "Tested on glass", &fields)
}

fn history(call: &Call, now: &BenchNow, row: &Container) -> Markup {
    let lines = now.recent.iter().rev();
    let mine = lines.filter(|line| line.cell("container") == row.id || line.cell("into") == row.id);
    let mine: Vec<_> = mine.take(ENTRIES).collect();
    html! {
        @if !mine.is_empty() {
            section {
                h2 { "Last entries" }
                ul.things {
                    @for line in mine {
                        li {
                            p { (line.entry) ": " (line_words(line, now)) @if line.is_corrected { " (taken back or corrected)" } }
                            (undo(call, now, line))
                        }
                    }
                }
            }
        }
    }
}

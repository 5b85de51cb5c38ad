//! The entries of the log as a table, and corrections of them: each is an entry of its own, so that nothing is ever written over.

use crate::bench::buttons::entry_link;
use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::{line_words, page, undo};
use crate::bench::problem::BenchProblem;
use crate::bench::recent::{LogLine, log_columns};
use crate::bench::state::BenchNow;
use crate::record::What;
use crate::store::each_entry;
use crate::text::clean;
use maud::{Markup, html};
use std::collections::HashSet;

/// Entries on a page.
const ON_A_PAGE: usize = 50;
/// How the table is sorted.
const ORDERS: [(&str, &str); 4] = [
    ("", "Newest first"),
    ("oldest", "Oldest first"),
    ("container", "Container"),
    ("by", "Person"),
];

/// What a correction can fill in; what stays empty is right as it is.
const FIELDS: [(&str, &str); 4] = [
    ("amount", "The right amount"),
    ("container", "The right container"),
    ("place", "The right place"),
    ("minutes", "The right minutes"),
];

pub fn entries(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let (search, sort) = (call.text("q"), call.text("sort"));
    let found = found(&now, search, sort);
    now.shop.steady()?;
    let from = call.text("from").parse::<usize>().unwrap_or(0);
    let link = |from: usize| {
        let (search, sort) = (url(search), url(sort));
        format!("/entries?q={search}&sort={sort}&from={from}")
    };
    let main = html! {
        form.search method="get" action="/entries" role="search" {
            label.field { span { "Container, kind of entry, person, day such as 2026-10-31" } input name="q" type="search" value=(clean(search)) autocomplete="off"; }
            button type="submit" { "Search" }
        }
        p.orders { "Sort by " @for (order, words) in ORDERS {
            a href={ "/entries?q=" (url(search)) "&sort=" (order) } aria-current=[(sort == order).then_some("true")] { (words) } " "
        } }
        p.faint { (found.len()) " entries." }
        @if found.is_empty() && search.is_empty() { p { "Nothing is logged yet." } }
        ul.things {
            @for line in found.iter().skip(from).take(ON_A_PAGE) {
                li {
                    p { (clean(&line.entry)) ": " (line_words(line, &now)) @if line.is_corrected { " (corrected or taken back)" } }
                    @if !line.cell("note").is_empty() { p.faint { (clean(line.cell("note"))) } }
                    (undo(call, &now, line))
                    @if call.may_manage() && !line.is_corrected && line.cell("what") != "correct" { (correction(line)) }
                }
            }
        }
        p.links {
            @if from > 0 { a.act.quiet href=(link(from.saturating_sub(ON_A_PAGE))) { "Page before" } " " }
            @if found.len() > from.saturating_add(ON_A_PAGE) { a.act.quiet href=(link(from + ON_A_PAGE)) { "Next page" } }
        }
    };
    Ok(Reply::page(page(call, &now, "Entries", &main)))
}

/// The entries that have every word of a search, sorted.
fn found(now: &BenchNow, search: &str, sort: &str) -> Vec<LogLine> {
    let search = search.to_lowercase();
    let words: Vec<&str> = search.split_whitespace().collect();
    let columns = log_columns();
    let (mut list, mut corrected) = (Vec::new(), HashSet::new());
    each_entry(&now.shop, |row| {
        let mut line = LogLine::default();
        line.read(&columns, |at| row.text(at));
        if line.cell("what") == "correct" {
            corrected.insert(line.cell("into").to_string());
        }
        let has = |word: &&str| {
            let mut cells = line.cells.iter();
            cells.any(|(_, cell)| cell.to_lowercase().contains(word))
        };
        if words.iter().all(has) {
            list.push(line);
        }
    });
    for line in &mut list {
        line.is_corrected = corrected.contains(&line.entry);
    }
    if sort != "oldest" {
        list.reverse();
    }
    match sort {
        "container" => list.sort_by(|a, b| a.cell("container").cmp(b.cell("container"))),
        "by" => list.sort_by(|a, b| a.cell("by").cmp(b.cell("by"))),
        _ => {}
    }
    list
}

fn correction(line: &LogLine) -> Markup {
    html! {
        details.more {
            summary { "Correct entry " (clean(&line.entry)) }
            form.entry method="get" action="/entry" {
                input type="hidden" name="what" value=(What::Correct.word());
                input type="hidden" name="into" value=(line.entry);
                input type="hidden" name="back" value="/entries";
                @for (field, words) in FIELDS {
                    label.field { span { (words) } input name=(field) placeholder=(line.cell(field)) autocomplete="off"; }
                }
                button type="submit" { "Next" }
            }
            div.acts {
                (entry_link(What::Correct, &[("into", &line.entry), ("result", "void")], "/entries", &html! { "It never happened" }))
            }
        }
    }
}

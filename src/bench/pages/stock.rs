//! Finding a container, the stock as a table, and what is due.

use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use crate::report::StockRow;
use crate::report::words::date;
use crate::text::clean;
use maud::{Markup, html};
use std::cmp::Ordering;

/// Rows that a search shows.
const FOUND: usize = 40;

/// Does a row have every word of a search in its name, product, place or lot?
fn has(row: &StockRow, search: &str) -> bool {
    let lot = row.lot.as_deref().unwrap_or_default();
    let text = format!(
        "{} {} {} {lot}",
        row.container,
        row.product,
        row.place_or_room()
    )
    .to_lowercase();
    search
        .to_lowercase()
        .split_whitespace()
        .all(|word| text.contains(word))
}

/// The search: an exact name goes straight to its container.
pub fn find(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let search = call.text("q");
    let tables = &now.shop.tables;
    if let Some(row) = tables.container(search).map(|at| &tables[at]) {
        return Ok(Reply::see(format!("/container/{}", url(&row.id))));
    }
    let found: Vec<&StockRow> = now.rows.iter().filter(|row| has(row, search)).collect();
    let main = html! {
        (search_form("/containers", search))
        @if found.is_empty() { p { "No container has \"" (clean(search)) "\" in its name, product, place or lot." } }
        ul.things {
            @for row in found.iter().take(FOUND) {
                li { a.act href={ "/container/" (url(&row.container)) } {
                    span { bdi { (clean(&row.container)) } " "
                    small { bdi { (clean(&row.product)) } ", " (row.holds(now.us())) ", " bdi { (clean(row.place_or_room())) } } }
                } }
            }
        }
        @if found.len() > FOUND { p { (found.len() - FOUND) " more. Type more letters." } }
    };
    Ok(Reply::page(page(call, &now, "Containers", &main)))
}

fn search_form(to: &str, search: &str) -> Markup {
    html! {
        form.search method="get" action=(to) role="search" {
            label.field { span { "Number, product, place or lot" } input name="q" type="search" value=(clean(search)) autocomplete="off"; }
            button type="submit" { "Search" }
        }
    }
}

/// How a table is sorted.
const ORDERS: [(&str, &str); 5] = [
    ("container", "Container"),
    ("product", "Product"),
    ("place", "Place"),
    ("age", "Oldest first"),
    ("use-by", "Use by"),
];

pub fn table(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let (search, sort) = (call.text("q"), call.text("sort"));
    let mut rows: Vec<&StockRow> = now.rows.iter().filter(|row| has(row, search)).collect();
    rows.sort_by(|a, b| by(sort, a, b));
    let main = html! {
        (search_form("/stock", search))
        p.orders { "Sort by " @for (order, words) in ORDERS {
            a href={ "/stock?q=" (url(search)) "&sort=" (order) } aria-current=[(sort == order).then_some("true")] { (words) } " "
        } }
        div.wide role="region" aria-label="Stock" tabindex="0" {
            table {
                thead { tr { th scope="col" { "Container" } th scope="col" { "Product" } th scope="col" { "Amount" } th scope="col" { "Place" } th scope="col" { "Age, days" } th scope="col" { "Use by" } } }
                tbody { @for row in &rows { tr {
                    th scope="row" { a href={ "/container/" (url(&row.container)) } { bdi { (clean(&row.container)) } } }
                    td { bdi { (clean(&row.product)) } }
                    td { (row.holds(now.us())) }
                    td { bdi { (clean(row.place_or_room())) } }
                    td { @match row.age_days { Some(days) => (days), None => "unknown" } }
                    td { @if let Some(day) = row.use_by { (date(day)) } }
                } } }
            }
        }
        p.faint { (rows.len()) " of " (now.rows.len()) " containers." }
    };
    Ok(Reply::page(page(call, &now, "Stock", &main)))
}

fn by(sort: &str, a: &StockRow, b: &StockRow) -> Ordering {
    let last = |row: &StockRow| (row.use_by.is_none(), row.use_by);
    match sort {
        "product" => a.product.cmp(&b.product),
        "place" => a.place_or_room().cmp(b.place_or_room()),
        "age" => b.age_days.cmp(&a.age_days),
        "use-by" => last(a).cmp(&last(b)),
        _ => Ordering::Equal,
    }
}

/// What is due, by day.
pub fn due(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let main = html! {
        @if now.dues.is_empty() { p.calm { "Nothing with a date is on record." } }
        ul.things {
            @for item in &now.dues {
                li {
                    p { strong { (date(item.day)) } @if item.day < now.at.day() { " (overdue)" } }
                    p { (clean(&item.title)) }
                }
            }
        }
    };
    Ok(Reply::page(page(call, &now, "What is due", &main)))
}

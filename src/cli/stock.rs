//! `sandarac stock`: what is where, how old, and what was used.

use super::args::StockArgs;
use super::{Ended, Failure, ahead, open, style};
use crate::audit::Shop;
use crate::quantity::{Moment, natural};
use crate::record::{ContainerId, LOG, ProductKind, Vessel};
use crate::report::words::{date, moment};
use crate::report::{
    AgingStock, Supply, expiring, fill, reconcile_table, running_low, stock_table, use_first,
};
use crate::stock::Stock;
use crate::text::{Problems, Span, Table, clean, nearest};
use std::collections::HashSet;

/// Shows the stock, or every entry behind one amount.
pub fn run(args: &StockArgs) -> Result<Ended, Failure> {
    if let Some(text) = &args.known {
        return known(text);
    }
    let folder = open::folder(args.shop.shop.as_deref())?;
    let opened = open::shop_by(&folder, &args.shop.packs, args.shop.now())?;
    let stock = open::stock(&opened, args.shop.day())?;
    let is_ahead = ahead::tell(args.shop.on.is_some(), &opened, &stock, None);
    if let Some(wanted) = &args.why {
        let text = why(&opened, &stock, wanted)?;
        opened.steady()?;
        style::print(&text)?;
        return Ok(Ended::Well.unless(is_ahead));
    }
    if args.reconcile {
        let books = reconcile_table(&opened.tables, &stock, &opened.files, style::columns());
        style::print(&format!("{}{books}", head("Books", &opened, &stock)))?;
        return Ok(Ended::Well.unless(is_ahead));
    }
    if args.use_first || args.expiring.is_some() {
        let shelf = AgingStock {
            tables: &opened.tables,
            stock: &stock,
            kept: opened.shelf_lives(&stock),
            files: &opened.files,
        };
        let shown = match args.expiring {
            Some(span) => expiring(&shelf, span, style::columns()),
            None => use_first(&shelf, style::columns()),
        };
        style::print(&format!("{}{shown}", head("Shelf", &opened, &stock)))?;
        return Ok(Ended::Well.unless(is_ahead));
    }
    let audit = opened.audit_of(stock)?;
    let stock = &audit.stock;
    if args.running_low {
        let shown = running_low(&Supply::new(&audit), style::columns());
        style::print(&format!("{}{shown}", head("Supply", &opened, stock)))?;
        return Ok(Ended::Well.unless(is_ahead));
    }
    let cautions = open::cautions()?;
    let view = open::view(&audit, &cautions);
    let shown = stock_table(&view, style::columns());
    opened.steady()?;
    style::print(&format!("{}{shown}", head("Stock", &opened, stock)))?;
    Ok(Ended::Well.unless(is_ahead))
}

/// The built-in products whose names have a text in them.
fn known(text: &str) -> Result<Ended, Failure> {
    let shop = Shop::empty()?;
    let materials = &shop.tables.materials;
    let wanted = text.trim().to_lowercase();
    let mut lines = Vec::new();
    for material in materials.all() {
        let others: Vec<&str> = material.all("alias").map(|it| it.value.as_str()).collect();
        let mut names = others.iter().copied().chain([material.name.as_str()]);
        if names.any(|name| name.to_lowercase().contains(&wanted)) {
            let kind = material.kind().map_or("kind unknown", ProductKind::word);
            let others = match others.as_slice() {
                [] => String::new(),
                others => format!("; also {}", others.join(", ")),
            };
            let line = format!("{} ({kind}){others}", material.name);
            lines.push(fill(&clean(&line), style::columns(), "", "  "));
        }
    }
    if lines.is_empty() {
        let near = nearest(&wanted, materials.names());
        let fix = near.map_or_else(
            || "Try a shorter word, or describe the product in products.csv.".to_string(),
            |near| format!("Did you mean \"{near}\"?"),
        );
        let wrong = format!("No built-in product has \"{}\" in its name.", clean(text));
        return Err(Failure::refused(wrong, fix, open::LISTED));
    }
    lines.sort();
    style::print(&format!("{}\n", lines.join("\n")))?;
    Ok(Ended::Well)
}

fn head(what: &str, opened: &Shop, stock: &Stock) -> String {
    let shop = clean(&opened.tables.shop.name);
    format!("{what} of {shop}, at the end of {}\n\n", date(stock.on))
}

fn unknown(opened: &Shop, wanted: &str) -> Failure {
    let near = opened.tables.near_container(wanted, &Problems::new());
    let fix = near.map_or_else(
        || "`sandarac stock` lists the containers.".to_string(),
        |near| format!("Did you mean \"{near}\"?"),
    );
    let wrong = format!("There is no container \"{wanted}\".");
    Failure::refused(wrong, fix, open::LISTED)
}

/// The inventory row and every entry that touched a container.
fn why(opened: &Shop, stock: &Stock, wanted: &str) -> Result<String, Failure> {
    let tables = &opened.tables;
    let Some(at) = tables.container(wanted) else {
        return Err(unknown(opened, wanted));
    };
    let us = tables.shop.us;
    let row = &tables[at];
    let initial = match (row.amount, row.capacity) {
        (Some(amount), _) => natural(amount, us),
        (None, Some(size)) => format!(
            "an amount that is not recorded, counted as full ({}),",
            natural(size, us)
        ),
        (None, None) => "unknown".into(),
    };
    let since = row.since.map_or_else(|| "the beginning".into(), date);
    let location = format!("{initial} of {} on {since}", row.product);
    let mut text = String::new();
    line(&mut text, &file_and_line(opened, row.at), &location);
    entries(&mut text, opened, stock, at);
    let holds = stock[at]
        .recorded()
        .map_or_else(|| "unknown".into(), |amount| natural(amount, us));
    let words = format!("{holds} at the end of {}", date(stock.on));
    line(&mut text, "It holds", &words);
    Ok(text)
}

fn file_and_line(opened: &Shop, span: Span) -> String {
    let at = opened.files.locate(span);
    match at.line {
        Some(line) => format!("{}:{line}", at.name),
        None => at.name,
    }
}

/// Every entry of the log that touched a container until the day of the stock.
fn entries(text: &mut String, opened: &Shop, stock: &Stock, at: ContainerId) {
    let tables = &opened.tables;
    let Some(log) = tables.log else {
        return;
    };
    let is_it = |name: &str| tables.container(name) == Some(at);
    let cloth = tables[at].vessel.is_some_and(Vessel::is_cloth);
    let mut problems = Problems::new();
    let mut ids: HashSet<String> = HashSet::new();
    let on = stock.on.to_string();
    let mut table = Table::open(&opened.files, log, &LOG, &mut problems);
    while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
        let [id, when, what, container, _, into] = row.texts();
        let touches = is_it(container) || is_it(into);
        let mends = what == "correct" && ids.contains(into);
        let empties = cloth && what == "empty";
        if when.get(..10).unwrap_or("") > on.as_str() || !(touches || mends || empties) {
            continue;
        }
        ids.insert(id.to_string());
        let cells: [&str; 10] = row.texts();
        let [name, _, said @ ..] = cells;
        let said: Vec<&str> = said.into_iter().filter(|cell| !cell.is_empty()).collect();
        let when =
            Moment::parse(when).map_or_else(|_| when.into(), |at| moment(at, tables.shop.us));
        let words = format!("entry {name}, {when}: {}", said.join("  "));
        line(text, &file_and_line(opened, row.span()), &words);
    }
}

/// A place and what is there, within the width of the screen.
fn line(text: &mut String, place: &str, words: &str) {
    let lead = format!("{place:<16} ");
    let rest = " ".repeat(lead.chars().count());
    text.push_str(&fill(&clean(words), style::columns(), &lead, &rest));
    text.push('\n');
}

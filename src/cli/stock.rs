//! `sandarac stock`: what is where, how old, and what was used.

use super::args::StockArgs;
use super::{Ended, Failure, ahead, open, style};
use crate::audit::Shop;
use crate::quantity::{Moment, natural};
use crate::record::{ContainerId, ProductKind, Vessel};
use crate::report::words::{date, moment};
use crate::report::{
    AgingStock, Supply, View, expiring, fill, reconcile_table, running_low, stock_table, use_first,
};
use crate::stock::Stock;
use crate::store::{LogRowText, each_entry};
use crate::text::{Problems, clean, nearest};
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
    let view = View::new(&audit, &cautions);
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
    format!(
        "{what} of {shop}, at the end of {}\n\n",
        crate::report::words::date(stock.on)
    )
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
    let first = match (row.amount, row.capacity) {
        (Some(amount), _) => natural(amount, us),
        (None, Some(size)) => format!(
            "an amount that is not recorded, counted as full ({}),",
            natural(size, us)
        ),
        (None, None) => "unknown".into(),
    };
    let since = row.since.map_or_else(|| "the beginning".into(), date);
    let mut text = String::new();
    let words = format!("{first} of {} on {since}", row.product);
    line(&mut text, &opened.files.row_name(row.at), &words);
    entries(&mut text, opened, stock, at);
    let holds = stock[at].recorded();
    let holds = holds.map_or_else(|| "unknown".into(), |amount| natural(amount, us));
    let words = format!("{holds} at the end of {}", date(stock.on));
    line(&mut text, "It holds", &words);
    Ok(text)
}

/// Every entry about a container, up to the day of the stock.
fn entries(text: &mut String, opened: &Shop, stock: &Stock, at: ContainerId) {
    let tables = &opened.tables;
    let is_it = |name: &str| tables.container(name) == Some(at);
    let cloth = tables[at].vessel.is_some_and(Vessel::is_cloth);
    let on = stock.on.to_string();
    let mut ids: HashSet<String> = HashSet::new();
    each_entry(opened, |row| {
        let cells = LogRowText::read(row);
        let touches = is_it(cells.container) || is_it(cells.into);
        let corrects = cells.is_correction() && ids.contains(cells.into);
        let empties = cloth && cells.what == "empty";
        let is_later = cells.when.get(..10).unwrap_or("") > on.as_str();
        if is_later || !(touches || corrects || empties) {
            return;
        }
        ids.insert(cells.entry.to_string());
        let said = [
            cells.what,
            cells.container,
            cells.amount,
            cells.into,
            cells.place,
            cells.minutes,
            cells.by,
            cells.note,
        ];
        let said: Vec<&str> = said.into_iter().filter(|cell| !cell.is_empty()).collect();
        let when = Moment::parse(cells.when);
        let when = when.map_or_else(|_| cells.when.into(), |at| moment(at, tables.shop.us));
        let words = format!("entry {}, {when}: {}", cells.entry, said.join("  "));
        line(text, &opened.files.row_name(row.span()), &words);
    });
}

/// A place and what is there, within the width of the screen.
fn line(text: &mut String, place: &str, words: &str) {
    let lead = format!("{place:<16} ");
    let rest = " ".repeat(lead.chars().count());
    text.push_str(&fill(&clean(words), style::columns(), &lead, &rest));
    text.push('\n');
}

//! Tab 6: containers without a label, and products without a dated data sheet.

use super::checks::checks;
use super::context::Binder;
use super::found::open_here;
use super::tab::Tab;
use crate::quantity::Day;
use crate::record::{Container, ContainerId, Product};
use crate::report::columns::{Listing, TableCell};
use crate::report::html::{name, nothing};
use crate::text::{Span, counted};
use maud::{Markup, html};

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let days = binder
        .tables
        .products
        .iter()
        .filter_map(|row| row.sheet_dated);
    let looked = super::checks::latest(binder, Tab::Sheets);
    let latest = days
        .chain(looked)
        .filter(|day| *day <= binder.view.on)
        .max();
    let part = html! {
        (open_here(binder, Tab::Sheets))
        h3 { "Missing or unknown labels" }
        (labels(binder))
        h3 { "Missing or undated data sheets" }
        (sheets(binder))
        (checks(binder, Tab::Sheets))
    };
    (latest, part)
}

/// Containers that are there, and hold more than cloth.
fn there<'a>(binder: &Binder<'a>) -> impl Iterator<Item = (ContainerId, &'a Container)> {
    let (tables, stock) = (binder.tables, binder.stock);
    let all = ContainerId::each(&tables.containers);
    all.filter(move |(at, _)| stock.present(tables, *at))
        .filter(|(_, row)| !row.vessel.is_some_and(|vessel| vessel.is_cloth()))
}

fn labels(binder: &Binder<'_>) -> Markup {
    let list: Vec<&Container> = there(binder)
        .map(|(_, row)| row)
        .filter(|row| row.labelled != Some(true))
        .collect();
    let borne = there(binder)
        .filter(|(_, row)| row.labelled == Some(true))
        .count();
    html! {
        @if list.is_empty() && borne == 0 {
            (nothing("inventory.csv has no container, so there are no labels to check."))
        } @else if list.is_empty() {
            (nothing("By inventory.csv, every container here has a label. What the labels say is unknown."))
        } @else {
            (binder.table(&unlabelled(), &list))
            p.faint { "Labeled, by inventory.csv: " (counted(borne, "container")) "." }
        }
    }
}

fn unlabelled<'c>() -> Listing<'c, &'c Container> {
    Listing::<&Container>::new("Missing or unknown labels")
        .column("Container", |row| TableCell::Name(&row.id))
        .column("Product", |row| TableCell::Name(&row.product))
        .column("Labeled", |row| match row.labelled {
            Some(false) => html! { strong { "no" } },
            Some(true) | None => html! { "unknown" },
        })
        .column("Remark", |row| TableCell::optional(row.note.as_deref()))
        .rows(|row| row.at)
}

/// A product in stock and its data sheet.
struct DataSheet<'a> {
    product: &'a str,
    described: Option<&'a Product>,
    generic: bool,
    containers: Vec<&'a str>,
    at: Span,
}

fn each<'a>(binder: &Binder<'a>) -> Vec<DataSheet<'a>> {
    let tables = binder.tables;
    let mut list: Vec<DataSheet<'a>> = Vec::new();
    for (_, row) in there(binder) {
        if let Some(sheet) = list.iter_mut().find(|sheet| sheet.product == row.product) {
            sheet.containers.push(&row.id);
            continue;
        }
        let described = tables.product(&row.product);
        list.push(DataSheet {
            product: &row.product,
            described,
            generic: tables.materials.find(&row.product).is_some(),
            containers: vec![&row.id],
            at: described.map_or(row.at, |product| product.at),
        });
    }
    list.sort_by_key(|sheet| sheet.product);
    list
}

fn sheets(binder: &Binder<'_>) -> Markup {
    let (with_day, missing): (Vec<DataSheet<'_>>, Vec<DataSheet<'_>>) =
        each(binder).into_iter().partition(|sheet| {
            sheet
                .described
                .is_some_and(|product| product.sheet_dated.is_some())
        });
    html! {
        @if missing.is_empty() {
            (nothing(if with_day.is_empty() { "No product is stored here on this day." } else { "products.csv has the date of a data sheet for every product here." }))
        } @else {
            (binder.table(&data_sheets("Missing or undated data sheets"), &missing))
        }
        @if !with_day.is_empty() {
            h3 { "Dated data sheets" }
            (binder.table(&data_sheets("Dated data sheets"), &with_day))
            p.faint { "The date comes from products.csv. This audit did not read the sheets themselves." }
        }
    }
}

fn data_sheets<'c>(title: &str) -> Listing<'c, DataSheet<'c>> {
    Listing::<DataSheet<'_>>::new(title)
        .column("Product", |sheet| TableCell::Name(sheet.product))
        .column("Data sheet", |sheet| {
            match (sheet.described, sheet.generic) {
                (Some(product), _) if product.sheet_dated.is_some() => "",
                (Some(_), _) => "in products.csv, without the date of a data sheet",
                (None, true) => {
                    "not in products.csv; the built-in list describes it, but is not a data sheet"
                }
                (None, false) => "none: it is neither in products.csv nor in the built-in list",
            }
        })
        .column("Sheet dated", |sheet| {
            let dated = sheet.described.and_then(|product| product.sheet_dated);
            dated.map_or(TableCell::from(""), TableCell::from)
        })
        .column("Remark", |sheet| {
            let described = sheet.described;
            TableCell::optional(described.and_then(|product| product.note.as_deref()))
        })
        .column("In", inside)
        .rows(|sheet| sheet.at)
}

/// The first few containers of a product.
fn inside(sheet: &DataSheet<'_>) -> Markup {
    const FEW: usize = 6;
    let more = sheet.containers.len().saturating_sub(FEW);
    html! {
        @for (at, id) in sheet.containers.iter().take(FEW).enumerate() { @if at > 0 { ", " } (name(id)) }
        @if more > 0 { " and " (more) " more" }
    }
}

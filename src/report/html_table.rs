//! A listing as a table of a page.

use super::columns::{Column, Listing, Medium, TableCell};
use super::html::{Markup, name, nothing, on_day, prose, table_of, timed};
use crate::text::Span;
use maud::{PreEscaped, html};

/// The table without its empty columns. `evidence` names the rows of the shop's tables.
pub(super) fn listing<'c, R>(
    listing: &Listing<'c, R>,
    medium: Medium,
    rows: impl IntoIterator<Item = &'c R>,
    evidence: impl Fn(&[Span], Option<usize>) -> Markup,
) -> Markup {
    let columns: Vec<&Column<'c, R>> = listing.shown_on(medium).collect();
    let cells = |row: &'c R| columns.iter().map(|column| (column.cell)(row)).collect();
    let rows: Vec<(&R, Vec<TableCell<'c>>)> =
        rows.into_iter().map(|row| (row, cells(row))).collect();
    if rows.is_empty() {
        return nothing(listing.empty);
    }
    let any = |at: usize, wanted: fn(&TableCell<'c>) -> bool| {
        rows.iter()
            .any(|(_, cells)| cells.get(at).is_some_and(wanted))
    };
    let is_shown = |at: usize| at == listing.row_head || any(at, |cell| !cell.is_blank());
    let shown: Vec<bool> = (0..columns.len()).map(is_shown).collect();
    // One note replaces a column in which nothing is recorded.
    let untold = columns
        .iter()
        .enumerate()
        .filter(|(at, _)| !is_shown(*at) && any(*at, |cell| matches!(cell, TableCell::Unknown)));
    let untold: Vec<&str> = untold.map(|(_, column)| column.head.as_str()).collect();
    let heads = columns.iter().zip(&shown).filter(|(_, shown)| **shown);
    let heads = heads.map(|(column, _)| match column.class {
        Some(class) if class.starts_with("number") => format!("#{}", column.head),
        Some(_) | None => column.head.clone(),
    });
    let heads: Vec<String> = heads.collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let body = html! { tbody {
        @for (row, cells) in &rows {
            (row_start(listing, row))
            @for (at, ((column, cell), _)) in columns.iter().zip(cells).zip(&shown).enumerate().filter(|(_, (_, shown))| **shown) {
                @if at == listing.row_head { th scope="row" { (cell_markup(cell, &evidence)) } }
                @else { td class=[column.class] data-label=(column.head) { (cell_markup(cell, &evidence)) } }
            }
            (PreEscaped("</tr>"))
        }
    } };
    html! {
        (table_of(&listing.title, listing.class, &heads, &body))
        @if !untold.is_empty() { p.faint { "Not recorded for any row: " (untold.join(", ")) "." } }
    }
}

/// The start of a row with its attribute. Only the value may come from a file, and it is escaped.
fn row_start<'c, R>(listing: &Listing<'c, R>, row: &'c R) -> Markup {
    let mark = listing.mark.as_ref();
    let mark = mark.and_then(|mark| Some((mark.attribute, (mark.value)(row)?)));
    html! {
        @match mark {
            Some((attribute, value)) => { (PreEscaped(format!("<tr {attribute}=\""))) (value) (PreEscaped("\">")) },
            None => (PreEscaped("<tr>")),
        }
    }
}

fn cell_markup(
    cell: &TableCell<'_>,
    evidence: impl Fn(&[Span], Option<usize>) -> Markup,
) -> Markup {
    match cell {
        TableCell::Name(text) => name(text),
        TableCell::Words(words) => prose(words),
        TableCell::Day(day, "") => on_day(*day),
        TableCell::Day(day, words) => html! { (on_day(*day)) " " span.faint { (words) } },
        TableCell::Moment(moment, us) => timed(*moment, *us),
        TableCell::Rows(places, all) => evidence(places, *all),
        TableCell::Html(markup) => markup.clone(),
        TableCell::Unknown => html! { "unknown" },
    }
}

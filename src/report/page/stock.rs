//! Every container, one unit to a column, by place or by what runs out first.
#![allow(clippy::float_arithmetic, reason = "amounts for showing only")]

use crate::quantity::{Amount, Day, Dimension, unit};
use crate::report::html::{dated, name, nothing, table_of};
use crate::report::shelf::StockRow;
use crate::report::view::View;
use crate::text::clean;
use maud::{Markup, html};
use std::collections::HashMap;

/// A column of amounts: its head, its unit, and what is shown in it.
struct AmountColumn {
    head: String,
    symbol: &'static str,
    dimension: Dimension,
    of: fn(&StockRow) -> Option<Amount>,
}

/// The part about stock.
pub(super) fn stock(view: &View<'_>) -> Markup {
    if view.stock.is_empty() {
        return nothing("Nothing is on record on this day.");
    }
    let last = last_days(view);
    let rows = by_place(view);
    let columns = columns(view);
    let mut heads: Vec<String> = ["Container", "Product", "Place"]
        .map(str::to_string)
        .to_vec();
    heads.extend(columns.iter().map(|column| format!("#{}", column.head)));
    heads.push("Use by, or test from".to_string());
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    html! {
        fieldset.order {
            legend { "Sort" }
            label { input type="radio" name="order" checked; " by place" }
            label { input type="radio" name="order" id="by-day"; " by what runs out first" }
            a download={ "stock-" (view.on) ".csv" } href={ "data:text/csv;charset=utf-8," (csv(view, &rows, &last)) } { "CSV" }
        }
        (table_of("Every container", "stock", &heads, &html! { tbody {
            @for row in &rows {
                tr data-container=(row.container) {
                    th scope="row" data-label="Container" { (name(&row.container)) }
                    td data-label="Product" { (name(&row.product)) }
                    td data-label="Place" { (place(row)) }
                    @for column in &columns { td.number data-label=(column.head) { (column.shown(row)) } }
                    td data-label="Use by, or test from" {
                        @match last.get(row.container.as_str()) {
                            Some(day) => { (dated(*day)) @if *day < view.on { " (past)" } },
                            None => "",
                        }
                    }
                }
            }
        } }))
    }
}

fn by_place<'v>(view: &'v View<'_>) -> Vec<&'v StockRow> {
    let mut rows: Vec<&StockRow> = view.stock.iter().collect();
    // Within a place they stay in the order of the inventory.
    rows.sort_by_key(|row| (&row.room, &row.place));
    rows
}

/// The order by what runs out first, as a style sheet: the rows stay where they are, and are shown in another order.
pub(super) fn style(view: &View<'_>) -> String {
    let last = last_days(view);
    let rows = by_place(view);
    let days = rows.iter().map(|row| last.get(row.container.as_str()));
    let mut by_day: Vec<(bool, Option<&Day>, usize)> = days
        .enumerate()
        .map(|(at, day)| (day.is_none(), day, at))
        .collect();
    by_day.sort();
    let ranked = by_day.iter().enumerate();
    ranked
        .map(|(rank, (_, _, at))| {
            format!(
                "main:has(#by-day:checked) .stock tbody tr:nth-child({}){{order:{rank}}}",
                at + 1
            )
        })
        .collect()
}

fn place(row: &StockRow) -> Markup {
    html! {
        @match row.place_or_room() { "" => "unknown", place => (name(place)) }
    }
}

/// The last day of each container by its shelf life, or the day from which it has to be tested.
fn last_days<'v>(view: &'v View<'_>) -> HashMap<&'v str, Day> {
    let kept = view.kept.iter();
    let days = kept.filter_map(|kept| {
        let days = kept.days?;
        Some((
            kept.finding.subject.id.as_str(),
            days.until.unwrap_or(days.test),
        ))
    });
    let makers = view
        .stock
        .iter()
        .filter_map(|row| Some((row.container.as_str(), row.use_by?)));
    days.chain(makers).collect()
}

/// Columns of amounts in which any row has something.
fn columns(view: &View<'_>) -> Vec<AmountColumn> {
    let (liquid, solid) = if view.us { ("qt", "lb") } else { ("L", "kg") };
    // Where rags are is in the list; no number of them says anything.
    let held: fn(&StockRow) -> Option<Amount> = |row| row.amount.filter(|_| row.cloth.is_none());
    let full: fn(&StockRow) -> Option<Amount> = |row| row.capacity;
    let list = [
        (format!("Liquid, {liquid}"), liquid, Dimension::Volume, held),
        (
            format!("Vessel holds, {liquid}"),
            liquid,
            Dimension::Volume,
            full,
        ),
        (format!("Solid, {solid}"), solid, Dimension::Mass, held),
        ("Pieces".to_string(), "pcs", Dimension::Pieces, held),
    ];
    let columns = list.map(|(head, symbol, dimension, of)| AmountColumn {
        head,
        symbol,
        dimension,
        of,
    });
    let is_used = |column: &AmountColumn| view.stock.iter().any(|row| column.value(row).is_some());
    columns.into_iter().filter(is_used).collect()
}

impl AmountColumn {
    fn value(&self, row: &StockRow) -> Option<f64> {
        let amount = (self.of)(row).filter(|amount| amount.dimension() == self.dimension)?;
        let factor = unit::find(self.symbol)?.factor.estimate();
        Some(amount.base().estimate() / factor)
    }

    /// Two decimals of a quart are a tablespoon.
    fn shown(&self, row: &StockRow) -> String {
        let missing = match (row.amount, self.dimension) {
            (None, Dimension::Volume) if row.cloth.is_none() && self.head.starts_with("Liquid") => {
                "unknown"
            }
            (Some(_) | None, _) => "",
        };
        self.value(row).map_or_else(|| missing.to_string(), tidy)
    }
}

/// Two decimals at most; what is there is never shown as nothing.
pub(super) fn tidy(value: f64) -> String {
    if value > 0.0 && value < 0.005 {
        return "under 0.01".to_string();
    }
    let text = format!("{value:.2}");
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_string(),
        false => text,
    }
}

/// The table as CSV in a link: the page fetches nothing and runs nothing.
fn csv(view: &View<'_>, rows: &[&StockRow], last: &HashMap<&str, Day>) -> String {
    let mut text = String::from("container,product,room,place,holds,use by or test from\n");
    for row in rows {
        let day = last.get(row.container.as_str()).map(Day::to_string);
        let cells = [
            &row.container,
            &row.product,
            &row.room,
            &row.place,
            &row.holds(view.us),
            &day.unwrap_or_default(),
        ];
        let quoted: Vec<String> = cells
            .iter()
            .map(|cell| format!("\"{}\"", clean(cell).replace('"', "\"\"")))
            .collect();
        text.push_str(&quoted.join(","));
        text.push('\n');
    }
    let escaped = |byte: u8| match byte {
        b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b',' => {
            char::from(byte).to_string()
        }
        byte => format!("%{byte:02X}"),
    };
    text.bytes().map(escaped).collect()
}

//! Every container, one unit to a column, by place or by what runs out first.

use crate::quantity::Day;
use crate::report::columns::Medium;
use crate::report::html_table::listing;
use crate::report::listings;
use crate::report::shelf::StockRow;
use crate::report::view::View;
use crate::text::clean;
use maud::{Markup, html};

/// The part about stock.
pub(super) fn stock(view: &View<'_>) -> Markup {
    let rows = by_place(view);
    html! {
        @if !rows.is_empty() {
            fieldset.order {
                legend { "Sort" }
                label { input type="radio" name="order" checked; " by place" }
                label { input type="radio" name="order" id="by-day"; " by what runs out first" }
                a download={ "stock-" (view.on) ".csv" } href={ "data:text/csv;charset=utf-8," (csv(view, &rows)) } { "CSV" }
            }
        }
        (listing(&listings::stock(view), Medium::Page, rows, |_, _| html! {}))
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
    let rows = by_place(view);
    let days = rows.iter().map(|row| row.last_day());
    let mut by_day: Vec<(bool, Option<Day>, usize)> = days
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

/// The table as CSV in a link: the page fetches nothing and runs nothing.
fn csv(view: &View<'_>, rows: &[&StockRow]) -> String {
    let mut text = String::from("container,product,room,place,holds,use by or test from\n");
    for row in rows {
        let day = row.last_day().map(|day| day.to_string());
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

//! A table for the screen, within its width. One of the two doors to tabled.

use super::view::View;
use super::wrap::fill;
use crate::quantity::{Amount, natural};
use crate::text::clean;
use tabled::builder::Builder;
use tabled::settings::object::Columns;
use tabled::settings::peaker::Priority;
use tabled::settings::{Alignment, Style, Width};

/// Rows under a head; words are wrapped so that no line is wider than the screen.
pub(super) fn table(head: &[&str], rows: &[Vec<String>], columns: usize) -> String {
    let mut builder = Builder::default();
    builder.push_record(head.iter().copied());
    for row in rows {
        builder.push_record(row.iter().map(|cell| clean(cell)));
    }
    styled(builder, columns)
}

/// A table as every screen shows it.
pub(super) fn styled(builder: Builder, columns: usize) -> String {
    let mut table = builder.build();
    table
        .with(Style::psql())
        .modify(Columns::new(..), Alignment::left());
    table.with(
        Width::wrap(columns)
            .keep_words(true)
            .priority(Priority::max(true)),
    );
    let text = table.to_string();
    text.lines()
        .map(str::trim_end)
        .collect::<Vec<_>>()
        .join("\n")
}

/// The stock as a table for the screen.
pub fn stock_table(view: &View<'_>, columns: usize) -> String {
    let stock: Vec<Vec<String>> = view
        .stock
        .iter()
        .map(|row| {
            let place = if row.place.is_empty() {
                &row.room
            } else {
                &row.place
            };
            vec![
                row.container.clone(),
                row.product.clone(),
                place.clone(),
                row.holds(view.us),
                row.age_days
                    .map_or_else(|| "?".into(), |days| days.to_string()),
                row.tested.clone().unwrap_or_default(),
            ]
        })
        .collect();
    let head = ["container", "product", "where", "holds", "days", "tested"];
    let stock = table(&head, &stock, columns);
    let shown = |amount: Amount| {
        if amount.base().is_zero() {
            String::new()
        } else {
            natural(amount, view.us)
        }
    };
    let months: Vec<Vec<String>> = view
        .months
        .iter()
        // What was only poured over or counted is a matter of the books, which `--reconcile` shows.
        .filter(|row| {
            let shown = [row.used, row.mixed, row.discarded, row.received];
            shown.iter().any(|amount| !amount.base().is_zero())
        })
        .map(|row| {
            vec![
                row.product.clone(),
                row.month.clone(),
                shown(row.used),
                shown(row.mixed),
                shown(row.discarded),
                shown(row.received),
            ]
        })
        .collect();
    let head = [
        "product",
        "month",
        "used",
        "mixed",
        "thrown out",
        "received",
    ];
    let months = table(&head, &months, columns);
    let foot = "days: since it was made, opened or written down. What was poured over, what counts found, and the sums: \
                --reconcile.";
    format!("{stock}\n\n{months}\n\n{}\n", fill(foot, columns, "", ""))
}

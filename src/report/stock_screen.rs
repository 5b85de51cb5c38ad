//! The stock and its use by month on the screen.

use super::listings::STOCK;
use super::screen::Screen;
use super::view::View;
use crate::quantity::{Amount, natural};

/// The stock as a table for the screen.
pub fn stock_table(view: &View<'_>, columns: usize) -> String {
    let mut screen = Screen::new(columns);
    let (head, rows) = STOCK.plain(view.stock.iter(), view);
    screen.table(&head, &rows);
    screen.gap();
    let shown = |amount: Amount| match amount.base().is_zero() {
        true => String::new(),
        false => natural(amount, view.us),
    };
    let mut months = Vec::new();
    for row in &view.months {
        let amounts = [row.used, row.mixed, row.discarded, row.received];
        // What was only poured over or counted is a matter of the books, which `--reconcile` shows.
        if amounts.iter().any(|amount| !amount.base().is_zero()) {
            let names = [row.product.clone(), row.month.clone()];
            months.push(names.into_iter().chain(amounts.map(shown)).collect());
        }
    }
    let head = ["product", "month", "used", "mixed", "discarded", "received"];
    screen.table(&head, &months);
    screen.gap();
    screen.line(
        "days: since it was made, opened or recorded. For amounts poured over, count differences and totals: --reconcile.",
    );
    screen.done()
}

//! The stock and its use by month on the screen.

use super::listings::{months, stock};
use super::screen::Screen;
use super::shelf::MonthRow;
use super::view::View;

/// The stock as a table for the screen.
pub fn stock_table(view: &View<'_>, columns: usize) -> String {
    let mut screen = Screen::new(columns);
    screen.listing(&stock(view), view.stock.iter());
    screen.gap();
    // `--reconcile` shows months with only pours and counts.
    let moved = |row: &&MonthRow| {
        let amounts = [row.used, row.mixed, row.discarded, row.received];
        amounts.iter().any(|amount| !amount.base().is_zero())
    };
    screen.listing(&months(view.us), view.months.iter().filter(moved));
    screen.gap();
    screen.line(
        "days old: since it was made, opened or recorded. For amounts poured over, count differences and totals: --reconcile.",
    );
    screen.done()
}

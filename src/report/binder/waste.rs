//! Tab 5: waste in the shop, the amounts discarded each month, and the entries about waste.

use super::checks::checks;
use super::context::Binder;
use super::entries::{WASTE, record};
use super::found::open_here;
use super::tab::Tab;
use crate::quantity::{Amount, Day, month_of};
use crate::report::html::nothing;
use crate::report::listings;
use crate::report::shelf::MonthRow;
use maud::{Markup, html};

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let kept = binder.daybook.and_then(|daybook| daybook.sorts.get(WASTE));
    let latest = kept.and_then(|kept| kept.lines().last());
    let without = "So it is unknown what was discarded, when, and who took it.";
    let part = html! {
        (open_here(binder, Tab::Waste))
        h3 { "Waste in the shop" }
        (binder.table(&listings::waste(binder.view), binder.view.stock.iter().filter(|row| row.is_waste)))
        h3 { "Discarded, or poured into another product's container, by month" }
        (thrown(binder))
        (checks(binder, Tab::Waste))
        h3 { "Every entry about waste, month by month" }
        p.faint { "This covers what was discarded, emptied from the rag cans, or poured into or out of a waste container. The log has no \
            column for who took it away. Write that into the note, and keep the receipts." }
        (record(binder, "Every entry about waste, month by month", WASTE, without))
    };
    (latest.map(|line| line.when.day()), part)
}

/// Sums of the book; rags and pads are counted and in no sum.
fn thrown(binder: &Binder<'_>) -> Markup {
    let first = month_of(binder.view.on.month_key() - 11);
    let moved = |row: &&MonthRow| {
        let out = [row.discarded, row.poured];
        row.month >= first
            && out
                .iter()
                .any(|out| !matches!(out, Amount::Pieces(_)) && !out.base().is_zero())
    };
    let mut list: Vec<&MonthRow> = binder.view.months.iter().filter(moved).collect();
    list.sort_by(|a, b| (&b.month, &a.product).cmp(&(&a.month, &b.product)));
    if list.is_empty() {
        return nothing(
            "In the last twelve months, nothing was recorded as discarded or poured into another product's container.",
        );
    }
    binder.table(&listings::months(binder.view.us), list)
}

//! Where each product went, month by month, the count differences, and the steady losses. One table for each product.

use super::screen::Screen;
use crate::quantity::when::month;
use crate::quantity::{Amount, Exact, in_unit, natural, unit};
use crate::record::ShopTables;
use crate::stock::{Reckoned, STEADY_COUNTS, SteadyLoss, Stock, reckon, steady_losses};
use crate::text::{Files, clean};

const HEAD: [&str; 9] = [
    "month",
    "start",
    "in",
    "used",
    "mixed",
    "poured",
    "discarded",
    "difference",
    "end",
];

/// The books of all products for the screen.
pub fn reconcile_table(
    tables: &ShopTables,
    stock: &Stock,
    files: &Files,
    columns: usize,
) -> String {
    let mut screen = Screen::new(columns);
    let us = tables.shop.us;
    let mut rows = reckon(tables, stock);
    let name = |row: &Reckoned| stock.product_name(row.product);
    rows.sort_by(|a, b| name(a).cmp(name(b)));
    for group in
        rows.chunk_by(|a, b| a.product == b.product && a.flows.kind.same_kind(b.flows.kind))
    {
        let Some(first) = group.first() else { continue };
        let symbol = small_unit(first.flows.kind, us);
        screen.whole(&format!("{}, in {symbol}", clean(name(first))));
        let lines: Vec<Vec<String>> = group.iter().map(|row| line(row, symbol)).collect();
        screen.table(&HEAD, &lines);
        screen.gap();
        if !group.iter().all(|row| row.closes) {
            screen
                .line("These totals do not add up exactly, because an amount has too many digits.");
        }
    }
    if rows.is_empty() {
        screen.line("No amount is on record as received, used or counted.");
    }
    for loss in steady_losses(stock) {
        steady(&mut screen, tables, files, &loss);
    }
    not_in_the_sums(&mut screen, tables, stock);
    screen.line(
        "start + in − used − mixed − poured − discarded ± difference = end. Four figures are shown; the sums are exact. start: \
         the amount at the beginning of the month, with first counts of that month. in: received, or poured in from another \
         product. poured: out into another product, such as spent solvent. difference: counted less the book amount. Nothing \
         is booked as evaporation.",
    );
    screen.done()
}

/// One unit for a whole table, so that its numbers can be added up.
fn small_unit(kind: Amount, us: bool) -> &'static str {
    match (kind, us) {
        (Amount::Volume(_), true) => "fl oz",
        (Amount::Volume(_), false) => "mL",
        (Amount::Mass(_), true) => "oz",
        (Amount::Mass(_), false) => "g",
        (Amount::Pieces(_), _) => "pcs",
    }
}

fn line(row: &Reckoned, symbol: &str) -> Vec<String> {
    let flows = &row.flows;
    let shown = |base: Exact| {
        let number = unit::find(symbol).map_or_else(String::new, |unit| in_unit(base, unit));
        let bare = number.strip_suffix(symbol).unwrap_or(&number);
        bare.trim_end().to_string()
    };
    let moved = |base: Exact| match base.is_zero() {
        true => String::new(),
        false => shown(base),
    };
    let received = flows.received.plus(flows.arrived);
    let received = received.and_then(|received| received.plus(flows.untracked));
    vec![
        month(flows.month),
        shown(row.start),
        received.map_or_else(|_| "?".into(), moved),
        moved(flows.used),
        moved(flows.mixed),
        moved(flows.poured),
        moved(flows.discarded),
        moved(flows.unexplained),
        shown(row.end),
    ]
}

/// Names a steady loss with its numbers, and what may be behind it.
fn steady(screen: &mut Screen, tables: &ShopTables, files: &Files, loss: &SteadyLoss) {
    let us = tables.shop.us;
    let row = &tables[loss.container];
    let counts: Vec<String> = loss
        .counts
        .iter()
        .map(|gap| {
            format!(
                "{}: counted {}, book amount {} ({})",
                gap.day,
                natural(gap.counted, us),
                natural(gap.expected, us),
                files.row_name(gap.at)
            )
        })
        .collect();
    screen.line(format!(
        "A STEADY LOSS: {} ({}) was short at {} counts in a row, by {} in all. {}. Check for a loose lid, a missing log entry, \
         or theft.",
        row.id,
        row.product,
        loss.counts.len(),
        natural(loss.missing, us),
        counts.join("; ")
    ));
    screen.line(format!(
        "(Listed from {STEADY_COUNTS} short counts in a row. A judgment, no source.)"
    ));
    screen.gap();
}

fn not_in_the_sums(screen: &mut Screen, tables: &ShopTables, stock: &Stock) {
    let known = |row: &crate::record::Container| row.since.is_none_or(|since| since <= stock.on);
    let rows = tables.containers.iter().zip(&stock.containers);
    let unknown = rows.filter(|(row, contents)| known(row) && contents.amount.is_none());
    let unknown: Vec<&str> = unknown.map(|(row, _)| row.id.as_str()).collect();
    if !unknown.is_empty() {
        screen.line(format!(
            "Not in these totals, because their amounts are unknown: {}. Count them.",
            unknown.join(", ")
        ));
        screen.gap();
    }
}

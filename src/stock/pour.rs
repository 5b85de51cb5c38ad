//! Mix and decant: amounts move exactly, and what ages goes along.

use super::apply::{put_in, row, take_out};
use super::container_state::{ContainerState, Stock, TrialResult};
use super::ledger::Flow;
use super::step::Step;
use crate::quantity::{Amount, Mass, RESIN_LITRES_A_KILOGRAM, Volume};
use crate::record::{ProductKind, ShopTables, What};
use crate::stock::StockFault;
use crate::text::{Problem, Problems};

/// So many lots are remembered of one vessel.
const MOST_LOTS: usize = 12;

fn kind(tables: &ShopTables, container: usize) -> Option<ProductKind> {
    tables.kinds.get(container).copied().flatten()
}

/// Mix and decant: the amount leaves one container and arrives in the other; what ages goes along.
pub(super) fn pour(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    from: usize,
    problems: &mut Problems,
) {
    let (Some(amount), Some(into)) = (step.amount, step.target()) else {
        return;
    };
    if from == into {
        problems.add(Problem::new(StockFault::SameContainer, step.at));
        return;
    }
    if step.what == What::Decant && stock.product_of.get(from) != stock.product_of.get(into) {
        let name = |c: usize| {
            tables
                .containers
                .get(c)
                .map_or_else(String::new, |c| c.product.clone())
        };
        if kind(tables, into) != Some(ProductKind::Waste) {
            let code = StockFault::OtherProduct {
                from: name(from),
                into: name(into),
            };
            problems.add(Problem::with(code, step.at, row(tables, into)));
            return;
        }
    }
    let arrives = arriving(stock, tables, from, into, amount);
    if !take_out(stock, tables, step, from, amount, problems) {
        return;
    }
    let was_empty = stock
        .containers
        .get(into)
        .and_then(|h| h.amount)
        .is_some_and(|held| held.base().is_zero());
    if !put_in(stock, tables, step, into, arrives, problems) {
        return;
    }
    note_pour(stock, step, (from, amount), (into, arrives));
    carry_along(stock, tables, step, from, into, was_empty);
    if let Some(target) = stock.containers.get_mut(into) {
        target.touch(step.at);
    }
}

/// What is mixed, and what is poured into another product, leaves the one and arrives in the other. Between two vessels
/// of one product nothing comes or goes.
fn note_pour(stock: &mut Stock, step: &Step, left: (usize, Amount), arrived: (usize, Amount)) {
    let mixes = step.what == What::Mix;
    let alike = stock.product_of.get(left.0) == stock.product_of.get(arrived.0)
        && left.1.same_kind(arrived.1);
    if alike && !mixes {
        return;
    }
    let day = step.when.day();
    let flow = if mixes { Flow::Mixed } else { Flow::Poured };
    stock.note(left.0, day, flow, left.1);
    stock.note(arrived.0, day, Flow::Arrived, arrived.1);
}

/// Flakes by weight arrive in a liquid as the volume they add to it.
fn arriving(
    stock: &Stock,
    tables: &ShopTables,
    from: usize,
    into: usize,
    amount: Amount,
) -> Amount {
    let liquid = matches!(
        stock.containers.get(into).and_then(|h| h.amount),
        Some(Amount::Volume(_))
    );
    match amount {
        Amount::Mass(mass) if liquid && kind(tables, from) == Some(ProductKind::Flakes) => {
            resin_volume(mass).map_or(amount, Amount::Volume)
        }
        Amount::Mass(_) | Amount::Volume(_) | Amount::Pieces(_) => amount,
    }
}

fn resin_volume(mass: Mass) -> Option<Volume> {
    let litres = mass.base().times(RESIN_LITRES_A_KILOGRAM);
    litres.ok().map(Volume::of)
}

/// Lots, and the age of what ages. An emptied vessel forgets what it held before.
fn carry_along(
    stock: &mut Stock,
    tables: &ShopTables,
    step: &Step,
    from: usize,
    into: usize,
    was_empty: bool,
) {
    let (poured, own) = (
        stock.product_of.get(from).copied(),
        stock.product_of.get(into).copied(),
    );
    let Ok([source, target]) = stock.containers.get_disjoint_mut([from, into]) else {
        return;
    };
    let source_kind = kind(tables, from);
    if was_empty {
        target.also.clear();
        (target.lots, target.made, target.opened, target.trial) = (Vec::new(), None, None, None);
    }
    for product in source.also.iter().chain(poured.as_ref()) {
        if Some(product) != own.as_ref() && !target.also.contains(product) {
            target.also.push(*product);
        }
    }
    // A passed test says nothing of what is poured in after it.
    if source_kind != Some(ProductKind::Solvent)
        && target.trial.is_some_and(|t| t.result == TrialResult::Pass)
    {
        target.trial = None;
    }
    // Solvent that was there before hands on no age: the order in which a jar is filled does not matter.
    let ageless = was_empty || target.only_solvent && target.made.is_none();
    target.only_solvent = source_kind == Some(ProductKind::Solvent) && ageless;
    match source_kind {
        Some(ProductKind::Flakes) => {
            add_lots(target, &source.lots);
            let day = step.when.day();
            target.made = Some(target.made.map_or(day, |made| made.min(day)));
        }
        Some(ProductKind::Solvent) if step.what == What::Mix => {}
        _ => {
            add_lots(target, &source.lots);
            target.made = older(target.made, source.made, ageless);
            target.opened = older(target.opened, source.opened, ageless);
        }
    }
}

fn add_lots(target: &mut ContainerState, lots: &[String]) {
    for lot in lots {
        if target.lots.len() < MOST_LOTS && !target.lots.contains(lot) {
            target.lots.push(lot.clone());
        }
    }
}

/// The older of two days; where one is not known the mixture's is not known, unless the vessel was empty.
fn older<T: Ord>(target: Option<T>, source: Option<T>, was_empty: bool) -> Option<T> {
    match (target, source) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (None, source) if was_empty => source,
        _ => None,
    }
}

//! Mix and decant: the amount leaves one container and arrives in another exactly, and what ages goes along.

use super::booking::{Booked, Booking};
use super::container_state::{ContainerState, TrialResult};
use super::content::{Content, is_pure, pure};
use super::fault::StockFault;
use super::ledger::Flow;
use crate::quantity::{Amount, RESIN_LITRES_A_KILOGRAM, Volume};
use crate::record::{ContainerId, ProductKind, What};
use crate::text::Problem;

/// So many lots are remembered of one vessel.
const MOST_LOTS: usize = 12;

/// Applies an entry that mixes or decants.
pub(super) fn pour(booking: &mut Booking<'_>, from: ContainerId) -> Booked {
    let step = booking.step;
    // An entry that pours gives both; reading it made sure of that.
    let (Some(amount), Some(into)) = (step.amount, step.target) else {
        return Ok(());
    };
    if from == into {
        let fault = StockFault::SameContainer;
        return Err(Box::new(Problem::new(fault, step.at)));
    }
    if booking.stock[into].is_cloth {
        let container = booking.name(into);
        return Err(booking.problem(StockFault::NotPoured { container }, into));
    }
    keeps_product(booking, from, into)?;
    let arrives = arriving(booking, from, into, amount)?;
    booking.take_out(from, amount)?;
    let was_empty = booking.stock[into].is_empty();
    booking.put_in(into, arrives)?;
    book_pour(booking, (from, amount), (into, arrives))?;
    carry_along(booking, from, into, was_empty);
    blend(booking, from, (into, arrives), was_empty);
    booking.stock[into].touch(step.at);
    Ok(())
}

/// What the vessel holds by product: that of the source, and what was there before.
fn blend(
    booking: &mut Booking<'_>,
    from: ContainerId,
    (into, arrives): (ContainerId, Amount),
    was_empty: bool,
) {
    let [poured, own] = [from, into].map(|container| booking.stock.product(container));
    let added = booking.stock[from].content.clone();
    let target = &mut booking.stock[into];
    let (pure, added) = (pure(poured), added.as_deref());
    let added = added.unwrap_or(&pure);
    if was_empty {
        target.content = (!is_pure(added, own)).then(|| Content::from(added));
    } else {
        target.blend(own, added, arrives);
    }
}

fn kind(booking: &Booking<'_>, container: ContainerId) -> Option<ProductKind> {
    booking.tables.kind(container)
}

/// A decant keeps the product, but for what is poured to the waste.
fn keeps_product(booking: &Booking<'_>, from: ContainerId, into: ContainerId) -> Booked {
    let alike = booking.stock.product(from) == booking.stock.product(into);
    let wastes = kind(booking, into) == Some(ProductKind::Waste);
    if booking.step.what != What::Decant || alike || wastes {
        return Ok(());
    }
    let product = |container: ContainerId| booking.tables[container].product.clone();
    let fault = StockFault::OtherProduct {
        from: product(from),
        into: product(into),
    };
    Err(booking.problem(fault, into))
}

/// Books what is mixed, and what is poured into another product, with both. Between two vessels of one product nothing comes
/// or goes.
fn book_pour(
    booking: &mut Booking<'_>,
    left: (ContainerId, Amount),
    arrived: (ContainerId, Amount),
) -> Booked {
    let mixes = booking.step.what == What::Mix;
    let product = |container: ContainerId| booking.stock.product(container);
    let alike = product(left.0) == product(arrived.0) && left.1.same_kind(arrived.1);
    if alike && !mixes {
        return Ok(());
    }
    let flow = if mixes { Flow::Mixed } else { Flow::Poured };
    booking.book(left.0, flow, left.1)?;
    booking.book(arrived.0, Flow::Arrived, arrived.1)
}

/// Flakes by weight arrive in a liquid as the volume they add to it.
fn arriving(
    booking: &Booking<'_>,
    from: ContainerId,
    into: ContainerId,
    amount: Amount,
) -> Booked<Amount> {
    let liquid = matches!(booking.stock[into].amount, Some(Amount::Volume(_)));
    let flakes = kind(booking, from) == Some(ProductKind::Flakes);
    match amount {
        Amount::Mass(mass) if liquid && flakes => {
            let litres = mass.base().times(RESIN_LITRES_A_KILOGRAM);
            let litres = booking.exact(litres, into)?;
            Ok(Amount::Volume(Volume::from_base(litres)))
        }
        Amount::Mass(_) | Amount::Volume(_) | Amount::Pieces(_) => Ok(amount),
    }
}

/// Lots, and the age of what ages. An emptied vessel forgets what it held before.
fn carry_along(booking: &mut Booking<'_>, from: ContainerId, into: ContainerId, was_empty: bool) {
    let (mixes, day) = (booking.step.what == What::Mix, booking.step.when.day());
    let source_kind = kind(booking, from);
    let solvent = source_kind == Some(ProductKind::Solvent);
    let [poured, own] = [from, into].map(|container| booking.stock.product(container));
    let both = [from.index(), into.index()];
    // They are two, and each is in the stock.
    let Ok([source, target]) = booking.stock.containers.get_disjoint_mut(both) else {
        return;
    };
    if was_empty {
        target.forget_content();
    }
    for product in source.also.iter().chain([&poured]) {
        if *product != own && !target.also.contains(product) {
            target.also.push(*product);
        }
        if *product != own && !target.ever.contains(product) {
            target.ever.push(*product);
        }
    }
    // A passed test says nothing of what is poured in after it.
    let result = target.trial.map(|trial| trial.result);
    if !solvent && result == Some(TrialResult::Pass) {
        target.trial = None;
    }
    // Solvent that was there before hands on no age: the order in which a jar is filled does not matter.
    let ageless = was_empty || target.only_solvent && target.made.is_none();
    target.only_solvent = solvent && ageless;
    if solvent && mixes {
        return;
    }
    add_lots(target, &source.lots);
    if source_kind == Some(ProductKind::Flakes) {
        target.made = Some(target.made.map_or(day, |made| made.min(day)));
    } else {
        target.made = older(target.made, source.made, ageless);
        target.opened = older(target.opened, source.opened, ageless);
    }
}

fn add_lots(target: &mut ContainerState, lots: &[String]) {
    for lot in lots {
        if target.lots.len() < MOST_LOTS && !target.lots.contains(lot) {
            target.lots.push(lot.clone());
        }
    }
}

/// The older of two days; where one is unknown the mixture's is unknown, unless the vessel was empty.
fn older<T: Ord>(target: Option<T>, source: Option<T>, was_empty: bool) -> Option<T> {
    match (target, source) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (None, source) if was_empty => source,
        _ => None,
    }
}

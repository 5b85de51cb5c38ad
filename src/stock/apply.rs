//! What one entry does to the stock: an entry goes in, the stock is changed, and what cannot be is a problem.

use super::booking::{Booked, Booking};
use super::content::pure;
use super::fault::StockFault;
use super::ledger::Flow;
use super::pour::pour;
use super::rags::on_rags;
use super::rags_emptied::empty;
use super::step::Step;
use super::stock_state::{LiquidUse, Stock};
use crate::quantity::{Amount, Volume};
use crate::record::{ContainerId, PlaceKind, ProductKind, ShopTables, Vessel, What};
use crate::text::Problems;

pub(super) fn apply(stock: &mut Stock, tables: &ShopTables, step: &Step, problems: &mut Problems) {
    let mut booking = Booking {
        stock,
        tables,
        step,
    };
    if !in_time(&booking, problems) {
        return;
    }
    let booked = match (step.what, step.container) {
        (What::Empty, _) => empty(&mut booking),
        (_, Some(container)) => {
            booking.stock[container].touch(step.at);
            if booking.stock[container].is_cloth {
                on_rags(&mut booking, container)
            } else {
                on_vessel(&mut booking, container)
            }
        }
        // Only a correction names no container, and it is heard before entries are applied.
        (_, None) => Ok(()),
    };
    if let Err(problem) = booked {
        problems.add(*problem);
    }
}

/// The inventory must know every container of the entry by that day.
fn in_time(booking: &Booking<'_>, problems: &mut Problems) -> bool {
    let (step, day) = (booking.step, booking.step.when.day());
    let mut fine = true;
    for container in [step.container, step.target].into_iter().flatten() {
        let Some(since) = booking.stock[container].since.filter(|since| day < *since) else {
            continue;
        };
        let fault = StockFault::BeforeSince {
            when: day.to_string(),
            container: booking.name(container),
            since: since.to_string(),
        };
        problems.add(*booking.problem(fault, container));
        fine = false;
    }
    fine
}

/// Applies an entry about a container that is no row of rags.
fn on_vessel(booking: &mut Booking<'_>, container: ContainerId) -> Booked {
    let step = booking.step;
    let contents = &mut booking.stock[container];
    match step.what {
        What::Receive => return receive(booking, container),
        What::Use => return take(booking, container, Flow::Used),
        What::Discard => return take(booking, container, Flow::Discarded),
        What::Mix | What::Decant => return pour(booking, container),
        What::Count => {
            return step
                .amount
                .map_or(Ok(()), |counted| booking.count(container, counted));
        }
        What::Move => contents.location = step.location().unwrap_or(contents.location),
        What::Open => contents.opened = contents.opened.or(Some(step.when.day())),
        What::Test => contents.trial = step.trial(),
        What::Soil | What::Spread | What::Soak | What::Bin => {
            let name = booking.name(container);
            let fault = StockFault::NotARag { container: name };
            return Err(booking.problem(fault, container));
        }
        What::Empty | What::Correct => {}
    }
    Ok(())
}

fn receive(booking: &mut Booking<'_>, container: ContainerId) -> Booked {
    let contents = &mut booking.stock[container];
    // An entry before this one emptied it, so what comes now is new.
    if contents.is_empty() && contents.entries > 1 {
        contents.forget_content();
    }
    let Some(amount) = booking.step.amount else {
        return Ok(());
    };
    booking.put_in(container, amount)?;
    let own = booking.stock.product(container);
    let contents = &mut booking.stock[container];
    contents.blend(own, &pure(own), amount);
    booking.book(container, Flow::Received, amount)
}

/// Takes the amount of the entry, or all there is, out for good.
fn take(booking: &mut Booking<'_>, container: ContainerId, flow: Flow) -> Booked {
    let held = booking.stock[container].amount;
    let Some(amount) = booking.step.amount.or(held) else {
        // All of an amount that is unknown is gone all the same.
        if flow == Flow::Discarded {
            booking.stock[container].amount = Some(Amount::Volume(Volume::ZERO));
        }
        return Ok(());
    };
    booking.take_out(container, amount)?;
    if flow == Flow::Used {
        keep_use(booking, container, amount);
    }
    booking.book(container, flow, amount)
}

/// Keeps a recent use of a liquid for the air.
fn keep_use(booking: &mut Booking<'_>, container: ContainerId, amount: Amount) {
    let (step, tables) = (booking.step, booking.tables);
    if step.when < booking.stock.uses_since || !may_evaporate(tables, container, amount) {
        return;
    }
    let named = step.place.map(|place| tables[place].kind);
    let contents = &booking.stock[container];
    let (location, content) = (contents.location, contents.content.clone());
    booking.stock.uses.push(LiquidUse {
        when: step.when,
        container,
        content,
        amount,
        minutes: step.minutes,
        location: step.location().unwrap_or(location),
        outdoors: named == Some(PlaceKind::Outdoors),
        by: step.by.map(usize::from),
        at: step.at,
    });
}

/// A liquid may be weighed, and a spray can counted. Dry goods are used by weight or by the piece too, and give off nothing.
fn may_evaporate(tables: &ShopTables, container: ContainerId, amount: Amount) -> bool {
    let kind = || tables.kind(container);
    match amount {
        Amount::Volume(_) => true,
        Amount::Mass(_) => kind().is_none_or(|it| it.is_liquid() || it == ProductKind::Wax),
        Amount::Pieces(_) => tables[container].vessel == Some(Vessel::Aerosol),
    }
}

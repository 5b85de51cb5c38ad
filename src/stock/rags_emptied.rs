//! An entry that empties a can of rags: whatever is in it leaves the shop, of every row.

use super::booking::{Booked, Booking};
use super::rag_batch::RagBatch;
use super::rag_states::{Effect, Fate, RagPlace, effect};
use super::rags::{keep_night, not_a_place, throw_out};
use crate::record::ContainerId;

/// Applies an entry that empties a can: everything in it leaves the shop.
pub(super) fn empty(booking: &mut Booking<'_>) -> Booked {
    let location = booking.step.location().unwrap_or_default();
    let kind = RagPlace::find(booking.tables, location, false);
    if let Effect::WantsPlace(kind) = effect(booking.step.what, kind) {
        return Err(not_a_place(booking, kind));
    }
    // A can is a place: without one, the table wants one.
    let Some(place) = location.place else {
        return Ok(());
    };
    booking.stock.emptied[place.index()] = Some((booking.step.when, booking.step.at));
    let rows = 0..booking.stock.containers.len();
    for row in rows.map(ContainerId::at) {
        let cloth = &mut booking.stock[row].cloth;
        let there = |batch: &mut RagBatch| batch.location.place == Some(place);
        let gone: Vec<RagBatch> = cloth.extract_if(.., there).collect();
        for batch in gone {
            keep_night(booking, row, &batch, Fate::ThrownOut);
            throw_out(booking, row, batch.pieces)?;
        }
    }
    Ok(())
}

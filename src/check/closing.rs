//! Closing time: what is not accounted for before everyone goes home, and the entry that would settle each of it.
//!
//! Over night only three states of an oily rag raise no alarm: flat outdoors, under water in a lidded can, or gone (fire
//! services' and fire-protection bodies' advice; a judgment where they are put together). A can for oily waste is emptied
//! daily. One rag is enough. An unrecorded liquid on it counts as a drying oil.

use super::closing_bench::bench;
use super::closing_list::{Closing, Evening};
use super::closing_rags::{cans, rags};
use super::closing_round::questions;
use crate::fact::Hazards;
use crate::quantity::Moment;
use crate::record::ShopTables;
use crate::stock::Stock;
use crate::trade::ReferenceData;

/// The list of what is open, warned of and accounted for at a moment; `stock` is the stock of that moment.
pub fn closing(
    tables: &ShopTables,
    stock: &Stock,
    reference: &ReferenceData,
    hazards: &Hazards,
    at: Moment,
) -> Closing {
    let evening = Evening {
        tables,
        stock,
        reference,
        hazards,
        at,
    };
    let mut lines = rags(&evening);
    lines.extend(cans(&evening));
    lines.extend(bench(&evening));
    lines.extend(questions(&evening));
    lines.sort_by(|a, b| {
        (a.standing, a.about, &a.subject, a.since).cmp(&(b.standing, b.about, &b.subject, b.since))
    });
    Closing { at, lines }
}

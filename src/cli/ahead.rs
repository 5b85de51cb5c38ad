//! Entries that lie after today: the clock is wrong, or they are. An audit that passed them over without a word would
//! call a shop well that it has not seen.

use super::log::args::WithArgs;
use super::style;
use crate::stock::Stock;
use crate::text::clean;
use std::path::Path;

/// Says so, if the day (or moment) comes from the clock: `given` is whether the user named one. `shop` is its folder,
/// where there are several. Gives whether there are any, so that what is found cannot be trusted.
pub fn tell(given: bool, stock: &Stock, shop: Option<&Path>) -> bool {
    if given {
        return false;
    }
    let shop = shop.map_or_else(String::new, |shop| {
        format!("{}: ", clean(&shop.display().to_string()))
    });
    let Some((count, last)) = stock.ahead else {
        return later_today(stock, &shop);
    };
    let entries = if count == 1 {
        "1 entry of log.csv is".to_string()
    } else {
        format!("{count} entries of log.csv are")
    };
    style::complain(&format!(
        "note: {shop}{entries} ahead of this computer's clock, up to {last}, and not counted here.\n  Set the clock, correct \
         the days of those entries in log.csv, or name the day to look at."
    ));
    true
}

/// An entry of a later hour of this day is counted, but it may be what clears a rag that still lies there.
fn later_today(stock: &Stock, shop: &str) -> bool {
    let now = WithArgs::now();
    let Some(last) = stock.last_entry.filter(|last| *last > now) else {
        return false;
    };
    style::complain(&format!(
        "note: {shop}log.csv goes on to {last}, but this computer's clock says {now}.\n  Set the clock, correct the time of that \
         entry in log.csv, or name the day to look at."
    ));
    true
}

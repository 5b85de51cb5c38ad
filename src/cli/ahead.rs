//! Entries and answers that lie after today: the clock is wrong, or they are. An audit that passed them over without a word would
//! call a shop well that it has not seen.

use super::log::args::WithArgs;
use super::style;
use crate::audit::Shop;
use crate::quantity::Moment;
use crate::stock::Stock;
use crate::text::clean;
use std::path::Path;

/// Says so, if the day (or moment) comes from the clock: `given` is whether the user named one. `folder` is that of the shop,
/// where there are several. Gives whether there are any, so that what is found cannot be trusted.
pub fn tell(given: bool, shop: &Shop, stock: &Stock, folder: Option<&Path>) -> bool {
    if given {
        return false;
    }
    let name = folder.map_or_else(String::new, |folder| {
        format!("{}: ", clean(&folder.display().to_string()))
    });
    if let Some((count, last)) = shop.answers_ahead {
        let count = u64::try_from(count).unwrap_or(u64::MAX);
        not_counted(&name, count, ["answer", "answers", "checks.csv"], last);
    }
    let begins = shop.tables.containers_after(WithArgs::now().day());
    if let Some((count, last)) = begins {
        let rows = match count {
            1 => "1 container of inventory.csv begins".to_string(),
            _ => format!("{count} containers of inventory.csv begin"),
        };
        style::complain(&format!(
            "note: {name}{rows} after today by this computer's clock, up to {last}, and not counted here.\n  Set the clock, \
             correct the column \"since\" of those rows, or name the day to look at."
        ));
    }
    let has_entries = match stock.ahead {
        Some((count, last)) => {
            not_counted(&name, count, ["entry", "entries", "log.csv"], last);
            true
        }
        None => later_today(stock, &name),
    };
    has_entries || begins.is_some() || shop.answers_ahead.is_some()
}

fn not_counted(name: &str, count: u64, [one, many, table]: [&str; 3], last: Moment) {
    let rows = match count {
        1 => format!("1 {one} of {table} is"),
        _ => format!("{count} {many} of {table} are"),
    };
    style::complain(&format!(
        "note: {name}{rows} ahead of this computer's clock, up to {last}, and not counted here.\n  Set the clock, correct \
         the days of those {many} in {table}, or name the day to look at."
    ));
}

/// An entry of a later hour of this day is counted, but it may be what clears a rag that still lies there.
fn later_today(stock: &Stock, name: &str) -> bool {
    let now = WithArgs::now();
    let Some(last) = stock.last_entry.filter(|last| *last > now) else {
        return false;
    };
    style::complain(&format!(
        "note: {name}log.csv goes on to {last}, but this computer's clock says {now}.\n  Set the clock, correct the time of that \
         entry in log.csv, or name the day to look at."
    ));
    true
}

//! What every tab is built of.

use crate::quantity::{Airflow, in_unit, unit};
use crate::record::{RoomId, ShopTables};

/// The most rows of one table. A note says how many more the copied table has.
pub(super) const MOST: usize = 2000;

/// The name of a room.
pub(super) fn room(tables: &ShopTables, room: Option<RoomId>) -> &str {
    room.map_or("unknown", |room| tables[room].id.as_str())
}

/// An airflow in the shop's units.
pub(super) fn airflow(flow: Airflow, us: bool) -> String {
    let unit = unit::find(if us { "cfm" } else { "m3/h" });
    unit.map_or_else(String::new, |unit| in_unit(flow.base(), unit))
}

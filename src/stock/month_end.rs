//! What every container held when a month ended, for the last year: a book kept while the log is replayed.

use super::stock_state::{MonthEnd, Stock};
use crate::quantity::{Amount, Moment};
use crate::record::{ContainerId, ShopTables};

/// Months that are looked back on, the one of the day among them.
pub const MONTHS_KEPT: i32 = 12;

impl Stock {
    /// Called before an entry is applied: notes what was held when the month before it ended.
    pub(super) fn turn(&mut self, when: Moment) {
        if self.last_entry.is_some_and(|last| last.day() == when.day()) {
            return;
        }
        let month = when.day().month_key();
        let last = self.last_entry.map(|entry| entry.day().month_key());
        if last.is_some_and(|last| last >= month) || month <= self.on.month_key() - MONTHS_KEPT {
            return;
        }
        self.month_ends.push(MonthEnd {
            month: month - 1,
            held: self.containers.iter().map(|h| h.amount).collect(),
        });
    }

    /// What a container held at the end of a month, or for the last one at the close of the day. `None`: the inventory did
    /// not know it by then. `Some(None)`: how much is unknown.
    pub fn held_at(
        &self,
        tables: &ShopTables,
        container: ContainerId,
        month: i32,
    ) -> Option<Option<Amount>> {
        let since = tables[container].since;
        if since.is_some_and(|since| since.month_key() > month || since > self.on) {
            return None;
        }
        match self.month_ends.iter().find(|end| end.month >= month) {
            Some(end) => Some(end.held[container.index()]),
            None => Some(self[container].amount),
        }
    }
}

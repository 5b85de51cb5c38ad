//! What is later than now counts for nothing where the day comes from the clock.

use super::shop::Shop;
use crate::quantity::Moment;

impl Shop {
    /// Leaves out answers that are later than now: nothing counts as done because of them.
    pub fn leave_out_answers_after(&mut self, now: Moment) {
        self.answers_ahead = self.tables.leave_out_answers_after(now);
    }
}

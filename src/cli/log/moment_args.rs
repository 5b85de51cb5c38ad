//! Moments on the command line of a command that asks no shop how it writes days.

use super::args::WithArgs;
use super::moment::{LAST_MINUTE, moment as typed};
use crate::quantity::Moment;
use crate::typing::{DayOrder, NOON};

pub fn moment(text: &str) -> Result<Moment, String> {
    let read = typed(text, WithArgs::now(), DayOrder::Unsaid, NOON);
    read.map_err(|(wrong, fix)| format!("{wrong} {fix}"))
}

/// As [`moment`], but a day without a time means its last minute.
pub fn end_moment(text: &str) -> Result<Moment, String> {
    let read = typed(text, WithArgs::now(), DayOrder::Unsaid, LAST_MINUTE);
    read.map_err(|(wrong, fix)| format!("{wrong} {fix}"))
}

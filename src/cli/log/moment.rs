//! The moment of `--when` and `--at`, and what is said where it is not clear.

use crate::cli::Failure;
use crate::cli::open::WRITTEN;
use crate::quantity::{Day, Moment};
use crate::text::clean;
use crate::typing::{DayOrder, MomentUnclear, typed_due, typed_moment};

/// A day without a time, where its end is meant.
pub(super) const LAST_MINUTE: (u32, u32) = (23, 59);

/// What is wrong with a moment, and what to write instead.
pub(super) type NoMoment = (String, String);

/// The moment that a text means. A day without a time means `alone`, an hour and a minute.
pub(super) fn moment(
    text: &str,
    now: Moment,
    order: DayOrder,
    alone: (u32, u32),
) -> Result<Moment, NoMoment> {
    typed_moment(text, now, order, alone).map_err(|unclear| unclear_words(text, unclear))
}

/// The day to come that a text means.
pub(super) fn due_day(text: &str, now: Moment, order: DayOrder) -> Result<Day, Failure> {
    typed_due(text, now, order).map_err(|unclear| {
        let (wrong, fix) = unclear_words(text, unclear);
        Failure::refused(wrong, fix, WRITTEN)
    })
}

fn unclear_words(text: &str, unclear: MomentUnclear) -> NoMoment {
    match unclear {
        MomentUnclear::Shape => (
            format!("\"{}\" is not a day and time.", clean(text)),
            "Write 5pm, yesterday 17:30, 3 Nov 10:00 or 2026-11-03T10:00.".to_string(),
        ),
        MomentUnclear::NoSuch => (
            format!("There is no such day or time: \"{}\".", clean(text)),
            "Look at the calendar and the clock.".to_string(),
        ),
        MomentUnclear::Order(one, other) => (
            format!("\"{}\" can be {one} or {other}.", clean(text)),
            format!(
                "Write the day as {one}. To have one order always: sandarac log record shop dates month-first (or day-first)"
            ),
        ),
    }
}

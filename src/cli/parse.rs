//! Days and periods as they are written on the command line.

use crate::quantity::{Day, Dimension, Measure, Period};
use crate::report::LabelSize;

/// Reads a day given on the command line.
pub(super) fn day(text: &str) -> Result<Day, String> {
    Day::parse(text)
        .map_err(|_| "write year, month and day with all digits: 2026-11-24".to_string())
}

/// Reads a span of days or months.
pub(super) fn period(text: &str) -> Result<Period, String> {
    let read = Measure::parse_as(text, Dimension::Period).ok();
    match read.and_then(|measure| measure.period()) {
        Some(span @ (Period::Days(_) | Period::Months(_))) => Ok(span),
        Some(Period::Hours(_) | Period::Minutes(_)) | None => {
            Err("write whole days, weeks, months or years: 60d, '2 months'".to_string())
        }
    }
}

/// Reads a size given on the command line.
pub fn label_size(text: &str) -> Result<LabelSize, String> {
    LabelSize::parse(text).map_err(|fault| fault.to_string())
}

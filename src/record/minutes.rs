//! Minutes of work in a cell.

use super::row::Fields;
use crate::quantity::{Dimension, Measure, Period};
use crate::text::{CellFault, Problem};

/// Minutes are written bare, as the column's name says the unit; `45 min` and `1 h` are read too.
pub fn minutes_written(text: &str) -> Option<u32> {
    if let Ok(minutes) = text.parse::<u32>()
        && minutes <= 100_000
        && text.bytes().all(|b| b.is_ascii_digit())
    {
        return Some(minutes);
    }
    let span = Measure::parse_as(text, Dimension::Period)
        .ok()
        .and_then(|measure| measure.period());
    match span {
        Some(Period::Minutes(n)) => Some(n),
        Some(Period::Hours(n)) => n.checked_mul(60),
        Some(Period::Days(_) | Period::Months(_)) | None => None,
    }
}

/// The minutes in a cell.
pub(super) fn read_minutes(fields: &mut Fields<'_, '_>, column: usize, text: &str) -> Option<u32> {
    let minutes = minutes_written(text);
    if minutes.is_none() {
        let cell = fields.row.cell(column);
        let code = CellFault::Unfit {
            column: "minutes".into(),
            read: cell.text.into(),
            wanted: "whole minutes, such as 45, 45 min or 2 h".into(),
        };
        fields.problems.add(Problem::new(code, cell.place));
    }
    minutes
}

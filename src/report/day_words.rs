//! A day as people write it in a sentence; tables and JSON keep ISO days.

use crate::quantity::Day;

/// A day in a sentence: `31 Oct 2026`.
pub(super) fn day_words(day: Day) -> String {
    const MONTHS: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    let iso = day.to_string();
    let (year, rest) = iso.split_once('-').unwrap_or((&iso, ""));
    let (month, day) = rest.split_once('-').unwrap_or((rest, ""));
    let month = month.parse::<usize>().ok().and_then(|month| MONTHS.get(month.checked_sub(1)?));
    format!("{} {} {year}", day.trim_start_matches('0'), month.unwrap_or(&""))
}

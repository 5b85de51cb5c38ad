//! What day a cell would be that a spreadsheet, or a habit, wrote in another way: for hints, never for reading.

use crate::quantity::{Day, Period};

/// The days, or moments, that the text may mean, each with the reading behind it; none if it looks like no day.
pub(super) fn readings(text: &str) -> Vec<(String, &'static str)> {
    if let Some(list) = counted(text) {
        return list;
    }
    let (day, clock) = parted(text);
    let clock = clock.map_or_else(String::new, |clock| format!("T{clock}"));
    let mut list = written(day);
    for (reading, _) in &mut list {
        reading.push_str(&clock);
    }
    list
}

/// `45962` or `45962.375`: the days that a spreadsheet has counted, from 1900 or, some older ones, from 1904. Numbers
/// that would lie outside 1980 to 2100 are none.
fn counted(text: &str) -> Option<Vec<(String, &'static str)>> {
    let (days, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if days.len() != 5 || !digits(days) || !digits(part) || part.len() > 15 {
        return None;
    }
    let days: u32 = days.parse().ok()?;
    if !(29_221..73_051).contains(&days) {
        return None;
    }
    let clock = clock_of(part);
    // Its day 60 is a 29 February 1900 that never was; later days are one further on than they should be.
    let first = Day::parse("1900-01-01").ok()?;
    let of = |days| format!("{}{clock}", first.plus(Period::Days(days)));
    Some(vec![
        (of(days - 2), "where the days are counted from 1900"),
        (of(days + 1460), "where they are counted from 1904"),
    ])
}

/// The share of a day as a clock: `375` is nine o'clock.
fn clock_of(part: &str) -> String {
    let digits: String = part.chars().chain("000000".chars()).take(6).collect();
    match digits.parse::<u64>() {
        Ok(millionths) if !part.is_empty() => {
            let minute = (millionths * 24 * 60 + 500_000) / 1_000_000;
            let minute = minute.min(24 * 60 - 1);
            format!("T{:02}:{:02}", minute / 60, minute % 60)
        }
        _ => String::new(),
    }
}

/// The day, and the clock behind it as `HH:MM`, if there is one that is understood.
fn parted(text: &str) -> (&str, Option<String>) {
    let Some(colon) = text.find(':') else {
        return (text.trim(), None);
    };
    let Some(cut) = text.get(..colon).and_then(|head| head.rfind([' ', 'T'])) else {
        return (text, None);
    };
    let (day, clock) = text.split_at(cut);
    (day.trim(), clock_like(clock.get(1..).unwrap_or("")))
}

/// `9:00`, `17:30:00` or `5:30 PM` as `HH:MM`.
fn clock_like(text: &str) -> Option<String> {
    let text = text.trim().to_ascii_lowercase();
    let (clock, half) = match text
        .strip_suffix('m')
        .and_then(|t| t.split_at_checked(t.len().checked_sub(1)?))
    {
        Some((clock, half @ ("a" | "p"))) => (clock.trim_end(), Some(half == "p")),
        _ => (text.as_str(), None),
    };
    let mut parts = clock.split(':').map(|part| part.parse::<u32>().ok());
    let (hour, minute) = (parts.next()??, parts.next()??);
    let hour = match half {
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(afternoon) => hour % 12 + if afternoon { 12 } else { 0 },
        None => hour,
    };
    (hour < 24 && minute < 60).then(|| format!("{hour:02}:{minute:02}"))
}

/// Three parts in whatever order: year first, or at the end behind month and day, the month a number or a name.
fn written(text: &str) -> Vec<(String, &'static str)> {
    let parts: Vec<&str> = text
        .split(|c: char| matches!(c, '/' | '-' | '.' | ',') || c.is_whitespace())
        .filter(|part| !part.is_empty())
        .collect();
    let [a, b, c] = parts.as_slice() else {
        return Vec::new();
    };
    let orders = if a.len() == 4 {
        vec![((a, b, c), "year, month, day")]
    } else {
        vec![
            ((c, a, b), "if the month stands first"),
            ((c, b, a), "if the day stands first"),
        ]
    };
    let mut list: Vec<(String, &'static str)> = Vec::new();
    for ((year, month, day), how) in orders {
        let Some(read) = day_of(year, month, day) else {
            continue;
        };
        if !list.iter().any(|(known, _)| *known == read) {
            list.push((read, how));
        }
    }
    list
}

fn day_of(year: &str, month: &str, day: &str) -> Option<String> {
    const MONTHS: [&str; 12] = [
        "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
    ];
    let number = |text: &str| text.parse::<usize>().ok().filter(|_| text.len() <= 4);
    let named = |text: &str| {
        let text = text.to_lowercase();
        (text.len() >= 3)
            .then(|| MONTHS.iter().position(|name| text.starts_with(name)))
            .flatten()
    };
    let month = number(month).or_else(|| named(month).map(|at| at + 1))?;
    let year = match year.len() {
        // Further on it could mean either century.
        2 => 2000 + number(year).filter(|year| *year < 50)?,
        4 => number(year)?,
        _ => return None,
    };
    let day = format!("{year:04}-{month:02}-{:02}", number(day)?);
    Day::parse(&day).ok().map(|_| day)
}

#[cfg(test)]
mod tests {
    use super::readings;

    fn days(text: &str) -> Vec<String> {
        readings(text).into_iter().map(|(day, _)| day).collect()
    }

    /// A count of days: 1970-01-01 is 25569 and 2000-01-01 is 36526 where they are counted from 1900, and 1462 more
    /// than where they are counted from 1904 (common practice of spreadsheets; from memory).
    #[test]
    fn counted_days_are_named_both_ways() {
        assert_eq!(days("36526"), ["2000-01-01", "2004-01-02"]);
        assert_eq!(days("45962"), ["2025-11-01", "2029-11-02"]);
        assert_eq!(days("46329.375")[0], "2026-11-03T09:00");
        assert_eq!(days("46329.72916666667")[0], "2026-11-03T17:30");
        assert!(days("1234").is_empty() && days("99999").is_empty() && days("45962x").is_empty());
    }

    #[test]
    fn both_orders_where_both_are_days() {
        assert_eq!(days("11/2/26"), ["2026-11-02", "2026-02-11"]);
        assert_eq!(days("11/24/2026"), ["2026-11-24"]);
        assert_eq!(days("11.11.2026"), ["2026-11-11"]);
        assert_eq!(days("2-Nov-26"), ["2026-11-02"]);
        assert_eq!(days("November 2, 2026"), ["2026-11-02"]);
        assert_eq!(days("2026/11/2"), ["2026-11-02"]);
        assert_eq!(days("11/3/2026 5:30 PM")[0], "2026-11-03T17:30");
        assert_eq!(days("2026-11-3 12:05 am"), ["2026-11-03T00:05"]);
        assert_eq!(days("2026-11-03T9:00"), ["2026-11-03T09:00"]);
        for text in [
            "",
            "31/31/2026",
            "half full",
            "1/2",
            "2026-02-30",
            "漆/漆/漆",
            "::",
            "1:2",
            "٣/٣/٢٠٢٦",
        ] {
            assert!(days(text).is_empty(), "{text}");
        }
    }
}

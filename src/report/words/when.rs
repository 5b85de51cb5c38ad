//! Dates, times and durations for people: `31 Oct 2026`, `31 Oct, 4:30 pm`, "13 hours".

use crate::quantity::{Day, Moment};

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// `31 Oct 2026`.
pub fn date(day: Day) -> String {
    let (short, year) = parts(day);
    format!("{short} {year}")
}

/// `31 Oct` in the year of `on`, else with its year.
pub(super) fn short_date(day: Day, on: Day) -> String {
    let (short, year) = parts(day);
    if parts(on).1 == year {
        short
    } else {
        format!("{short} {year}")
    }
}

/// `31 Oct 2026, 4:30 pm`; in a metric shop `31 Oct 2026, 16:30`.
pub fn moment(moment: Moment, us: bool) -> String {
    format!("{}, {}", date(moment.day()), clock(moment, us))
}

/// `31 Oct, 4:30 pm` in the year of `on`, else with its year.
pub(super) fn short_moment(moment: Moment, on: Day, us: bool) -> String {
    format!("{}, {}", short_date(moment.day(), on), clock(moment, us))
}

/// `4:30 pm`; in a metric shop `16:30`.
pub fn clock(moment: Moment, us: bool) -> String {
    let clock = moment.clock();
    if !us {
        return clock;
    }
    let (hour, minute) = clock.split_once(':').unwrap_or((&clock, "00"));
    let hour: u32 = hour.parse().unwrap_or(0);
    let half = if hour < 12 { "am" } else { "pm" };
    let shown = match hour % 12 {
        0 => 12,
        other => other,
    };
    format!("{shown}:{minute} {half}")
}

/// The day and month, and the year.
fn parts(day: Day) -> (String, String) {
    let text = day.to_string();
    let mut numbers = text.split('-');
    let year = numbers.next().unwrap_or_default().to_string();
    let month = numbers.next().and_then(|month| month.parse::<usize>().ok());
    let month = month.and_then(|month| MONTHS.get(month.checked_sub(1)?));
    let day = numbers.next().unwrap_or_default().trim_start_matches('0');
    (format!("{day} {}", month.copied().unwrap_or("?")), year)
}

/// "40 minutes", "13 hours", "3 days".
pub fn duration(minutes: i64) -> String {
    const DAY: i64 = 24 * 60;
    match minutes {
        ..60 => count(minutes, "minute"),
        60..4320 => count(minutes / 60, "hour"),
        4320.. => count(minutes / DAY, "day"),
    }
}

/// "1 night", "3 nights".
pub(super) fn count(number: i64, thing: &str) -> String {
    if number == 1 {
        format!("1 {thing}")
    } else {
        format!("{number} {thing}s")
    }
}

/// "every day", "every week", "every 31 days", "every year".
pub(super) fn every(days: i64) -> String {
    match days {
        1 => "every day".into(),
        7 => "every week".into(),
        365 | 366 => "every year".into(),
        days => format!("every {days} days"),
    }
}

/// "today", "yesterday", "9 days ago".
pub(super) fn ago(days: i64) -> String {
    match days {
        0 => "today".into(),
        1 => "yesterday".into(),
        days => format!("{days} days ago"),
    }
}

#[cfg(test)]
mod tests {
    use super::{date, duration, every, moment, short_date, short_moment};
    use crate::quantity::{Day, Moment};

    #[test]
    fn dates_and_times_read_as_people_say_them() {
        let day = Day::parse("2026-10-31").unwrap();
        let at = Moment::parse("2026-10-31T16:30").unwrap();
        assert_eq!(date(day), "31 Oct 2026");
        assert_eq!(moment(at, true), "31 Oct 2026, 4:30 pm");
        assert_eq!(moment(at, false), "31 Oct 2026, 16:30");
        let noon = Moment::parse("2027-01-05T12:05").unwrap();
        assert_eq!(short_moment(noon, day, true), "5 Jan 2027, 12:05 pm");
        let night = Moment::parse("2026-10-05T00:05").unwrap();
        assert_eq!(short_moment(night, day, true), "5 Oct, 12:05 am");
        assert_eq!(short_date(day, day), "31 Oct");
    }

    #[test]
    fn durations_have_one_unit() {
        assert_eq!(duration(1), "1 minute");
        assert_eq!(duration(13 * 60 + 50), "13 hours");
        assert_eq!(duration(71 * 60), "71 hours");
        assert_eq!(duration(72 * 60), "3 days");
        assert_eq!(every(7), "every week");
        assert_eq!(every(30), "every 30 days");
    }
}

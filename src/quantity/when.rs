//! Dates and times for people: `31 Oct 2026`, `31 Oct, 4:30 pm`. Tables and JSON keep theirs.

use super::day::{Day, Moment};

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// `31 Oct 2026`.
pub fn date(day: Day) -> String {
    let (short, year) = parts(day);
    format!("{short} {year}")
}

/// `Oct 2026`, by the key of a month.
pub fn month(key: i32) -> String {
    let name = usize::try_from(key.rem_euclid(12)).ok();
    let name = name.and_then(|at| MONTHS.get(at)).copied();
    format!("{} {}", name.unwrap_or("?"), key.div_euclid(12))
}

/// `31 Oct` in the year of `on`, else with its year.
pub fn short_date(day: Day, on: Day) -> String {
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
pub fn short_moment(moment: Moment, on: Day, us: bool) -> String {
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

#[cfg(test)]
mod tests {
    use super::{date, moment, month, short_date, short_moment};
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
        assert_eq!(month(day.month_key()), "Oct 2026");
        assert_eq!(month(noon.day().month_key()), "Jan 2027");
    }
}

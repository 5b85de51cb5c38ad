//! Days, times and ages as people say them.

use crate::quantity::{Day, Moment};

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// `31 Oct 2026`.
pub fn shown_day(day: Day) -> String {
    let text = day.to_string();
    let part = |range| {
        text.get(range)
            .and_then(|part: &str| part.parse::<usize>().ok())
    };
    let (year, month, number) = (part(0..4), part(5..7), part(8..10));
    match (
        year,
        month.and_then(|month| MONTHS.get(month.checked_sub(1)?)),
        number,
    ) {
        (Some(year), Some(month), Some(number)) => format!("{number} {month} {year}"),
        _ => text,
    }
}

/// `4:30 pm`, or `16:30` in a metric shop.
pub fn shown_clock(at: Moment, us: bool) -> String {
    let minutes = at.minutes_since(Moment::start_of(at.day()));
    let (hour, minute) = (minutes / 60, minutes % 60);
    if !us {
        return format!("{hour:02}:{minute:02}");
    }
    let half = if hour < 12 { "am" } else { "pm" };
    let twelve = match hour % 12 {
        0 => 12,
        hour => hour,
    };
    format!("{twelve}:{minute:02} {half}")
}

/// The time alone for today, the day with it for any other.
pub fn shown_moment(at: Moment, today: Day, us: bool) -> String {
    let clock = shown_clock(at, us);
    match at.day() == today {
        true => clock,
        false => format!("{}, {clock}", shown_day(at.day())),
    }
}

/// How long ago: `12 min`, `3 h 5 min`, `2 days`.
pub fn age(minutes: i64) -> String {
    match minutes.max(0) {
        minutes @ 0..60 => format!("{minutes} min"),
        minutes @ 60..2880 if minutes % 60 == 0 => format!("{} h", minutes / 60),
        minutes @ 60..2880 => format!("{} h {} min", minutes / 60, minutes % 60),
        minutes => format!("{} days", minutes / 1440),
    }
}

#[cfg(test)]
mod tests {
    use super::{age, shown_clock, shown_day, shown_moment};
    use crate::quantity::Moment;

    #[test]
    fn as_people_say_them() {
        let at = |text: &str| Moment::parse(text).unwrap();
        assert_eq!(shown_day(at("2026-10-01T00:00").day()), "1 Oct 2026");
        assert_eq!(shown_clock(at("2026-10-31T16:30"), true), "4:30 pm");
        assert_eq!(shown_clock(at("2026-10-31T00:05"), true), "12:05 am");
        assert_eq!(shown_clock(at("2026-10-31T12:05"), true), "12:05 pm");
        assert_eq!(shown_clock(at("2026-10-31T06:05"), false), "06:05");
        let moment = at("2026-10-31T16:30");
        assert_eq!(shown_moment(moment, moment.day(), false), "16:30");
        let next = at("2026-11-01T00:00").day();
        assert_eq!(shown_moment(moment, next, true), "31 Oct 2026, 4:30 pm");
        assert_eq!(
            [age(0), age(185), age(120), age(5000)],
            ["0 min", "3 h 5 min", "2 h", "3 days"]
        );
    }
}

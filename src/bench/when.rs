//! Times and ages as people say them.

use crate::quantity::{Day, Moment};
use crate::report::words::{clock, date};

/// The time alone for today, the day with it for any other.
pub fn shown_moment(at: Moment, today: Day, us: bool) -> String {
    let clock = clock(at, us);
    match at.day() == today {
        true => clock,
        false => format!("{}, {clock}", date(at.day())),
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
    use super::{age, shown_moment};
    use crate::quantity::Moment;

    #[test]
    fn as_people_say_them() {
        let at = |text: &str| Moment::parse(text).unwrap();
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

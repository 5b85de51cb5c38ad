//! Days, moments and spans. The one door to the calendar; months are calendar steps, never thirty days.

use chrono::{Datelike, Months, NaiveDate, Timelike};

/// A day of the calendar.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(NaiveDate);

/// A minute of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment {
    day: Day,
    minute: u16,
}

/// A length of time as a rule writes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Period {
    /// Minutes.
    Minutes(u32),
    /// Hours.
    Hours(u32),
    /// Days.
    Days(u32),
    /// Calendar months.
    Months(u32),
}

impl Period {
    /// As days are counted: hours are whole days of 24, and what is shorter is due on the same day.
    pub fn in_days(self) -> Period {
        match self {
            Period::Hours(hours) => Period::Days(hours / 24),
            Period::Minutes(_) => Period::Days(0),
            Period::Days(_) | Period::Months(_) => self,
        }
    }
}

/// Why a text is not a day or a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayFault {
    /// Not `YYYY-MM-DD`, or for a moment `YYYY-MM-DDTHH:MM`.
    Shape,
    /// The right shape, but the calendar has no such day.
    NoSuchDay,
    /// The right shape, but the clock has no such minute.
    NoSuchMinute,
    /// Outside the years 1900 to 2199: surely a slip.
    Year,
}

fn two(bytes: &[u8]) -> Option<u32> {
    match bytes {
        [a @ b'0'..=b'9', b @ b'0'..=b'9'] => Some(u32::from(a - b'0') * 10 + u32::from(b - b'0')),
        _ => None,
    }
}

impl Day {
    /// Reads exactly `YYYY-MM-DD`.
    pub fn parse(text: &str) -> Result<Day, DayFault> {
        let bytes = text.as_bytes();
        let [y1, y2, y3, y4, b'-', m1, m2, b'-', d1, d2] = bytes else {
            return Err(DayFault::Shape);
        };
        let part = |a: &u8, b: &u8| two(&[*a, *b]).ok_or(DayFault::Shape);
        let year = part(y1, y2)? * 100 + part(y3, y4)?;
        let (month, day) = (part(m1, m2)?, part(d1, d2)?);
        if !(1900..2200).contains(&year) {
            return Err(DayFault::Year);
        }
        let year = i32::try_from(year).map_err(|_| DayFault::Year)?;
        NaiveDate::from_ymd_opt(year, month, day)
            .map(Day)
            .ok_or(DayFault::NoSuchDay)
    }

    /// The local day by the computer's clock: called once, by the command line, when no day is given.
    pub fn today() -> Day {
        Day(chrono::Local::now().date_naive())
    }

    /// Days from `earlier` to this one; negative if it lies ahead.
    pub fn since(self, earlier: Day) -> i64 {
        (self.0 - earlier.0).num_days()
    }

    /// This day moved on by a span; hours and minutes do not move a day.
    pub fn plus(self, span: Period) -> Day {
        let moved = match span {
            Period::Days(n) => self.0.checked_add_days(chrono::Days::new(u64::from(n))),
            Period::Months(n) => self.0.checked_add_months(Months::new(n)),
            Period::Hours(_) | Period::Minutes(_) => Some(self.0),
        };
        moved.map_or(self, Day)
    }

    /// So many days earlier.
    pub fn back(self, days: u32) -> Day {
        self.0
            .checked_sub_days(chrono::Days::new(u64::from(days)))
            .map_or(self, Day)
    }

    /// Days since the last Monday.
    pub fn weekday(self) -> usize {
        usize::try_from(self.0.weekday().num_days_from_monday()).unwrap_or(0)
    }

    /// `2026-11`.
    pub fn month(self) -> String {
        format!("{:04}-{:02}", self.0.year(), self.0.month())
    }

    /// Months since the year 0: a small key for sums by month.
    pub fn month_key(self) -> i32 {
        self.0.year() * 12 + i32::try_from(self.0.month0()).unwrap_or(0)
    }
}

/// The month of a key as text: the inverse of [`Day::month_key`].
pub fn month_of(key: i32) -> String {
    format!("{:04}-{:02}", key.div_euclid(12), key.rem_euclid(12) + 1)
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // The crate writes a date of four digits of year in this form, and quicker than by a pattern.
        std::fmt::Display::fmt(&self.0, f)
    }
}

impl std::fmt::Debug for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        std::fmt::Display::fmt(self, f)
    }
}

impl Moment {
    /// Reads exactly `YYYY-MM-DDTHH:MM`.
    pub fn parse(text: &str) -> Result<Moment, DayFault> {
        let Some((day, clock)) = text.split_at_checked(10) else {
            return Err(DayFault::Shape);
        };
        let day = Day::parse(day)?;
        let [b'T', h1, h2, b':', m1, m2] = clock.as_bytes() else {
            return Err(DayFault::Shape);
        };
        let hour = two(&[*h1, *h2]).ok_or(DayFault::Shape)?;
        let minute = two(&[*m1, *m2]).ok_or(DayFault::Shape)?;
        Moment::at(day, hour, minute).ok_or(DayFault::NoSuchMinute)
    }

    fn at(day: Day, hour: u32, minute: u32) -> Option<Moment> {
        let fits = hour < 24 && minute < 60;
        fits.then(|| u16::try_from(hour * 60 + minute).ok())
            .flatten()
            .map(|minute| Moment { day, minute })
    }

    /// The local minute by the computer's clock: called once, by the command line, when no moment is given.
    pub fn now() -> Moment {
        Moment::ago(0)
    }

    /// The local minute so many minutes ago. They are taken off before the clock of the place is asked, so that an hour that
    /// was skipped or given back in between does no harm.
    pub fn ago(minutes: u32) -> Moment {
        let then = chrono::Utc::now() - chrono::Duration::minutes(i64::from(minutes));
        Moment::in_zone(then, &chrono::Local)
    }

    fn in_zone<Z: chrono::TimeZone>(then: chrono::DateTime<chrono::Utc>, zone: &Z) -> Moment {
        let local = then.with_timezone(zone).naive_local();
        Moment {
            day: Day(local.date()),
            minute: u16::try_from(local.hour() * 60 + local.minute()).unwrap_or(0),
        }
    }

    /// The last minute of a day.
    pub fn end_of(day: Day) -> Moment {
        Moment {
            day,
            minute: 24 * 60 - 1,
        }
    }

    /// The minute after this one.
    pub fn next(self) -> Moment {
        if self.minute + 1 < 24 * 60 {
            Moment {
                minute: self.minute + 1,
                ..self
            }
        } else {
            Moment::close_of(self.day)
        }
    }

    /// The day on which the minute before this one lies.
    pub fn day_before_close(self) -> Day {
        if self.minute == 0 {
            self.day.back(1)
        } else {
            self.day
        }
    }

    /// `17:30`.
    pub fn clock(self) -> String {
        format!("{:02}:{:02}", self.minute / 60, self.minute % 60)
    }

    /// The first minute of a day.
    pub fn start_of(day: Day) -> Moment {
        Moment { day, minute: 0 }
    }

    /// The close of a day: midnight, when an audit on that day looks.
    pub fn close_of(day: Day) -> Moment {
        Moment {
            day: day.plus(Period::Days(1)),
            minute: 0,
        }
    }

    /// The day it lies on.
    pub fn day(self) -> Day {
        self.day
    }

    /// Whole minutes from `earlier` to this one.
    pub fn minutes_since(self, earlier: Moment) -> i64 {
        self.day.since(earlier.day) * 24 * 60 + i64::from(self.minute) - i64::from(earlier.minute)
    }

    /// Midnights passed since `earlier`.
    pub fn nights_since(self, earlier: Moment) -> i64 {
        self.day.since(earlier.day)
    }
}

/// Remembers the last day read: the entries of a log mostly share it with the entry before.
#[derive(Debug, Default)]
pub struct LastDay(Option<([u8; 10], Day)>);

impl LastDay {
    /// As [`Moment::parse`], without its reason.
    pub fn moment(&mut self, text: &str) -> Option<Moment> {
        let (day, clock) = text.as_bytes().split_first_chunk::<10>()?;
        let [b'T', h1, h2, b':', m1, m2] = clock else {
            return None;
        };
        let day = match self.0 {
            Some((last, known)) if last == *day => known,
            _ => {
                let read = Day::parse(text.get(..10)?).ok()?;
                self.0 = Some((*day, read));
                read
            }
        };
        Moment::at(day, two(&[*h1, *h2])?, two(&[*m1, *m2])?)
    }
}

impl std::fmt::Display for Moment {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}T{}", self.day, self.clock())
    }
}

impl std::fmt::Display for Period {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (number, one, many) = match self {
            Period::Minutes(n) => (n, "minute", "minutes"),
            Period::Hours(n) => (n, "hour", "hours"),
            Period::Days(n) => (n, "day", "days"),
            Period::Months(n) => (n, "month", "months"),
        };
        write!(f, "{number} {}", if *number == 1 { one } else { many })
    }
}

#[cfg(test)]
mod tests {
    use super::{Day, DayFault, Moment, Period, month_of};
    use chrono::{FixedOffset, NaiveDate, NaiveDateTime};

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    #[test]
    fn one_shape_and_no_other() {
        for (text, fault) in [
            ("24-01-02", DayFault::Shape),
            ("2024-1-2", DayFault::Shape),
            (" 2024-01-02", DayFault::Shape),
            ("+2024-01-02", DayFault::Shape),
            ("11/02/26", DayFault::Shape),
            ("45962", DayFault::Shape),
            ("2026-02-29", DayFault::NoSuchDay),
            ("0024-01-02", DayFault::Year),
            ("２０２４-01-02", DayFault::Shape),
        ] {
            assert_eq!(Day::parse(text), Err(fault), "{text}");
        }
        assert_eq!(Moment::parse("2026-1-2T9:3"), Err(DayFault::Shape));
        assert_eq!(
            Moment::parse("2026-01-02T24:00"),
            Err(DayFault::NoSuchMinute)
        );
        assert_eq!(Moment::parse("2026-01-02 09:03"), Err(DayFault::Shape));
        assert_eq!(
            Moment::parse("2026-01-02T09:03").map(|m| m.to_string()),
            Ok("2026-01-02T09:03".into())
        );
    }

    #[test]
    fn months_are_calendar_steps() {
        assert_eq!(day("2026-01-31").plus(Period::Months(1)), day("2026-02-28"));
        assert_eq!(
            day("2024-02-29").plus(Period::Months(12)),
            day("2025-02-28")
        );
        assert_eq!(day("2026-03-01").since(day("2026-02-01")), 28);
        assert_eq!(month_of(day("2026-11-24").month_key()), "2026-11");
    }

    /// A place that skips an hour in spring and gives it back in autumn.
    #[derive(Clone)]
    struct Eastern;

    impl chrono::TimeZone for Eastern {
        type Offset = FixedOffset;

        fn from_offset(_: &FixedOffset) -> Eastern {
            Eastern
        }

        fn offset_from_local_date(&self, day: &NaiveDate) -> chrono::MappedLocalTime<FixedOffset> {
            self.offset_from_local_datetime(&day.and_time(chrono::NaiveTime::MIN))
        }

        fn offset_from_local_datetime(
            &self,
            at: &NaiveDateTime,
        ) -> chrono::MappedLocalTime<FixedOffset> {
            chrono::MappedLocalTime::Single(self.offset_from_utc_datetime(at))
        }

        fn offset_from_utc_date(&self, day: &NaiveDate) -> FixedOffset {
            self.offset_from_utc_datetime(&day.and_time(chrono::NaiveTime::MIN))
        }

        fn offset_from_utc_datetime(&self, at: &NaiveDateTime) -> FixedOffset {
            let text = at.format("%m-%dT%H:%M").to_string();
            let summer = ("03-08T07:00".."11-01T06:00").contains(&text.as_str());
            FixedOffset::west_opt(if summer { 4 } else { 5 } * 3600).unwrap()
        }
    }

    #[test]
    fn minutes_are_taken_off_before_the_clock_of_the_place_is_asked() {
        let local = |utc: &str| {
            let utc = NaiveDateTime::parse_from_str(utc, "%Y-%m-%dT%H:%M").unwrap();
            Moment::in_zone(utc.and_utc(), &Eastern).to_string()
        };
        // Ten minutes before 3:05 am on the day that skips an hour.
        assert_eq!(local("2026-03-08T07:05"), "2026-03-08T03:05");
        assert_eq!(local("2026-03-08T06:55"), "2026-03-08T01:55");
        // Ten minutes before the second 1:05 am of the day that has it twice.
        assert_eq!(local("2026-11-01T06:05"), "2026-11-01T01:05");
        assert_eq!(local("2026-11-01T05:55"), "2026-11-01T01:55");
    }

    #[test]
    fn the_close_of_a_day_is_midnight() {
        let soiled = Moment::parse("2026-11-24T17:30").unwrap();
        let close = Moment::close_of(day("2026-11-24"));
        assert_eq!(Moment::end_of(day("2026-11-24")).next(), close);
        assert_eq!(soiled.next().to_string(), "2026-11-24T17:31");
        assert_eq!(close.day_before_close(), day("2026-11-24"));
        assert_eq!(soiled.next().day_before_close(), day("2026-11-24"));
        assert_eq!(close.minutes_since(soiled), 390);
        assert_eq!(close.nights_since(soiled), 1);
    }
}

//! Days and times as people type them: `yesterday`, `5pm`, `17:30`, `11/3`, `3 Nov`, `2026-11-03 10:00`.

use crate::quantity::{Day, Moment, Period};
use crate::record::ShopSettings;
use crate::text::DateOrder;

/// What a shop means by `11/3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayOrder {
    /// The third of November.
    MonthFirst,
    /// The eleventh of March.
    DayFirst,
    /// It has not said.
    Unsaid,
}

impl DayOrder {
    /// How a shop writes days.
    pub fn of_shop(shop: &ShopSettings) -> DayOrder {
        match shop.locale.dates {
            Some(DateOrder::MonthFirst) => DayOrder::MonthFirst,
            Some(DateOrder::DayFirst) => DayOrder::DayFirst,
            Some(DateOrder::Iso) | None => DayOrder::Unsaid,
        }
    }
}

/// Why a text is not a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MomentUnclear {
    /// It is neither a day nor a time.
    Shape,
    /// The calendar or the clock has none such.
    NoSuch,
    /// It can be one day or another, and the shop has not said how it writes days.
    Order(Day, Day),
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
const WEEKDAYS: [&str; 7] = [
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];
/// The middle of a day, as an hour and a minute.
pub const NOON: (u32, u32) = (12, 0);

/// The moment that a text means; of a day without a time, the hour and minute `alone`. A day without a year is the last such day, for nothing is logged before it happens.
pub fn typed_moment(
    text: &str,
    now: Moment,
    order: DayOrder,
    alone: (u32, u32),
) -> Result<Moment, MomentUnclear> {
    let text = text.trim();
    if let Ok(moment) = Moment::parse(text) {
        return Ok(moment);
    }
    let lower = text.to_lowercase().replace(',', " ");
    if lower == "now" {
        return Ok(now);
    }
    let spaced = split_iso(&lower);
    let words: Vec<&str> = spaced
        .split_whitespace()
        .filter(|word| !matches!(*word, "at" | "on" | "of" | "the"))
        .collect();
    let (mut words, mut time) = (words, None);
    if let Some(found) = last_time(&words)? {
        (words, time) = (
            words.get(..found.1).unwrap_or_default().to_vec(),
            Some(found.0),
        );
    }
    let day = match words.as_slice() {
        [] if time.is_some() => now.day(),
        [] => return Err(MomentUnclear::Shape),
        words => day(words, now.day(), order)?,
    };
    let (hour, minute) = time.unwrap_or(alone);
    let moment = Moment::parse(&format!("{day}T{hour:02}:{minute:02}"));
    moment.map_err(|_| MomentUnclear::NoSuch)
}

/// The day to come that a text means: `friday`, `3 Dec`, `tomorrow`, `in 2 weeks`. A day without a year is the next such day.
pub fn typed_due(text: &str, now: Moment, order: DayOrder) -> Result<Day, MomentUnclear> {
    let (today, lower) = (now.day(), text.trim().to_lowercase());
    let words: Vec<&str> = lower.split_whitespace().collect();
    let ahead = |count: &str, unit: &str| {
        let unit = unit.trim_end_matches('s');
        let count = if matches!(count, "a" | "one") {
            Some(1)
        } else {
            number(count)
        };
        match (unit, count.ok_or(MomentUnclear::Shape)?) {
            ("day", count) => Ok(today.plus(Period::Days(count))),
            ("week", count) => Ok(today.plus(Period::Days(count * 7))),
            ("month", count) => Ok(today.plus(Period::Months(count))),
            _ => Err(MomentUnclear::Shape),
        }
    };
    match words.as_slice() {
        ["tomorrow"] => return Ok(today.plus(Period::Days(1))),
        ["in", count, unit] => return ahead(count, unit),
        ["next", unit @ ("week" | "month")] => return ahead("1", unit),
        _ => {}
    }
    let day = typed_moment(text, now, order, NOON)?.day();
    let is_weekday = WEEKDAYS
        .iter()
        .any(|name| lower.len() >= 3 && name.starts_with(&lower));
    if is_weekday {
        return Ok(day.plus(Period::Days(7)));
    }
    let year = day.to_string().get(..4).unwrap_or_default().to_string();
    if day >= today || lower.contains(&year) {
        return Ok(day);
    }
    let next = |ahead: u32| {
        let year: u32 = year.parse().ok()?;
        let rest = day.to_string().get(4..)?.to_string();
        Day::parse(&format!("{:04}{rest}", year + ahead)).ok()
    };
    let mut to_come = (1..=8).filter_map(next);
    to_come
        .find(|day| *day >= today)
        .ok_or(MomentUnclear::NoSuch)
}

/// An ISO moment becomes two words.
fn split_iso(text: &str) -> String {
    let day = text.get(..10).filter(|day| Day::parse(day).is_ok());
    match (day, text.get(10..11), text.get(11..)) {
        (Some(day), Some("t"), Some(time)) => format!("{day} {time}"),
        _ => text.to_string(),
    }
}

/// A time of the day as an hour and a minute, and how many words are before it.
type TimeAt = ((u32, u32), usize);

/// The time at the end of the words.
fn last_time(words: &[&str]) -> Result<Option<TimeAt>, MomentUnclear> {
    let Some((last, before)) = words.split_last() else {
        return Ok(None);
    };
    if let ("am" | "pm" | "a.m." | "p.m.", Some((number, rest))) = (*last, before.split_last()) {
        let time = time(&format!("{number}{last}"))?;
        return Ok(time.map(|time| (time, rest.len())));
    }
    Ok(time(last)?.map(|time| (time, before.len())))
}

fn time(word: &str) -> Result<Option<(u32, u32)>, MomentUnclear> {
    if word == "noon" {
        return Ok(Some(NOON));
    }
    let word = word.replace('.', "");
    let (clock, half) = match (word.strip_suffix("am"), word.strip_suffix("pm")) {
        (Some(clock), _) => (clock, Some(0)),
        (_, Some(clock)) => (clock, Some(12)),
        (None, None) => (word.as_str(), None),
    };
    let (hour, minute) = match (clock.split_once(':'), half) {
        (Some((hour, minute)), _) if minute.len() == 2 => (hour, minute),
        (None, Some(_)) => (clock, "00"),
        _ => return Ok(None),
    };
    let (Some(hour), Some(minute)) = (number(hour), number(minute)) else {
        return Ok(None);
    };
    let hour = match half {
        Some(_) if !(1..=12).contains(&hour) => return Err(MomentUnclear::NoSuch),
        Some(half) => hour % 12 + half,
        None => hour,
    };
    if hour > 23 || minute > 59 {
        return Err(MomentUnclear::NoSuch);
    }
    Ok(Some((hour, minute)))
}

fn number(text: &str) -> Option<u32> {
    let digits = (1..=4).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

fn day(words: &[&str], today: Day, order: DayOrder) -> Result<Day, MomentUnclear> {
    match words {
        ["today"] => Ok(today),
        ["yesterday"] => Ok(today.back(1)),
        ["last", "night"] => Ok(today.back(1)),
        [one] => one_word(one, today, order),
        [a, b] => named_month(a, b, None, today),
        [a, b, year] => {
            let year = number(year).filter(|_| year.len() == 4);
            named_month(a, b, Some(year.ok_or(MomentUnclear::Shape)?), today)
        }
        _ => Err(MomentUnclear::Shape),
    }
}

fn one_word(word: &str, today: Day, order: DayOrder) -> Result<Day, MomentUnclear> {
    if let Ok(day) = Day::parse(word) {
        return Ok(day);
    }
    if word.len() >= 3
        && let Some(weekday) = WEEKDAYS.iter().position(|name| name.starts_with(word))
    {
        let back = (0..7).find(|back| today.back(*back).weekday() == weekday);
        return back
            .map(|back| today.back(back))
            .ok_or(MomentUnclear::Shape);
    }
    let parts: Vec<&str> = word
        .split(['/', '.', '-'])
        .filter(|part| !part.is_empty())
        .collect();
    let (a, b, year) = match parts.as_slice() {
        [a, b] => (a, b, None),
        [a, b, year] => (a, b, Some(number(year).ok_or(MomentUnclear::Shape)?)),
        _ => return Err(MomentUnclear::Shape),
    };
    let (Some(a), Some(b)) = (number(a), number(b)) else {
        return Err(MomentUnclear::Shape);
    };
    let year = year.map(|year| if year < 100 { year + 2000 } else { year });
    let month_first = calendar(a, b, year, today);
    let day_first = calendar(b, a, year, today);
    match (order, month_first, day_first) {
        (DayOrder::MonthFirst, day, _) | (DayOrder::DayFirst, _, day) => {
            day.ok_or(MomentUnclear::NoSuch)
        }
        (DayOrder::Unsaid, Some(one), Some(other)) if one != other => {
            Err(MomentUnclear::Order(one, other))
        }
        (DayOrder::Unsaid, one, other) => one.or(other).ok_or(MomentUnclear::NoSuch),
    }
}

/// `3 nov`, `nov 3`, `3rd november`.
fn named_month(a: &str, b: &str, year: Option<u32>, today: Day) -> Result<Day, MomentUnclear> {
    let month = |word: &str| {
        let named = |name: &&str| word.len() >= 3 && name.starts_with(word.trim_end_matches('.'));
        let at = MONTHS.iter().position(named)?;
        u32::try_from(at + 1).ok()
    };
    let of_month = |word: &str| number(word.trim_end_matches(|c: char| c.is_ascii_alphabetic()));
    let (month, of_month) = match (month(a), month(b)) {
        (Some(month), None) => (month, of_month(b)),
        (None, Some(month)) => (month, of_month(a)),
        _ => return Err(MomentUnclear::Shape),
    };
    let of_month = of_month.ok_or(MomentUnclear::Shape)?;
    calendar(month, of_month, year, today).ok_or(MomentUnclear::NoSuch)
}

/// That day of that year, or else the last such day before tomorrow.
fn calendar(month: u32, of_month: u32, year: Option<u32>, today: Day) -> Option<Day> {
    let on = |year: u32| Day::parse(&format!("{year:04}-{month:02}-{of_month:02}")).ok();
    if let Some(year) = year {
        return on(year);
    }
    let this: u32 = today.to_string().get(..4)?.parse().ok()?;
    // A leap day may lie eight years back.
    (0..=8)
        .filter_map(|back| on(this - back))
        .find(|day| *day < today.plus(Period::Days(1)))
}

#[cfg(test)]
mod tests {
    use super::{DayOrder, MomentUnclear, NOON, typed_moment};
    use crate::quantity::{Day, Moment};

    fn now() -> Moment {
        Moment::parse("2026-11-28T14:20").unwrap()
    }

    #[test]
    fn moments_are_read_as_people_type_them() {
        for (typed, moment) in [
            ("2026-11-03T10:00", "2026-11-03T10:00"),
            ("2026-11-03 10:00", "2026-11-03T10:00"),
            ("2026-11-03", "2026-11-03T12:00"),
            ("17:30", "2026-11-28T17:30"),
            ("5pm", "2026-11-28T17:00"),
            ("5 pm", "2026-11-28T17:00"),
            ("5:15 p.m.", "2026-11-28T17:15"),
            ("12am", "2026-11-28T00:00"),
            ("12 pm", "2026-11-28T12:00"),
            ("noon", "2026-11-28T12:00"),
            ("now", "2026-11-28T14:20"),
            ("yesterday", "2026-11-27T12:00"),
            ("yesterday 5pm", "2026-11-27T17:00"),
            ("Yesterday at 16:05", "2026-11-27T16:05"),
            ("today 8am", "2026-11-28T08:00"),
            ("3 Nov", "2026-11-03T12:00"),
            ("Nov 3, 9:30 am", "2026-11-03T09:30"),
            ("3rd November 2025", "2025-11-03T12:00"),
            ("3 Dec", "2025-12-03T12:00"),
            ("29 Feb", "2024-02-29T12:00"),
            ("28 Nov", "2026-11-28T12:00"),
            ("Friday", "2026-11-27T12:00"),
            ("sat 9am", "2026-11-28T09:00"),
            ("25/11", "2026-11-25T12:00"),
            ("11/25/26", "2026-11-25T12:00"),
            ("25.11.2026 8:00", "2026-11-25T08:00"),
            ("11/11", "2026-11-11T12:00"),
        ] {
            let found = typed_moment(typed, now(), DayOrder::Unsaid, NOON);
            assert_eq!(found, Ok(Moment::parse(moment).unwrap()), "{typed}");
        }
    }

    #[test]
    fn a_day_to_come_is_the_next_one() {
        for (typed, day) in [
            ("2026-12-03", "2026-12-03"),
            ("3 Dec", "2026-12-03"),
            ("Jan 15", "2027-01-15"),
            ("28 Nov", "2026-11-28"),
            ("friday", "2026-12-04"),
            ("Saturday", "2026-12-05"),
            ("tomorrow", "2026-11-29"),
            ("in 2 weeks", "2026-12-12"),
            ("in a month", "2026-12-28"),
            ("next week", "2026-12-05"),
            ("25/12", "2026-12-25"),
            ("3 Nov 2026", "2026-11-03"),
        ] {
            let found = super::typed_due(typed, now(), DayOrder::Unsaid);
            assert_eq!(found, Ok(Day::parse(day).unwrap()), "{typed}");
        }
        for typed in ["soon", "in two", "in 3 moons", ""] {
            let found = super::typed_due(typed, now(), DayOrder::Unsaid);
            assert_eq!(found, Err(MomentUnclear::Shape), "{typed}");
        }
    }

    #[test]
    fn what_can_be_two_days_is_asked() {
        let typed = |order| typed_moment("11/3 5pm", now(), order, NOON);
        let days = ["2026-11-03", "2026-03-11"].map(|day| Day::parse(day).unwrap());
        assert_eq!(
            typed(DayOrder::Unsaid),
            Err(MomentUnclear::Order(days[0], days[1]))
        );
        let at = |text: &str| Ok(Moment::parse(text).unwrap());
        assert_eq!(typed(DayOrder::MonthFirst), at("2026-11-03T17:00"));
        assert_eq!(typed(DayOrder::DayFirst), at("2026-03-11T17:00"));
    }

    #[test]
    fn what_is_no_moment_is_refused() {
        for (typed, why) in [
            ("", MomentUnclear::Shape),
            ("soon", MomentUnclear::Shape),
            ("25:00", MomentUnclear::NoSuch),
            ("13pm", MomentUnclear::NoSuch),
            ("31 Nov", MomentUnclear::NoSuch),
            ("13/13", MomentUnclear::NoSuch),
            ("3", MomentUnclear::Shape),
        ] {
            assert_eq!(
                typed_moment(typed, now(), DayOrder::Unsaid, NOON),
                Err(why),
                "{typed}"
            );
        }
        let typed = typed_moment("25/11", now(), DayOrder::MonthFirst, NOON);
        assert_eq!(typed, Err(MomentUnclear::NoSuch));
    }
}

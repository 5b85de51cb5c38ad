//! How the spreadsheets of a shop write dates and decimals, read into the one form that the program uses.

use super::words::words;
use crate::quantity::{Day, Moment};

/// How dates and decimals are written in the tables of a shop, as shop.toml says it. What it does not say is `None`.
#[derive(Clone, Copy, Debug, Default)]
pub struct Locale {
    /// The order of day, month and year.
    pub dates: Option<DateOrder>,
    /// What separates a decimal.
    pub decimals: Option<DecimalMark>,
    /// The columns that hold days or moments.
    pub days: &'static [&'static str],
    /// The columns that hold numbers.
    pub numbers: &'static [&'static str],
}

words! {
    /// The order of day, month and year. Dates with the year first are read in any shop.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum DateOrder {
        /// `2026-10-31`.
        Iso = "iso",
        /// `10/31/2026`.
        MonthFirst = "month-first",
        /// `31.10.2026` or `31/10/2026`.
        DayFirst = "day-first",
    }
}

words! {
    /// What separates a decimal.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    pub enum DecimalMark {
        /// `0.5`.
        Point = "point",
        /// `0,5`.
        Comma = "comma",
    }
}

/// What a column holds, as far as a spreadsheet changes how it is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CellForm {
    /// Days or moments.
    Day,
    /// Numbers, with or without units.
    Number,
    /// Anything else.
    Text,
}

/// A number of which it is unknown whether it has a decimal or a thousand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ambiguous;

impl Locale {
    /// Are all cells in the form that the program uses?
    pub fn is_plain(&self) -> bool {
        let dates = matches!(self.dates, None | Some(DateOrder::Iso));
        dates && matches!(self.decimals, None | Some(DecimalMark::Point))
    }

    /// Is this a table of a shop that does not say how it writes dates?
    pub fn lacks_dates(&self) -> bool {
        self.dates.is_none() && !self.days.is_empty()
    }

    /// Is this a table of a shop that does not say how it writes decimals?
    pub fn lacks_decimals(&self) -> bool {
        self.decimals.is_none() && !self.numbers.is_empty()
    }

    /// What the column of this name holds.
    pub fn form(&self, column: &str) -> CellForm {
        let among = |list: &[&str]| list.iter().any(|it| it.eq_ignore_ascii_case(column));
        if among(self.days) {
            CellForm::Day
        } else if among(self.numbers) {
            CellForm::Number
        } else {
            CellForm::Text
        }
    }

    /// A cell in the form that the program uses; `None` if it is in that form already, or is nothing that is understood.
    pub fn plain(&self, cell: &str, form: CellForm) -> Result<Option<String>, Ambiguous> {
        match (form, self.dates, self.decimals) {
            (CellForm::Day, Some(order), _) => Ok(day_in(cell, order)),
            (CellForm::Number, _, Some(DecimalMark::Comma)) => with_points(cell),
            (CellForm::Day | CellForm::Number | CellForm::Text, _, _) => Ok(None),
        }
    }
}

/// `10/31/2026 5:30 PM` as `2026-10-31T17:30`, and `31.10.2026` as `2026-10-31`; `None` if it is no such date. A year of two
/// digits lies in 2000 to 2049: further on it could mean either century.
pub(super) fn day_in(text: &str, order: DateOrder) -> Option<String> {
    let text = text.trim();
    let (day, clock) = text.split_once(' ').unwrap_or((text, ""));
    let mark = day.chars().find(|c| !c.is_ascii_digit())?;
    if !matches!(mark, '/' | '.' | '-') {
        return None;
    }
    let parts: Vec<&str> = day.split(mark).collect();
    let [first, second, year] = parts.as_slice() else {
        return None;
    };
    let (month, day) = match order {
        DateOrder::Iso => return None,
        DateOrder::MonthFirst => (first, second),
        DateOrder::DayFirst => (second, first),
    };
    let part = |text: &str| match text.len() {
        1 | 2 => text.parse::<u8>().ok(),
        _ => None,
    };
    let year: u16 = match (year.len(), year.parse().ok()?) {
        (4, year) => year,
        (2, year @ 0..=49) => 2000 + year,
        _ => return None,
    };
    let iso = format!("{year:04}-{:02}-{:02}", part(month)?, part(day)?);
    Day::parse(&iso).ok()?;
    if clock.is_empty() {
        return Some(iso);
    }
    let moment = format!("{iso}T{}", clock_in(clock.trim())?);
    Moment::parse(&moment).ok().map(|_| moment)
}

/// `17:30`, `17:30:00` or `5:30 PM` as `17:30`.
fn clock_in(text: &str) -> Option<String> {
    let lower = text.to_ascii_lowercase();
    let half = [("am", 0), ("pm", 12)]
        .into_iter()
        .find_map(|(end, more)| Some((lower.strip_suffix(end)?.trim_end(), more)));
    let (clock, more) = half.map_or((lower.as_str(), None), |(clock, more)| (clock, Some(more)));
    let clock = match clock.split(':').collect::<Vec<_>>().as_slice() {
        [hour, minute] | [hour, minute, "00"] => (hour.parse::<u8>().ok()?, minute.parse().ok()?),
        _ => return None,
    };
    let (hour, minute): (u8, u8) = clock;
    let hour = match more {
        Some(more) if (1..=12).contains(&hour) => hour % 12 + more,
        Some(_) => return None,
        None => hour,
    };
    Some(format!("{hour:02}:{minute:02}"))
}

/// A cell whose numbers have decimal commas, with points; `None` if it has neither.
fn with_points(text: &str) -> Result<Option<String>, Ambiguous> {
    if !text.contains([',', '.']) {
        return Ok(None);
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let end = from
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
            .unwrap_or(from.len());
        // A point or comma behind the last digit ends a clause, not a number.
        let number = from.get(..end).unwrap_or(from);
        let number = number.trim_end_matches(['.', ',']);
        let behind = from.get(number.len()..).unwrap_or("");
        let mut next = behind.chars();
        // `2,6-dimethylheptane` is a name.
        let in_a_name = next.next() == Some('-') && next.next().is_some_and(char::is_alphabetic);
        match (in_a_name, number_with_point(number)?) {
            (false, Some(number)) => out.push_str(&number),
            (true, _) | (false, None) => out.push_str(number),
        }
        rest = behind;
    }
    out.push_str(rest);
    Ok((out != text).then_some(out))
}

fn number_with_point(number: &str) -> Result<Option<String>, Ambiguous> {
    let (whole, part) = match number.split_once(',') {
        Some((whole, part)) if !part.contains([',', '.']) => (whole, Some(part)),
        Some(_) => return Ok(None),
        None => (number, None),
    };
    match (is_grouped(whole), part) {
        (true, Some(part)) => Ok(Some(format!("{}.{part}", whole.replace('.', "")))),
        // 1.500 may be a thousand and a half or one and a half.
        (true, None) => Err(Ambiguous),
        (false, Some(part)) if !whole.contains('.') => Ok(Some(format!("{whole}.{part}"))),
        (false, _) => Ok(None),
    }
}

/// Is it a number with points between its thousands, such as `1.500`?
fn is_grouped(whole: &str) -> bool {
    let mut groups = whole.split('.');
    let first = groups.next().unwrap_or("");
    let rest: Vec<&str> = groups.collect();
    let full = |group: &&str| group.len() == 3;
    (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && !rest.is_empty()
        && rest.iter().all(full)
}

#[cfg(test)]
mod tests {
    use super::{Ambiguous, DateOrder, day_in, with_points};

    #[test]
    fn dates_are_read_in_the_order_of_the_shop() {
        use DateOrder::{DayFirst, Iso, MonthFirst};
        for (text, order, iso) in [
            ("10/31/2026", MonthFirst, "2026-10-31"),
            ("1/5/26", MonthFirst, "2026-01-05"),
            ("31.10.2026", DayFirst, "2026-10-31"),
            ("31/10/26", DayFirst, "2026-10-31"),
            ("31-10-2026 17:30", DayFirst, "2026-10-31T17:30"),
            ("10/31/2026 5:30 PM", MonthFirst, "2026-10-31T17:30"),
            ("10/31/2026 12:05:00 AM", MonthFirst, "2026-10-31T00:05"),
            ("31.10.2026 00:00:00", DayFirst, "2026-10-31T00:00"),
        ] {
            assert_eq!(day_in(text, order).as_deref(), Some(iso), "{text}");
        }
        for (text, order) in [
            ("10/31/2026", DayFirst),
            ("10/31/2026", Iso),
            ("31.10.2026", MonthFirst),
            ("31.10.99", DayFirst),
            ("31.10", DayFirst),
            ("31.10/2026", DayFirst),
            ("31.10.2026 17:30:25", DayFirst),
            ("31.10.2026 13:30 PM", DayFirst),
            ("2026-10-31", DayFirst),
            ("001.10.2026", DayFirst),
            ("+1.10.2026", DayFirst),
            ("owner", DayFirst),
            ("漆.漆.2026", DayFirst),
            ("", DayFirst),
        ] {
            assert_eq!(day_in(text, order), None, "{text}");
        }
    }

    #[test]
    fn decimal_commas_become_points_and_what_is_ambiguous_is_refused() {
        for (text, plain) in [
            ("0,5 L", Some("0.5 L")),
            ("0,125kg", Some("0.125kg")),
            ("1.234,5 mL", Some("1234.5 mL")),
            (
                "ethanol 90,5 vol %; 2,6-dimethylheptane 5-9,5 vol %",
                Some("ethanol 90.5 vol %; 2,6-dimethylheptane 5-9.5 vol %"),
            ),
            ("0.5 L", None),
            ("12.25 fl oz", None),
            ("0.789 kg/L", None),
            ("1 1/2 qt", None),
            ("1,2,4-trimethylbenzene 5 vol %", None),
            ("1,234.5 mL", None),
        ] {
            assert_eq!(with_points(text), Ok(plain.map(String::from)), "{text}");
        }
        for text in ["1.500 mL", "12.500.000 mL"] {
            assert_eq!(with_points(text), Err(Ambiguous), "{text}");
        }
    }
}

//! Dates and decimals that a spreadsheet wrote its own way, in a shop that does not say how it writes them: however many
//! there are, one problem names the lines for shop.toml.

use super::locale::{DateOrder, day_in};
use super::problem::{Fault, Problem, Words};
use super::span::Span;

/// What was read, and where.
type Example = (String, Span);

/// Such dates and decimals, counted.
#[derive(Clone, Debug, Default)]
pub struct LocaleUnset {
    dates: usize,
    first_date: Option<Example>,
    /// A date that only makes sense with the month first, and one with the day first.
    month_first: Option<Example>,
    day_first: Option<Example>,
    decimals: usize,
    first_decimal: Option<Example>,
}

impl LocaleUnset {
    /// Counts a text if it is a date in some order.
    pub(super) fn add_date(&mut self, read: &str, at: Span) -> bool {
        let month_first = day_in(read, DateOrder::MonthFirst).is_some();
        let day_first = day_in(read, DateOrder::DayFirst).is_some();
        let example = || Some((read.to_string(), at));
        match (month_first, day_first) {
            (false, false) => return false,
            (true, false) if self.month_first.is_none() => self.month_first = example(),
            (false, true) if self.day_first.is_none() => self.day_first = example(),
            (true, true) | (true, false) | (false, true) => {}
        }
        self.dates += 1;
        if self.first_date.is_none() {
            self.first_date = example();
        }
        true
    }

    /// Counts a number with a decimal comma.
    pub(super) fn add_decimal(&mut self, read: &str, at: Span) {
        self.decimals += 1;
        if self.first_decimal.is_none() {
            self.first_decimal = Some((read.to_string(), at));
        }
    }

    /// Counts those that were found elsewhere.
    pub(super) fn take(&mut self, other: LocaleUnset) {
        self.dates += other.dates;
        self.decimals += other.decimals;
        let keep = |mine: &mut Option<Example>, other: Option<Example>| {
            *mine = mine.take().or(other);
        };
        keep(&mut self.first_date, other.first_date);
        keep(&mut self.month_first, other.month_first);
        keep(&mut self.day_first, other.day_first);
        keep(&mut self.first_decimal, other.first_decimal);
    }

    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.dates + self.decimals
    }

    /// All of them as one problem.
    pub(super) fn problem(&self) -> Option<Problem> {
        let first = self.first_date.as_ref().or(self.first_decimal.as_ref());
        let both = match (&self.month_first, &self.day_first) {
            (Some(_), Some((_, other))) => Some(*other),
            _ => None,
        };
        let decimal = self.first_decimal.as_ref().map(|(_, at)| *at);
        let see = both
            .or(decimal)
            .filter(|see| first.is_some_and(|(_, at)| at != see));
        first.map(|(_, at)| Problem::with(self.clone(), *at, see))
    }

    /// The dates, the lines of shop.toml that would read them, and what to write without one.
    fn of_dates(&self) -> Option<(String, Vec<String>, String)> {
        let (first, _) = self.first_date.as_ref()?;
        let iso = |order| day_in(first, order).unwrap_or_default();
        let day = |order| iso(order).split('T').next().unwrap_or_default().to_string();
        let (month_first, day_first) = (day(DateOrder::MonthFirst), day(DateOrder::DayFirst));
        let written = |how: &str| match self.dates {
            1 => format!("The date \"{first}\" is written {how}."),
            dates => format!("{dates} dates are written {how}, such as \"{first}\"."),
        };
        let month_line = "dates = \"month-first\"".to_string();
        let day_line = "dates = \"day-first\"".to_string();
        Some(match (&self.month_first, &self.day_first) {
            (Some((month, _)), Some((day, _))) => (
                format!(
                    "Some dates are written month first, such as \"{month}\", and some day first, such as \"{day}\"."
                ),
                Vec::new(),
                "Write the year first in all of them, such as 2026-10-31.".to_string(),
            ),
            (Some(_), None) => (written("month first"), vec![month_line], month_first),
            (None, Some(_)) => (written("day first"), vec![day_line], day_first),
            (None, None) if month_first == day_first => (
                written("with the year last"),
                vec![month_line, day_line],
                month_first,
            ),
            (None, None) => (
                written("with the year last"),
                vec![
                    format!("{month_line} if this is {month_first}"),
                    format!("{day_line} if it is {day_first}"),
                ],
                "the year first".to_string(),
            ),
        })
    }
}

impl Fault for LocaleUnset {
    fn code(&self) -> &'static str {
        "locale-unset"
    }

    fn words(&self) -> Words {
        let decimal = self.first_decimal.as_ref().map(|(read, _)| {
            let point = read.replacen(',', ".", 1);
            let wrong = match self.decimals {
                1 => format!("The number \"{read}\" has a decimal comma."),
                count => format!("{count} numbers have a decimal comma, such as \"{read}\"."),
            };
            let line = "decimals = \"comma\"".to_string();
            (wrong, vec![line], format!("\"{point}\""))
        });
        let (mut wrong, mut fix) = (Vec::new(), Vec::new());
        let mut lines = Vec::new();
        let mut or = Vec::new();
        for (said, to_add, instead) in self.of_dates().into_iter().chain(decimal) {
            wrong.push(said);
            match to_add.as_slice() {
                [] => fix.push(instead),
                _ => {
                    lines.push(match to_add.as_slice() {
                        [one, other] => format!("{one} (or {other})"),
                        _ => to_add.concat(),
                    });
                    or.push(instead);
                }
            }
        }
        if !lines.is_empty() {
            let noun = if lines.len() == 1 {
                "this line"
            } else {
                "these two lines"
            };
            fix.push(format!(
                "Add {noun} to the top of shop.toml: {}. Or write {}.",
                lines.join(" and "),
                or.join(" and ")
            ));
        }
        Words::new(wrong.join(" "), fix.join(" "))
    }
}

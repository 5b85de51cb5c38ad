//! How one table writes its dates and decimals: new rows are written as the spreadsheet would write them.

use super::locale::{CellForm, DateOrder, DecimalMark, Locale};
use crate::quantity::Day;

/// How one table writes its dates and decimals, so that new rows are written alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CellStyle {
    dates: Option<DateStyle>,
    comma: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct DateStyle {
    month_first: bool,
    mark: char,
    padded: bool,
}

impl CellStyle {
    /// The style of a table with these days in it; one without days follows shop.toml.
    pub fn for_table<'c>(locale: &Locale, days: impl Iterator<Item = &'c str>) -> CellStyle {
        let comma = locale.decimals == Some(DecimalMark::Comma);
        let usual = match locale.dates {
            None | Some(DateOrder::Iso) => return CellStyle { dates: None, comma },
            Some(DateOrder::MonthFirst) => (true, '/'),
            Some(DateOrder::DayFirst) => (false, '.'),
        };
        let mut style = DateStyle {
            month_first: usual.0,
            mark: usual.1,
            padded: true,
        };
        let (mut own, mut iso) = (false, false);
        for day in days.filter(|day| !day.is_empty()) {
            if locale.plain(day, CellForm::Day) == Ok(None) {
                iso = true;
                continue;
            }
            own = true;
            let date = day.split(' ').next().unwrap_or(day);
            style.mark = date
                .chars()
                .find(|c| !c.is_ascii_digit())
                .unwrap_or(style.mark);
            style.padded &= date.split(style.mark).all(|part| part.len() > 1);
        }
        // A table in which all dates have the year first keeps them so.
        let dates = (own || !iso).then_some(style);
        CellStyle { dates, comma }
    }

    /// A cell as this table writes it.
    pub fn write(&self, cell: &str, form: CellForm) -> String {
        let written = match (form, self.dates) {
            (CellForm::Day, Some(style)) => style.write(cell),
            (CellForm::Number, _) if self.comma => Some(with_commas(cell)),
            (CellForm::Day | CellForm::Number | CellForm::Text, _) => None,
        };
        written.unwrap_or_else(|| cell.to_string())
    }
}

impl DateStyle {
    /// `2026-10-31T17:30` as `31.10.2026 17:30`; `None` if it is no date.
    fn write(self, cell: &str) -> Option<String> {
        let (day, clock) = match cell.split_once('T') {
            Some((day, clock)) => (day, format!(" {clock}")),
            None => (cell, String::new()),
        };
        Day::parse(day).ok()?;
        let parts: Vec<&str> = day.split('-').collect();
        let [year, month, day] = parts.as_slice() else {
            return None;
        };
        let short = |part: &str| match self.padded {
            true => part.to_string(),
            false => part.trim_start_matches('0').to_string(),
        };
        let (month, day, mark) = (short(month), short(day), self.mark);
        Some(match self.month_first {
            true => format!("{month}{mark}{day}{mark}{year}{clock}"),
            false => format!("{day}{mark}{month}{mark}{year}{clock}"),
        })
    }
}

/// `0.5 L` as `0,5 L`.
fn with_commas(text: &str) -> String {
    let digit = |c: Option<&char>| c.is_some_and(char::is_ascii_digit);
    let letters: Vec<char> = text.chars().collect();
    let letter = |(at, c): (usize, &char)| {
        let before = at.checked_sub(1).and_then(|at| letters.get(at));
        let decimal = *c == '.' && digit(before) && digit(letters.get(at + 1));
        if decimal { ',' } else { *c }
    };
    letters.iter().enumerate().map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::CellStyle;
    use crate::text::locale::{CellForm, DateOrder, DecimalMark, Locale};

    const GERMAN: Locale = Locale {
        dates: Some(DateOrder::DayFirst),
        decimals: Some(DecimalMark::Comma),
        days: &["when", "since"],
        numbers: &["amount"],
    };

    #[test]
    fn a_new_row_is_written_as_its_table_is() {
        let written = |days: &[&str]| {
            let style = CellStyle::for_table(&GERMAN, days.iter().copied());
            let cell = |cell, form| style.write(cell, form);
            [
                cell("2026-01-05T17:30", CellForm::Day),
                cell("0.5 L", CellForm::Number),
                cell("0.5", CellForm::Text),
            ]
        };
        let german = ["05.01.2026 17:30", "0,5 L", "0.5"];
        assert_eq!(written(&[]), german);
        assert_eq!(written(&["31.10.2026", "2026-01-02"]), german);
        assert_eq!(written(&["31/10/2026"])[0], "05/01/2026 17:30");
        assert_eq!(written(&["1.3.26", "31.10.26"])[0], "5.1.2026 17:30");
        assert_eq!(written(&["2026-01-02"])[0], "2026-01-05T17:30");
        let us = Locale {
            dates: Some(DateOrder::MonthFirst),
            decimals: None,
            ..GERMAN
        };
        let style = CellStyle::for_table(&us, ["1/5/2026"].into_iter());
        assert_eq!(style.write("2026-10-31", CellForm::Day), "10/31/2026");
        assert_eq!(style.write("owner", CellForm::Day), "owner");
        assert_eq!(style.write("0.5 L", CellForm::Number), "0.5 L");
    }

    /// What is written in a style is read back as it was.
    #[test]
    fn what_is_written_reads_back() {
        let style = CellStyle::for_table(&GERMAN, std::iter::empty());
        for (cell, form) in [
            ("2026-10-31T17:30", CellForm::Day),
            ("2026-10-31", CellForm::Day),
            ("1234.5 mL", CellForm::Number),
            ("0.001 L", CellForm::Number),
            ("1.125 L", CellForm::Number),
        ] {
            let written = style.write(cell, form);
            assert_ne!(written, cell);
            let read = GERMAN.plain(&written, form).unwrap();
            assert_eq!(read.as_deref(), Some(cell));
        }
    }
}

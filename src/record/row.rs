//! Typed reading of one row: gathers problems, never stops, never guesses. An empty cell is "not known", never no.

use crate::quantity::{
    Day, DayFault, Dimension, Exact, Measure, MeasureFault, Moment, NumberFault, Period,
};
use crate::text::{CellFault, NameFault, Problem, Problems, Row, Span, unseen};

/// As many letters as a name may have.
const LONGEST_NAME: usize = 400;

/// A row, and the problems it adds to.
pub struct Fields<'t, 'p> {
    pub row: Row<'t>,
    pub problems: &'p mut Problems,
}

impl<'t> Fields<'t, '_> {
    /// The text of a cell, if it is not empty.
    pub fn text(&self, column: usize) -> Option<&'t str> {
        Some(self.row.text(column)).filter(|text| !text.is_empty())
    }

    /// The text of a cell as an owned string, if it is not empty.
    pub fn owned(&self, column: usize) -> Option<String> {
        self.text(column).map(str::to_string)
    }

    /// The text of a cell that must not be empty.
    pub fn must(&mut self, column: usize) -> Option<&'t str> {
        let text = self.text(column);
        if text.is_none() {
            let cell = self.row.cell(column);
            self.problems.add(Problem::new(
                CellFault::Missing {
                    column: cell.column.into(),
                },
                cell.place,
            ));
        }
        text
    }

    /// The name of a thing, which must be there: short, and with nothing in it that looks like something else.
    pub fn name(&mut self, column: usize) -> Option<&'t str> {
        let text = self.must(column)?;
        let Some(fault) = name_fault(text) else {
            return Some(text);
        };
        let cell = self.row.cell(column);
        let code = CellFault::NameOdd {
            column: cell.column.into(),
            read: text.into(),
            fault,
        };
        self.problems.add(Problem::new(code, cell.place));
        Some(text)
    }

    /// Where a cell is.
    pub fn span(&self, column: usize) -> Span {
        self.row.cell_place(column)
    }

    /// A quantity of one of these dimensions.
    pub fn measure(&mut self, column: usize, wanted: &[Dimension]) -> Option<Measure> {
        let text = self.text(column)?;
        let fault = match Measure::parse(text) {
            Ok(measure) if wanted.contains(&measure.unit.dimension) => return Some(measure),
            Ok(measure) => MeasureFault::UnitWrong(measure.unit),
            Err(fault) => fault,
        };
        self.fault(column, fault, wanted);
        None
    }

    /// Notes that a quantity is wrong.
    pub fn fault(&mut self, column: usize, fault: MeasureFault, wanted: &[Dimension]) {
        let cell = self.row.cell(column);
        if fault == MeasureFault::Number(NumberFault::DecimalComma)
            && self.row.locale().lacks_decimals()
        {
            self.problems.add_unset_decimal(cell.text, cell.place);
            return;
        }
        let code = CellFault::Quantity {
            column: cell.column.into(),
            read: cell.text.into(),
            fault,
            wanted: wanted.to_vec(),
        };
        self.problems.add(Problem::new(code, cell.place));
    }

    /// A quantity that must be more than nothing.
    pub fn positive(&mut self, column: usize, wanted: &[Dimension]) -> Option<Measure> {
        let measure = self.measure(column, wanted)?;
        if measure.base > Exact::ZERO {
            return Some(measure);
        }
        let cell = self.row.cell(column);
        let code = CellFault::NotPositive {
            column: cell.column.into(),
            read: cell.text.into(),
        };
        self.problems.add(Problem::new(code, cell.place));
        None
    }

    pub fn number(&mut self, column: usize) -> Option<Exact> {
        let text = self.text(column)?;
        let number = Exact::parse(text).ok();
        if number.is_none() {
            let cell = self.row.cell(column);
            let code = CellFault::Unfit {
                column: cell.column.into(),
                read: text.into(),
                wanted: "a number without a unit, such as 5".into(),
            };
            self.problems.add(Problem::new(code, cell.place));
        }
        number
    }

    /// A span of time.
    pub fn period(&mut self, column: usize) -> Option<Period> {
        let measure = self.measure(column, &[Dimension::Period])?;
        let span = measure.period();
        if span.is_none() {
            let cell = self.row.cell(column);
            let code = CellFault::PeriodBroken {
                column: cell.column.into(),
                read: cell.text.into(),
            };
            self.problems.add(Problem::new(code, cell.place));
        }
        span
    }

    /// A day; the midnight that spreadsheets put behind one is none of its own.
    pub fn day(&mut self, column: usize) -> Option<Day> {
        let text = self.text(column)?;
        let day = [" 00:00:00", "T00:00:00", " 00:00", "T00:00"]
            .into_iter()
            .find_map(|midnight| text.strip_suffix(midnight));
        Day::parse(day.unwrap_or(text))
            .map_err(|fault| self.day_wrong(column, fault, false))
            .ok()
    }

    /// A moment that must be there. Spreadsheets write a space for the `T`, and seconds that are none: read all the same.
    pub fn moment(&mut self, column: usize) -> Option<Moment> {
        let text = self.must(column)?;
        Moment::parse(text)
            .or_else(|fault| {
                respaced(text)
                    .and_then(|text| Moment::parse(&text).ok())
                    .ok_or(fault)
            })
            .map_err(|fault| self.day_wrong(column, fault, true))
            .ok()
    }

    /// A moment, or a day taken from its first minute.
    pub fn day_or_moment(&mut self, column: usize) -> Option<Moment> {
        let text = self.must(column)?;
        match Day::parse(text) {
            Ok(day) => Some(Moment::start_of(day)),
            Err(_) => self.moment(column),
        }
    }

    fn day_wrong(&mut self, column: usize, fault: DayFault, moment: bool) {
        let cell = self.row.cell(column);
        if fault == DayFault::Shape
            && self.row.locale().lacks_dates()
            && self.problems.add_unset_date(cell.text, cell.place)
        {
            return;
        }
        let code = CellFault::DayWrong {
            column: cell.column.into(),
            read: cell.text.into(),
            fault,
            moment,
        };
        self.problems.add(Problem::new(code, cell.place));
    }

    /// A word of a closed list, in capital letters too: spreadsheets begin a cell with one.
    pub fn word<T: Copy>(&mut self, column: usize, list: &[(&str, T)]) -> Option<T> {
        let text = self.text(column)?;
        let found = list
            .iter()
            .find(|(name, _)| name.eq_ignore_ascii_case(text))
            .map(|(_, value)| *value);
        if found.is_none() {
            let cell = self.row.cell(column);
            let near = self.problems.near(text, list.iter().map(|(name, _)| *name));
            let code = CellFault::WordUnknown {
                column: cell.column.into(),
                read: text.into(),
                near,
                known: words_of(list),
            };
            self.problems.add(Problem::new(code, cell.place));
        }
        found
    }

    /// Yes or no; empty is unknown.
    pub fn yes_no(&mut self, column: usize) -> Option<bool> {
        self.word(column, &[("yes", true), ("no", false)])
    }
}

/// What makes a text no name for a thing. A line break in it is read: it shows.
pub(super) fn name_fault(text: &str) -> Option<NameFault> {
    // Nearly all names are short and plain.
    let plain = |byte: u8| byte == b' ' || byte.is_ascii_graphic();
    if text.len() <= LONGEST_NAME && text.bytes().all(plain) {
        return None;
    }
    let marks = [('“', '”'), ('„', '“'), ('„', '”'), ('‘', '’')];
    let curly = |(open, close)| text.starts_with(open) && text.ends_with(close);
    if text.chars().nth(LONGEST_NAME).is_some() {
        Some(NameFault::Long)
    } else if unseen(&text.replace("\r\n", " ").replace('\n', " ")).is_some() {
        Some(NameFault::Unseen)
    } else {
        marks.into_iter().any(curly).then_some(NameFault::Curly)
    }
}

/// `2026-11-24 17:30:00` and `2026-11-24 9:30` as `2026-11-24T17:30` and `2026-11-24T09:30`.
fn respaced(text: &str) -> Option<String> {
    let (day, clock) = text.split_once([' ', 'T'])?;
    let clock = match clock.split(':').collect::<Vec<_>>().as_slice() {
        [_, _] => clock,
        [_, _, "00"] => clock.get(..clock.len().checked_sub(3)?)?,
        _ => return None,
    };
    Some(format!("{day}T{clock:0>5}"))
}

/// The words of a closed list, for messages.
pub fn words_of<T>(list: &[(&str, T)]) -> String {
    list.iter()
        .map(|(name, _)| *name)
        .collect::<Vec<_>>()
        .join(", ")
}

//! What can be wrong with one value: a cell of a table, a value in a TOML file, or an option of a command.

use super::days::readings;
use super::near::only_slip;
use super::number_words::number;
use super::problem::{Fault, Words};
use super::unseen::{as_it_looks, unseen};
use crate::quantity::{DayFault, Dimension, MeasureFault, unit};

/// A fault of one value. `column` is the column, key or option it is in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CellFault {
    Missing {
        column: String,
    },
    NameOdd {
        column: String,
        read: String,
        fault: NameFault,
    },
    WordUnknown {
        column: String,
        read: String,
        near: Option<String>,
        known: String,
    },
    Unfit {
        column: String,
        read: String,
        wanted: String,
    },
    NameUnknown {
        kind: &'static str,
        read: String,
        near: Option<String>,
    },
    Quantity {
        column: String,
        read: String,
        fault: MeasureFault,
        wanted: Vec<Dimension>,
    },
    PeriodBroken {
        column: String,
        read: String,
    },
    NotPositive {
        column: String,
        read: String,
    },
    Ambiguous {
        read: String,
    },
    DayWrong {
        column: String,
        read: String,
        fault: DayFault,
        moment: bool,
    },
}

/// Why a text cannot be the name of a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NameFault {
    /// It has a character that cannot be seen, or that controls the screen.
    Unseen,
    /// It is in curly quotation marks.
    Curly,
    /// It is too long.
    Long,
}

impl Fault for CellFault {
    fn code(&self) -> &'static str {
        match self {
            CellFault::Missing { .. } => "cell-missing",
            CellFault::NameOdd { .. } => "name-odd",
            CellFault::WordUnknown { .. } | CellFault::Unfit { .. } => "word-unknown",
            CellFault::NameUnknown { .. } => "name-unknown",
            CellFault::Quantity { fault, .. } => match fault {
                MeasureFault::UnitMissing => "unit-missing",
                MeasureFault::UnitUnknown(_) => "unit-unknown",
                MeasureFault::UnitWrong(_) => "unit-wrong",
                MeasureFault::Number(_) => "number-wrong",
            },
            CellFault::PeriodBroken { .. } => "span-broken",
            CellFault::NotPositive { .. } => "not-positive",
            CellFault::Ambiguous { .. } => "number-ambiguous",
            CellFault::DayWrong { .. } => "day-wrong",
        }
    }

    fn field(&self) -> Option<&str> {
        match self {
            CellFault::Missing { column }
            | CellFault::NameOdd { column, .. }
            | CellFault::WordUnknown { column, .. }
            | CellFault::Unfit { column, .. }
            | CellFault::Quantity { column, .. }
            | CellFault::PeriodBroken { column, .. }
            | CellFault::NotPositive { column, .. }
            | CellFault::DayWrong { column, .. } => Some(column),
            CellFault::NameUnknown { .. } | CellFault::Ambiguous { .. } => None,
        }
    }

    fn words(&self) -> Words {
        match self {
            CellFault::Missing { column } => Words::new(
                "The cell is empty.",
                format!("Every row needs a value for \"{column}\"."),
            ),
            CellFault::NameOdd { read, fault, .. } => odd_name(read, *fault),
            CellFault::WordUnknown {
                read, near, known, ..
            } => Words::new(
                format!("\"{read}\" is not a known word here."),
                known_or_near(near.as_deref(), known),
            ),
            CellFault::Unfit { read, wanted, .. } => Words::new(
                format!("\"{read}\" is not valid here."),
                format!("Write {wanted}."),
            ),
            CellFault::NameUnknown { kind, read, near } => Words::new(
                format!("There is no {kind} \"{read}\"."),
                unknown_name(kind, read, near.as_deref()),
            ),
            CellFault::Quantity {
                read,
                fault,
                wanted,
                ..
            } => quantity(read, fault, wanted),
            CellFault::PeriodBroken { read, .. } => Words::new(
                format!("\"{read}\" is not a whole number of its unit."),
                "Write 36 h instead of 1.5 days.",
            ),
            CellFault::NotPositive { read, .. } => Words::new(
                format!("\"{read}\" must be more than zero."),
                "Leave the cell empty if the value is unknown.",
            ),
            CellFault::Ambiguous { read } => Words::new(
                format!("\"{read}\" may have a decimal point or a point between thousands."),
                format!(
                    "Write \"{}\" or \"{}\". shop.toml says that decimals have a comma.",
                    read.replacen('.', ",", 1),
                    read.replace('.', "")
                ),
            ),
            CellFault::DayWrong {
                read,
                fault,
                moment,
                ..
            } => day(read, *fault, *moment),
        }
    }
}

/// The nearest known word, and all of them.
pub fn known_or_near(near: Option<&str>, known: &str) -> String {
    match near {
        Some(near) if known.is_empty() => format!("Did you mean \"{near}\"?"),
        None if known.is_empty() => "There is nothing of that sort here.".to_string(),
        Some(near) => format!("Did you mean \"{near}\"? Known: {known}."),
        None => format!("Known: {known}."),
    }
}

/// What was read with the unit that was probably meant.
pub fn unit_meant(read: &str, symbol: &str, wanted: &[Dimension]) -> Option<String> {
    let fits = |unit: &&unit::Unit| wanted.contains(&unit.dimension);
    let names = unit::UNITS.iter().filter(fits).map(|unit| unit.symbol);
    let near = only_slip(symbol, names)?;
    let number = read.trim_end().strip_suffix(symbol)?;
    Some(format!("{number}{near}"))
}

fn quantity(read: &str, fault: &MeasureFault, wanted: &[Dimension]) -> Words {
    let example = wanted.first().map_or("1 qt", |d| d.example());
    let kinds: Vec<&str> = wanted.iter().map(|d| d.word()).collect();
    let kinds = match kinds.as_slice() {
        [] => "a number with its unit".to_string(),
        [one] => (*one).to_string(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    };
    match fault {
        MeasureFault::UnitMissing => {
            let units = wanted.iter().flat_map(|dimension| usual_units(*dimension));
            let units: Vec<String> = units.map(|unit| format!("\"{read} {unit}\"")).collect();
            let fix = match units.split_last() {
                Some((last, first)) if !first.is_empty() => {
                    format!("Write {} or {last}, as the label says.", first.join(", "))
                }
                Some((only, _)) if wanted == [Dimension::Pieces] => format!("Write {only}."),
                _ => format!("Write {kinds}, such as {example}."),
            };
            Words::new(format!("\"{read}\" has no unit."), fix)
        }
        MeasureFault::UnitUnknown(symbol) if is_exponent(symbol) => Words::new(
            format!("\"{read}\" is a number in a spreadsheet's short form."),
            format!(
                "Write all its digits and the unit, such as {example}. Format the cell as text so that the spreadsheet leaves it alone."
            ),
        ),
        MeasureFault::UnitUnknown(symbol) => {
            let known: Vec<String> = wanted.iter().map(|d| unit::symbols(*d)).collect();
            let fix = match (unit_meant(read, symbol, wanted), known.is_empty()) {
                (Some(meant), _) => {
                    format!("Did you mean \"{meant}\"? Write {kinds}, such as {example}.")
                }
                (None, true) => format!("Write {kinds}, such as {example}."),
                (None, false) => format!("Known: {}.", known.join(", ")),
            };
            Words::new(
                format!("The unit \"{symbol}\" in \"{read}\" is unknown here."),
                fix,
            )
        }
        MeasureFault::UnitWrong(unit) => Words::new(
            format!(
                "\"{read}\" is {}, but {kinds} is needed here.",
                unit.dimension.word()
            ),
            format!("Write {kinds}, such as {example}."),
        ),
        MeasureFault::Number(fault) => number(read, *fault, example),
    }
}

/// The units in which people mostly write an amount.
fn usual_units(dimension: Dimension) -> &'static [&'static str] {
    match dimension {
        Dimension::Volume => &["pt", "mL"],
        Dimension::Mass => &["lb", "kg"],
        Dimension::Pieces => &["pcs"],
        Dimension::Length
        | Dimension::Area
        | Dimension::Airflow
        | Dimension::AirChanges
        | Dimension::AirPerArea
        | Dimension::Temperature
        | Dimension::Density
        | Dimension::Share
        | Dimension::Period
        | Dimension::Ppm
        | Dimension::MassInAir
        | Dimension::Pressure
        | Dimension::MolarMass => &[],
    }
}

/// `E+03`, what is left of `1.00E+03` after its number.
fn is_exponent(symbol: &str) -> bool {
    symbol
        .strip_prefix(['E', 'e'])
        .and_then(|rest| rest.strip_prefix(['+', '-']))
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

fn day(read: &str, fault: DayFault, moment: bool) -> Words {
    let shape = if moment {
        "2026-11-24T17:30"
    } else {
        "2026-11-24"
    };
    let wrong = match fault {
        DayFault::Shape if moment => format!("\"{read}\" is not a date with a time."),
        DayFault::Shape => format!("\"{read}\" is not a date."),
        DayFault::NoSuchDay => format!("The calendar has no day \"{read}\"."),
        DayFault::NoSuchMinute => format!("The clock has no time \"{read}\"."),
        DayFault::Year => format!("\"{read}\" is outside the years 1900 to 2199."),
    };
    Words::new(wrong, day_fix(read, fault, moment, shape))
}

/// What to write instead: the day it would be, where that can be told.
fn day_fix(read: &str, fault: DayFault, moment: bool, shape: &str) -> String {
    let whole = format!("Write year, month and day with all digits: {shape}.");
    if fault != DayFault::Shape {
        return whole;
    }
    if read.starts_with("##") {
        return format!("The spreadsheet column was too narrow to show the date. {whole}");
    }
    let found = readings(read);
    // The time of day is unknown: the example stands in for it, and the message says so.
    let timeless = moment && found.iter().any(|(day, _)| !day.contains('T'));
    let mut days = found.iter().map(|(day, how)| {
        let day = match day.split_once('T') {
            Some((day, _)) if !moment => day.to_string(),
            None if moment => format!("{day}T17:30"),
            _ => day.clone(),
        };
        (day, *how)
    });
    let rest = if timeless {
        ", with the right time of day"
    } else {
        ""
    };
    match (days.next(), days.next()) {
        (None, _) => whole,
        (Some((day, _)), None) => format!("Write {day}{rest}."),
        (Some((one, how)), Some((other, or_how))) => {
            format!("Write {one} {how}, or {other} {or_how}{rest}.")
        }
    }
}

fn odd_name(read: &str, fault: NameFault) -> Words {
    match fault {
        NameFault::Unseen => Words::new(
            format!("\"{read}\" contains {}.", what_is_unseen(read)),
            format!("Type it again by hand: \"{}\".", as_it_looks(read)),
        ),
        NameFault::Curly => Words::new(
            format!("The name {read} is in curly quotation marks."),
            "Write the name without them. A name with a comma needs straight quotation marks.",
        ),
        NameFault::Long => Words::new(
            "The name is too long.",
            "Write a name of at most 400 letters. Remarks belong in the column \"note\".",
        ),
    }
}

fn unknown_name(kind: &str, read: &str, near: Option<&str>) -> String {
    if unseen(read).is_some() {
        return format!(
            "The name contains {}. Type it again by hand: \"{}\".",
            what_is_unseen(read),
            as_it_looks(read)
        );
    }
    // Packs, rules, questions and sources are not rows that a shop could add.
    let has_table = !matches!(kind, "pack" | "rule" | "check" | "source");
    match near {
        Some(near) if has_table => {
            return format!("Did you mean \"{near}\"? If not, add the {kind} to its table.");
        }
        Some(near) => return format!("Did you mean \"{near}\"?"),
        None => {}
    }
    let exponent = read.find(['E', 'e']).and_then(|at| read.get(at..));
    let number = read.starts_with(|c: char| c.is_ascii_digit());
    if number && (exponent.is_some_and(is_exponent) || !readings(read).is_empty()) {
        return format!(
            "A spreadsheet may have changed the name. Format the cells of the {kind} as text and type it again."
        );
    }
    if has_table {
        format!("Add the {kind} to its table, or correct the name.")
    } else {
        "Correct the name.".to_string()
    }
}

/// `a non-breaking space (U+00A0)`.
fn what_is_unseen(text: &str) -> String {
    unseen(text).map_or_else(String::new, |(c, called)| {
        format!("{called} (U+{:04X})", u32::from(c))
    })
}

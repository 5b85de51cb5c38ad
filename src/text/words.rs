//! The words of every problem: what is wrong, and what to write instead.

use super::code::Code;
use super::days::readings;
use super::words_file::{file_words, table_words};
use super::words_shop::{book_words, log_words, sheet_words};
use crate::quantity::{DayFault, Dimension, MOST_DIGITS, MeasureFault, NumberFault, unit};

pub(super) fn or_near(near: Option<&String>, known: &str) -> String {
    match near {
        Some(near) => format!("did you mean `{near}`? Known: {known}"),
        None => format!("known: {known}"),
    }
}

pub(super) fn words(code: &Code) -> (String, String) {
    match code {
        Code::Quantity {
            column,
            read,
            fault,
            wanted,
        } => quantity_words(column, read, fault, wanted),
        Code::DayWrong {
            column,
            read,
            fault,
            moment,
        } => day_words(column, read, *fault, *moment),
        Code::FileMissing { .. }
        | Code::Unreadable { .. }
        | Code::NotUtf8
        | Code::Utf16
        | Code::NulByte
        | Code::LoneReturn
        | Code::UnevenQuotes
        | Code::NotAFile { .. }
        | Code::LeadsOut { .. }
        | Code::FileTooLarge { .. }
        | Code::FileMisnamed { .. }
        | Code::PeriodClosed { .. }
        | Code::RowTooLong => file_words(code),
        Code::TableEmpty { .. }
        | Code::TableTooLong { .. }
        | Code::HeaderBelow
        | Code::HashRow
        | Code::NameOdd { .. }
        | Code::ColumnUnknown { .. }
        | Code::ColumnTwice { .. }
        | Code::ColumnMissing { .. }
        | Code::CellCount { .. } => table_words(code),
        Code::TomlSyntax { .. }
        | Code::KeyUnknown { .. }
        | Code::KeyMissing { .. }
        | Code::ValueWrong { .. }
        | Code::ClassLeftOut { .. }
        | Code::ClassGap { .. }
        | Code::ClassOverlap { .. }
        | Code::NoLimit
        | Code::Demand { .. }
        | Code::KeyIdle { .. }
        | Code::CaseFails { .. }
        | Code::CaseLacks { .. } => pack_words(code),
        Code::CellMissing { .. }
        | Code::WordUnknown { .. }
        | Code::SpanBroken { .. }
        | Code::NotPositive { .. }
        | Code::PartsWrong { .. }
        | Code::PartsOver { .. }
        | Code::IdTwice { .. }
        | Code::NameUnknown { .. }
        | Code::AmountOverCapacity { .. }
        | Code::NotAcceptable { .. } => book_words(code),
        Code::CellIdle { .. }
        | Code::NoteAlone { .. }
        | Code::MomentNeeded
        | Code::NothingPrinted
        | Code::SeenTwice { .. } => sheet_words(code),
        Code::EntryNeeds { .. }
        | Code::EntryBeforeSince { .. }
        | Code::TakesMore { .. }
        | Code::TooFine { .. }
        | Code::OtherKind { .. }
        | Code::OtherProduct { .. }
        | Code::SameContainer
        | Code::NotARag { .. }
        | Code::NotAPlaceFor { .. }
        | Code::RagsFew { .. }
        | Code::CorrectsNothing { .. }
        | Code::CorrectsTwice { .. }
        | Code::CorrectsNotClear
        | Code::EntryTwice { .. }
        | Code::TestResult { .. } => log_words(code),
    }
}

pub(super) fn pair(what: impl Into<String>, help: impl Into<String>) -> (String, String) {
    (what.into(), help.into())
}

fn quantity_words(
    column: &str,
    read: &str,
    fault: &MeasureFault,
    wanted: &[Dimension],
) -> (String, String) {
    let example = wanted.first().map_or("1 qt", |d| d.example());
    let kinds: Vec<&str> = wanted.iter().map(|d| d.word()).collect();
    let kinds = if kinds.is_empty() {
        "a number with its unit".to_string()
    } else {
        kinds.join(" or ")
    };
    match fault {
        MeasureFault::UnitMissing => pair(
            format!("{column} needs a unit, but says only `{read}`"),
            if wanted.contains(&Dimension::Volume) {
                format!("write `{read} pt` or `{read} mL`, as the label says")
            } else {
                format!("write {kinds} such as `{example}`")
            },
        ),
        MeasureFault::UnitUnknown(symbol) if is_exponent(symbol) => pair(
            format!("{column} has its number in a spreadsheet's short form: `{read}`"),
            format!(
                "write all its digits and the unit, such as `{example}`; a cell that is set to text is left alone"
            ),
        ),
        MeasureFault::UnitUnknown(symbol) => {
            let known: Vec<String> = wanted.iter().map(|d| unit::symbols(*d)).collect();
            pair(
                format!("{column} has the unit `{symbol}`, which is not known"),
                format!("known here: {}", known.join(", ")),
            )
        }
        MeasureFault::UnitWrong(unit) => pair(
            format!(
                "{column} wants {kinds}, but `{read}` is {}",
                unit.dimension.word()
            ),
            format!("write {kinds} such as `{example}`"),
        ),
        MeasureFault::Number(fault) => number_words(column, read, *fault, example),
    }
}

/// `E+03`, what is left of `1.00E+03` behind its number.
pub(super) fn is_exponent(symbol: &str) -> bool {
    symbol
        .strip_prefix(['E', 'e'])
        .and_then(|rest| rest.strip_prefix(['+', '-']))
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

fn number_words(column: &str, read: &str, fault: NumberFault, example: &str) -> (String, String) {
    match fault {
        NumberFault::Empty => pair(
            format!("{column} is empty"),
            format!("write a number with its unit, such as `{example}`"),
        ),
        NumberFault::DecimalComma => pair(
            format!("{column} has a comma in its number: `{read}`"),
            format!(
                "write a point for decimals: `{}`",
                read.replacen(',', ".", 1)
            ),
        ),
        NumberFault::ThousandsComma => pair(
            format!("{column} has a comma between thousands: `{read}`"),
            format!("write the number without it: `{}`", read.replace(',', "")),
        ),
        NumberFault::TooManyDigits => pair(
            format!("{column} has more digits than can be kept exactly: `{read}`"),
            format!("write at most {MOST_DIGITS} digits; no scale in a shop shows more"),
        ),
        NumberFault::Negative => pair(
            format!("{column} is below nothing: `{read}`"),
            "write how much there is; what was taken out belongs in log.csv",
        ),
        NumberFault::Endless => pair(
            format!("{column} is a fraction whose decimals never end: `{read}`"),
            "write it in a smaller unit, such as `5.3 fl oz`, as you measured it",
        ),
        NumberFault::NotANumber => pair(
            format!("{column} does not begin with a number: `{read}`"),
            format!("write a number with its unit, such as `{example}` or `1 1/2 pt`"),
        ),
    }
}

fn day_words(column: &str, read: &str, fault: DayFault, moment: bool) -> (String, String) {
    let shape = if moment {
        "2026-11-24T17:30"
    } else {
        "2026-11-24"
    };
    let what = match fault {
        DayFault::Shape if moment => format!("{column} is not a moment: `{read}`"),
        DayFault::Shape => format!("{column} is not a day: `{read}`"),
        DayFault::NoSuchDay => {
            format!("{column} names a day that the calendar does not have: `{read}`")
        }
        DayFault::NoSuchMinute => {
            format!("{column} names a minute that the clock does not have: `{read}`")
        }
        DayFault::Year => format!("{column} is outside the years 1900 to 2199: `{read}`"),
    };
    pair(what, day_help(read, fault, moment, shape))
}

/// What to write instead: the day that it would be, where that can be told.
fn day_help(read: &str, fault: DayFault, moment: bool, shape: &str) -> String {
    let whole = format!("write year, month and day with all digits: `{shape}`");
    if fault != DayFault::Shape {
        return whole;
    }
    if read.starts_with("##") {
        return format!("the column was too narrow to show it; {whole}");
    }
    let found = readings(read);
    // The time of day is nobody's guess: the example stands in for it, and the message says so.
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
        ", with the time of day at which it was"
    } else {
        ""
    };
    match (days.next(), days.next()) {
        (None, _) => whole,
        (Some((day, _)), None) => format!("write `{day}`{rest}"),
        (Some((one, how)), Some((other, or_how))) => {
            format!("write `{one}` {how}, `{other}` {or_how}{rest}")
        }
    }
}

fn pack_words(code: &Code) -> (String, String) {
    match code {
        Code::TomlSyntax { why } => pair(
            format!("this is not TOML: {why}"),
            "mend it there; a text stands in quotation marks, and no key stands twice",
        ),
        Code::KeyUnknown { key, near, known } => pair(
            format!("the key `{key}` is not known here"),
            or_near(near.as_ref(), known),
        ),
        Code::KeyMissing { key, of } => pair(
            format!("the key `{key}` is missing from {of}"),
            format!("add `{key} = …`"),
        ),
        Code::ValueWrong { key, wanted } => pair(
            format!("`{key}` has the wrong form"),
            format!("write {wanted}"),
        ),
        Code::ClassLeftOut { class } => pair(
            format!("the class `{class}` is selected but has no value"),
            format!("give it one: `{class} = \"…\"`, or take it out of [where]"),
        ),
        Code::ClassGap { at } => pair(
            format!("no class takes a liquid with a flash point of {at}"),
            "the classes must cover every temperature",
        ),
        Code::ClassOverlap { at, first, second } => pair(
            format!("at a flash point of {at} both `{first}` and `{second}` apply"),
            "each temperature belongs to one class only",
        ),
        Code::NoLimit => pair(
            "the rule has no limit",
            "add `[limit.YYYY-MM-DD]` with its source, clause, read and seen",
        ),
        Code::Demand { kind, needs } => pair(
            format!("a rule of the kind `{kind}` needs {needs}"),
            format!("see `sandarac explain {kind}`"),
        ),
        Code::KeyIdle { key, kind } => pair(
            format!("a rule of the kind `{kind}` does nothing with `{key}`"),
            format!("take it out; `sandarac explain {kind}` lists what the kind reads"),
        ),
        Code::CaseFails {
            case,
            expected,
            got,
        } => pair(
            format!("the case `{case}` expects {expected}, but has {got}"),
            "mend the rule or the case",
        ),
        Code::CaseLacks { what } => pair(
            format!("no case shows {what}"),
            "add one to the cases of this rule",
        ),
        _ => pair("", ""),
    }
}

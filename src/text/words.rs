//! The words of every problem: what is wrong, and what to write instead.

use super::code::Code;
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
        | Code::TableEmpty { .. }
        | Code::ColumnUnknown { .. }
        | Code::ColumnTwice { .. }
        | Code::ColumnMissing { .. }
        | Code::CellCount { .. } => file_words(code),
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
    pair(
        what,
        format!("write year, month and day with all digits: `{shape}`"),
    )
}

fn file_words(code: &Code) -> (String, String) {
    match code {
        Code::FileMissing { name, hint } => pair(format!("there is no {name}"), hint),
        Code::Unreadable { why } => pair(
            format!("the file cannot be read: {why}"),
            "check that it exists and that you may read it",
        ),
        Code::NotUtf8 => pair(
            "these bytes are not UTF-8 text",
            "save the file as UTF-8 text; a spreadsheet calls it `CSV UTF-8`",
        ),
        Code::Utf16 => pair(
            "the file is UTF-16 text",
            "save the file as `CSV UTF-8` in the spreadsheet",
        ),
        Code::NulByte => pair(
            "there is a NUL byte in the file",
            "it is not a plain table; save it again as `CSV UTF-8`",
        ),
        Code::LoneReturn => pair(
            "a carriage return stands alone, without a line feed",
            "save the file with ordinary line ends (LF or CRLF)",
        ),
        Code::UnevenQuotes => pair(
            "a quotation mark is opened somewhere above and never closed",
            "a cell with a quotation mark is written in quotation marks, and the mark itself twice: \"3/4\"\" board\"",
        ),
        Code::TableEmpty { columns } => pair(
            "the table is empty",
            format!("its first row names the columns; the least is `{columns}`"),
        ),
        Code::ColumnUnknown {
            column,
            near,
            known,
        } => pair(
            format!("there is no column `{column}` in this table"),
            match column.chars().find(|c| matches!(c, ';' | '\t')) {
                Some(';') => {
                    "the cells stand between semicolons; save the table with commas between them"
                        .into()
                }
                Some(_) => {
                    "the cells stand between tabs; save the table with commas between them".into()
                }
                None => or_near(near.as_ref(), known),
            },
        ),
        Code::ColumnTwice { column } => pair(
            format!("the column `{column}` stands twice"),
            "keep one of them",
        ),
        Code::ColumnMissing { column } => pair(
            format!("the column `{column}` is missing"),
            "add it to the first row; cells in it may be empty if not known",
        ),
        Code::CellCount { cells, columns } => pair(
            format!("this row has {cells} cells, but the first row names {columns} columns"),
            "a comma is missing or too many, or the row was cut short; a cell with a comma is written in quotation marks",
        ),
        _ => pair("", ""),
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

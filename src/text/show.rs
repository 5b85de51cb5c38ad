//! Problems on the screen: place, line, caret, help; and the words of every problem.

use super::code::Code;
use super::file::Files;
use super::problem::{Problem, Problems};
use crate::quantity::{DayFault, Dimension, MOST_DIGITS, MeasureFault, NumberFault, unit};
use std::fmt::Write;

/// As much of a long line as is shown around the caret.
const WINDOW: usize = 110;

/// All problems, one after another, and how many were left out.
pub fn show_all(problems: &Problems, files: &Files) -> String {
    let mut text = String::new();
    for problem in problems.sorted() {
        text.push_str(&show_one(problem, files));
        text.push('\n');
    }
    if problems.more() > 0 {
        let _ = writeln!(
            text,
            "… and {} more problems that are not shown\n",
            problems.more()
        );
    }
    let count = problems.count();
    let _ = writeln!(
        text,
        "{count} {}; nothing was audited",
        if count == 1 { "problem" } else { "problems" }
    );
    text
}

/// One problem with its line and a caret.
pub fn show_one(problem: &Problem, files: &Files) -> String {
    let (what, help) = words(&problem.code);
    let at = files.locate(problem.at);
    let mut text = format!("error[{}]: {}\n", problem.code.name(), clean(&what));
    let margin = at.line.map_or(1, |line| line.to_string().len());
    match at.line {
        None => {
            let _ = writeln!(text, "{:margin$}--> {}", "", clean(&at.name));
        }
        Some(line) => {
            let (shown, before, width) = clip(&at.text, at.before, at.width);
            let _ = writeln!(
                text,
                "{:margin$}--> {}:{line}:{}",
                "",
                clean(&at.name),
                at.column
            );
            let _ = writeln!(text, "{:margin$} |", "");
            let _ = writeln!(text, "{line} | {shown}");
            let _ = writeln!(text, "{:margin$} | {:before$}{}", "", "", "^".repeat(width));
        }
    }
    if let Some(see) = problem.see {
        let other = files.locate(see);
        let line = other
            .line
            .map_or(String::new(), |line| format!(":{line}:{}", other.column));
        let _ = writeln!(text, "{:margin$} = see: {}{line}", "", clean(&other.name));
    }
    let _ = writeln!(text, "{:margin$} = help: {}", "", clean(&help));
    text
}

/// Text without control characters, which a terminal would obey.
pub fn clean(text: &str) -> String {
    if !text.chars().any(hostile) {
        return text.to_string();
    }
    text.chars()
        .map(|c| if hostile(c) { '\u{fffd}' } else { c })
        .collect()
}

fn hostile(c: char) -> bool {
    c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// The part of a long line around the caret, and where the caret then stands.
fn clip(line: &str, before: usize, width: usize) -> (String, usize, usize) {
    let line = clean(line);
    let length = line.chars().count();
    if length <= WINDOW {
        return (line, before, width);
    }
    let from = before
        .saturating_sub(WINDOW / 2)
        .min(length - WINDOW.min(length));
    let mut shown: String = line.chars().skip(from).take(WINDOW).collect();
    if from + WINDOW < length {
        shown.push('…');
    }
    let lead = usize::from(from > 0);
    if lead == 1 {
        shown.insert(0, '…');
    }
    (
        shown,
        before.saturating_sub(from) + lead,
        width.min(WINDOW / 2),
    )
}

fn or_near(near: Option<&String>, known: &str) -> String {
    match near {
        Some(near) => format!("did you mean `{near}`? Known: {known}"),
        None => format!("known: {known}"),
    }
}

fn words(code: &Code) -> (String, String) {
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
        | Code::PlaceUnclear { .. }
        | Code::NotAcceptable { .. } => book_words(code),
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
        | Code::EntryTwice { .. }
        | Code::TestResult { .. } => log_words(code),
    }
}

fn pair(what: impl Into<String>, help: impl Into<String>) -> (String, String) {
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
    let kinds = kinds.join(" or ");
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
            "save the file as `CSV UTF-8` in the spreadsheet",
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
            or_near(near.as_ref(), known),
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
            "look for a missing quotation mark or bracket",
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
            format!("a `{kind}` rule needs {needs}"),
            format!("see `sandarac explain {kind}`"),
        ),
        Code::KeyIdle { key, kind } => pair(
            format!("a `{kind}` rule does nothing with `{key}`"),
            format!("take it out; `sandarac explain {kind}` lists what the kind reads"),
        ),
        Code::CaseFails {
            case,
            expected,
            got,
        } => pair(
            format!("the case `{case}` expects {expected}, but gives {got}"),
            "mend the rule or the case",
        ),
        Code::CaseLacks { what } => pair(
            format!("no case shows {what}"),
            "add one to the cases of this rule",
        ),
        _ => pair("", ""),
    }
}

fn book_words(code: &Code) -> (String, String) {
    match code {
        Code::CellMissing { column } => pair(
            format!("{column} is empty"),
            format!("every row needs its {column}"),
        ),
        Code::WordUnknown {
            column,
            read,
            near,
            known,
        } => pair(
            format!("{column} does not take `{read}`"),
            or_near(near.as_ref(), known),
        ),
        Code::SpanBroken { column, read } => pair(
            format!("{column} is not a whole number of its unit: `{read}`"),
            "write `36 h` rather than `1.5 days`",
        ),
        Code::NotPositive { column, read } => pair(
            format!("{column} must be more than nothing: `{read}`"),
            "leave the cell empty if it is not known",
        ),
        Code::PartsWrong { column, read } => pair(
            format!("{column} is not a list of parts: `{read}`"),
            "write `ethanol 90 vol %; methanol 5-10 vol %`, parts by `;`",
        ),
        Code::PartsOver { total } => pair(
            format!("the parts add to {total} %, more than there can be"),
            "parts add to at most 100 %; a range counts with its low end",
        ),
        Code::IdTwice { kind, id } => pair(
            format!("the {kind} `{id}` stands twice"),
            "give one of them another name",
        ),
        Code::NameUnknown { kind, read, near } => {
            let help = near.as_ref().map_or_else(
                || format!("add the {kind} to its table, or mend the name"),
                |near| format!("did you mean `{near}`?"),
            );
            pair(format!("there is no {kind} `{read}`"), help)
        }
        Code::AmountOverCapacity { amount, capacity } => pair(
            format!("{amount} does not go into a vessel of {capacity}"),
            "mend the amount or the capacity",
        ),
        Code::PlaceUnclear { rooms } => pair(
            format!("the place is empty, and there are {rooms} rooms it could be in"),
            "name a place of places.csv, or a room of rooms.csv",
        ),
        Code::NotAcceptable { rule } => pair(
            format!("a finding of `{rule}` cannot be accepted away"),
            "rags that can heat themselves are put right, not accepted; take this row out",
        ),
        _ => pair("", ""),
    }
}

fn log_words(code: &Code) -> (String, String) {
    match code {
        Code::EntryNeeds { what, column } => pair(
            format!("a `{what}` entry needs its {column}"),
            format!("fill in the column `{column}`"),
        ),
        Code::EntryBeforeSince {
            when,
            container,
            since,
        } => pair(
            format!(
                "this happened on {when}, but the inventory knows `{container}` only since {since}"
            ),
            "mend the moment, or set `since` and `amount` of the container to an earlier day",
        ),
        Code::TakesMore {
            container,
            taken,
            held,
        } => pair(
            format!("takes {taken} out of `{container}`, which holds {held} at that moment"),
            "mend the amount, log what was put in before, or `count` what is really there",
        ),
        Code::TooFine { container } => pair(
            format!("the amounts of `{container}` have more digits together than can be kept exactly"),
            "write them with fewer digits",
        ),
        Code::OtherKind {
            container,
            holds,
            given,
        } => pair(
            format!("`{container}` holds {holds}, but the entry gives {given}"),
            "write the amount in a unit of the same kind",
        ),
        Code::OtherProduct { from, into } => pair(
            format!("decants {from} into a vessel of {into}"),
            "a decant keeps the product; log a `mix`, or give the new content a row of its own in inventory.csv",
        ),
        Code::SameContainer => pair(
            "a container cannot be poured into itself",
            "name another container in `into`",
        ),
        Code::NotARag { container } => pair(
            format!("`{container}` is not a row of rags or pads"),
            "name a container whose vessel is `rag` or `pad`",
        ),
        Code::NotAPlaceFor { what, place, wants } => pair(
            format!("a `{what}` entry cannot happen at `{place}`"),
            format!("name a place of kind {wants}"),
        ),
        Code::RagsFew {
            container,
            asked,
            there,
            state,
        } => pair(
            format!("{asked} of `{container}` are meant, but {there} are {state} at that moment"),
            "mend the number, or log what happened to the rags before",
        ),
        Code::CorrectsNothing { entry } => pair(
            format!("there is no earlier entry `{entry}` to correct"),
            "name in `into` the entry that was wrong; a correction comes after what it corrects",
        ),
        Code::CorrectsTwice { entry } => pair(
            format!("the entry `{entry}` is corrected twice"),
            "take one of the corrections back by correcting it with an empty amount, or keep one",
        ),
        Code::EntryTwice { entry } => pair(
            format!("two entries are called `{entry}`"),
            "give each entry its own number",
        ),
        Code::TestResult { read } => pair(
            format!("the result of the test is not clear: `{read}`"),
            "give the minutes to dry on glass, or begin the note with `pass`, `retest` or `fail`",
        ),
        _ => pair("", ""),
    }
}

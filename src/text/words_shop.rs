//! The words of the problems that tables and log of a shop can have.

use super::code::Code;
use super::days::readings;
use super::unseen::{as_it_looks, unseen};
use super::words::{is_exponent, or_near, pair};
use super::words_file::what_is_unseen;

pub(super) fn book_words(code: &Code) -> (String, String) {
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
            format!("the parts come to more than there can be: {total} %"),
            "no part is more than 100 %, and together the low ends are at most 100 %",
        ),
        Code::IdTwice { kind, id } => pair(
            format!("the {kind} `{id}` stands twice"),
            "give one of them another name",
        ),
        Code::NameUnknown { kind, read, near } => pair(
            format!("there is no {kind} `{read}`"),
            name_help(kind, read, near.as_ref()),
        ),
        Code::AmountOverCapacity { amount, capacity } => pair(
            format!("{amount} does not go into a vessel of {capacity}"),
            "mend the amount or the capacity",
        ),
        Code::NotAcceptable { rule } => pair(
            format!("a finding of `{rule}` cannot be accepted away"),
            "rags that can heat themselves are put right, not accepted; take this row out",
        ),
        _ => pair("", ""),
    }
}

pub(super) fn sheet_words(code: &Code) -> (String, String) {
    match code {
        Code::CellIdle { kind, column } => pair(
            format!("a row of kind `{kind}` has no use for `{column}`"),
            match *kind {
                "count" => "write the amount into `found`, and leave `answer` empty",
                _ => "write yes, no or not present into `answer`, and leave `found` empty",
            },
        ),
        Code::NoteAlone { column } => pair(
            format!("there is a note, but {column} is empty"),
            format!(
                "fill in `{column}`; nothing is kept of a row that was not looked at, and so not its note"
            ),
        ),
        Code::MomentNeeded => pair(
            "nobody says when this was looked at",
            "fill in `when`, or give the moment of the round: `--when 2026-11-24T17:30`",
        ),
        Code::NothingPrinted => pair(
            "`ok` means as the sheet printed it, and the sheet printed no amount",
            "write how much is there, such as `1 qt`",
        ),
        Code::SeenTwice { name } => pair(
            format!("`{name}` is entered twice for that moment"),
            "take one of the two out; if both were seen, each with its own `when`, enter them one after the other",
        ),
        _ => pair("", ""),
    }
}

fn name_help(kind: &str, read: &str, near: Option<&String>) -> String {
    if unseen(read).is_some() {
        return format!(
            "it has {} in it, which looks like nothing or like a plain space; write it again by hand: `{}`",
            what_is_unseen(read),
            as_it_looks(read)
        );
    }
    if let Some(near) = near {
        return format!("did you mean `{near}`? If not, add the {kind} to its table");
    }
    let exponent = read.find(['E', 'e']).and_then(|at| read.get(at..));
    let number = read.starts_with(|c: char| c.is_ascii_digit());
    if number && (exponent.is_some_and(is_exponent) || !readings(read).is_empty()) {
        return format!(
            "a spreadsheet may have made it of another name; set the cells of the {kind} to text and write it again"
        );
    }
    format!("add the {kind} to its table, or mend the name")
}

pub(super) fn log_words(code: &Code) -> (String, String) {
    match code {
        Code::EntryNeeds { what, column } => pair(
            format!("`{what}` needs the column {column}"),
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
            format!(
                "the amounts of `{container}` have more digits together than can be kept exactly"
            ),
            "write them with fewer digits",
        ),
        Code::OtherKind {
            container,
            given: "a pour",
            ..
        } => pair(
            format!("`{container}` is a row of rags or pads, and cannot be poured"),
            "rags and pads are soiled, spread, soaked, binned, moved or thrown out",
        ),
        Code::OtherKind {
            container,
            holds,
            given,
        } => pair(
            format!("`{container}` holds {holds}, but the entry gives {given}"),
            "write the amount in a unit of the same kind; `oz` is a weight, `fl oz` a volume",
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
            format!("`{what}` cannot happen at `{place}`"),
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
        Code::CorrectsNotClear => pair(
            "this correction fills in nothing but a remark",
            "fill in what is right (container, amount, place, minutes), or begin the remark with `void` to take the entry back",
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

//! The words of the problems that tables and log of a shop can have.

use super::code::Code;
use super::words::{or_near, pair};

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
        Code::NameUnknown { kind, read, near } => {
            let help = near.as_ref().map_or_else(
                || format!("add the {kind} to its table, or mend the name"),
                |near| format!("did you mean `{near}`? If not, add the {kind} to its table"),
            );
            pair(format!("there is no {kind} `{read}`"), help)
        }
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

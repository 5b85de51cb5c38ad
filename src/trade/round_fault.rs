//! What can be wrong with a round that comes back filled in.

use crate::text::faults;

faults! {
    /// A fault of a row of the round.
    pub enum RoundFault {
        CellUnused { kind: &'static str, column: &'static str } = "cell-idle" => (
            format!("A row of kind \"{kind}\" does not use \"{column}\"."),
            match *kind {
                "count" => "Write the amount into \"found\" and leave \"answer\" empty.",
                _ => "Write yes, no or not present into \"answer\" and leave \"found\" empty.",
            },
        ),
        NoteAlone { column: &'static str } = "note-alone" => (
            format!("The row has a note, but \"{column}\" is empty."),
            format!("Fill in \"{column}\". An empty row is skipped, and its note with it."),
        ),
        MomentNeeded { rows: usize } = "moment-needed" => (
            match rows {
                1 => "The time of this row is missing.".to_string(),
                rows => format!("The time of {rows} rows is missing, from this row on."),
            },
            "Give the time of the round once: --when 2026-11-24T17:30. Or fill in \"when\" in each row.",
        ),
        NothingPrinted = "nothing-printed" => (
            "\"ok\" means as printed, but the round printed no amount here.",
            "Write how much is there, such as 1 qt.",
        ),
        DuplicateAnswer { name: String } = "seen-twice" => (
            format!("\"{name}\" is entered twice for that time."),
            "Remove one of the two. If both were seen at different times, give each its own \"when\".",
        ),
    }
}

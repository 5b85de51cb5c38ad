//! What can be wrong with a round that comes back filled in.

use crate::text::{Fault, Words};

/// A fault of a row of the round.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum RoundFault {
    CellUnused {
        kind: &'static str,
        column: &'static str,
    },
    NoteAlone {
        column: &'static str,
    },
    MomentNeeded {
        rows: usize,
    },
    NothingPrinted,
    DuplicateAnswer {
        name: String,
    },
}

impl Fault for RoundFault {
    fn code(&self) -> &'static str {
        match self {
            RoundFault::CellUnused { .. } => "cell-idle",
            RoundFault::NoteAlone { .. } => "note-alone",
            RoundFault::MomentNeeded { .. } => "moment-needed",
            RoundFault::NothingPrinted => "nothing-printed",
            RoundFault::DuplicateAnswer { .. } => "seen-twice",
        }
    }

    fn words(&self) -> Words {
        match self {
            RoundFault::CellUnused { kind, column } => Words::new(
                format!("A row of kind \"{kind}\" does not use \"{column}\"."),
                match *kind {
                    "count" => "Write the amount into \"found\" and leave \"answer\" empty.",
                    _ => "Write yes, no or not present into \"answer\" and leave \"found\" empty.",
                },
            ),
            RoundFault::NoteAlone { column } => Words::new(
                format!("The row has a note, but \"{column}\" is empty."),
                format!("Fill in \"{column}\". An empty row is skipped, and its note with it."),
            ),
            RoundFault::MomentNeeded { rows } => Words::new(
                match rows {
                    1 => "The time of this row is missing.".to_string(),
                    rows => format!("The time of {rows} rows is missing, from this row on."),
                },
                "Give the time of the round once: --when 2026-11-24T17:30. Or fill in \"when\" in each row.",
            ),
            RoundFault::NothingPrinted => Words::new(
                "\"ok\" means as printed, but the round printed no amount here.",
                "Write how much is there, such as 1 qt.",
            ),
            RoundFault::DuplicateAnswer { name } => Words::new(
                format!("\"{name}\" is entered twice for that time."),
                "Remove one of the two. If both were seen at different times, give each its own \"when\".",
            ),
        }
    }
}

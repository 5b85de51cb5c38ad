//! What can be wrong with a row of a shop's tables.

use crate::text::{Fault, Words};

/// A fault of a row.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum RecordFault {
    PartsWrong {
        read: String,
    },
    PartsOver {
        total: String,
    },
    DuplicateName {
        kind: &'static str,
        id: String,
    },
    OtherCapitals {
        kind: &'static str,
        id: String,
        other: String,
    },
    VesselUnclear {
        read: String,
        choices: &'static str,
    },
    AmountOverCapacity {
        amount: String,
        capacity: String,
    },
    EntryNeeds {
        what: &'static str,
        column: &'static str,
    },
    FromUnused {
        what: &'static str,
    },
    VoidsNothing {
        check: String,
    },
}

impl Fault for RecordFault {
    fn code(&self) -> &'static str {
        match self {
            RecordFault::PartsWrong { .. } => "parts-wrong",
            RecordFault::PartsOver { .. } => "parts-over",
            RecordFault::DuplicateName { .. } => "id-twice",
            RecordFault::OtherCapitals { .. } => "id-capitals",
            RecordFault::VesselUnclear { .. } => "vessel-unclear",
            RecordFault::AmountOverCapacity { .. } => "amount-over-capacity",
            RecordFault::EntryNeeds { .. } => "entry-needs",
            RecordFault::FromUnused { .. } => "from-unused",
            RecordFault::VoidsNothing { .. } => "voids-nothing",
        }
    }

    fn words(&self) -> Words {
        match self {
            RecordFault::PartsWrong { read } => Words::new(
                format!("\"{read}\" is not a list of parts."),
                "Write \"ethanol 90 vol %; methanol 5-10 vol %\", with semicolons between the parts.",
            ),
            RecordFault::PartsOver { total } => Words::new(
                format!("The parts add up to {total} %."),
                "No part may be over 100 %, and the low ends together may be at most 100 %.",
            ),
            RecordFault::DuplicateName { kind, id } => Words::new(
                format!("The {kind} \"{id}\" is a duplicate."),
                "Give one of them another name.",
            ),
            RecordFault::OtherCapitals { kind, id, other } => Words::new(
                format!("The {kind} \"{id}\" differs from \"{other}\" only in capital letters."),
                "Give one of them another name.",
            ),
            RecordFault::VesselUnclear { read, choices } => Words::new(
                format!("\"{read}\" does not say what the container is made of."),
                format!("Write {choices}."),
            ),
            RecordFault::AmountOverCapacity { amount, capacity } => Words::new(
                format!("{amount} does not fit into a vessel of {capacity}."),
                "Correct the amount or the capacity.",
            ),
            RecordFault::EntryNeeds { what, column } => Words::new(
                format!("An entry \"{what}\" needs a value for \"{column}\"."),
                format!("Fill in the column \"{column}\"."),
            ),
            RecordFault::FromUnused { what } => Words::new(
                format!("An entry \"{what}\" takes no value for \"from\"."),
                "Leave the column \"from\" empty. It says which rags are soiled, moved, spread, soaked, binned, tested or discarded.",
            ),
            RecordFault::VoidsNothing { check } => Words::new(
                format!("This takes back an answer to {check}, but there is none before it."),
                "Remove the row, or write the answer itself: yes, no or not present.",
            ),
        }
    }
}

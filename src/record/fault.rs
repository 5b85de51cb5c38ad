//! What can be wrong with a row of a shop's tables.

use crate::text::faults;

faults! {
    /// A fault of a row.
    pub enum RecordFault {
        PartsWrong { read: String } = "parts-wrong" => (
            format!("\"{read}\" is not a list of parts."),
            "Write \"ethanol 90 vol %; methanol 5-10 vol %\", with semicolons between the parts.",
        ),
        PartsOver { total: String } = "parts-over" => (
            format!("The parts add up to {total} %."),
            "No part may be over 100 %, and the low ends together may be at most 100 %.",
        ),
        DuplicateName { kind: &'static str, id: String } = "id-twice" => (
            format!("The {kind} \"{id}\" is a duplicate."),
            "Give one of them another name.",
        ),
        OtherCapitals { kind: &'static str, id: String, other: String } = "id-capitals" => (
            format!("The {kind} \"{id}\" differs from \"{other}\" only in capital letters."),
            "Give one of them another name.",
        ),
        VesselUnclear { read: String, choices: &'static str } = "vessel-unclear" => (
            format!("\"{read}\" does not say what the container is made of."),
            format!("Write {choices}."),
        ),
        AmountOverCapacity { amount: String, capacity: String } = "amount-over-capacity" => (
            format!("{amount} does not fit into a vessel of {capacity}."),
            "Correct the amount or the capacity.",
        ),
        EntryNeeds { what: &'static str, column: &'static str } = "entry-needs" => (
            format!("An entry \"{what}\" needs a value for \"{column}\"."),
            format!("Fill in the column \"{column}\"."),
        ),
        FromUnused { what: &'static str } = "from-unused" => (
            format!("An entry \"{what}\" takes no value for \"from\"."),
            "Leave the column \"from\" empty. It says which rags are soiled, moved, spread, soaked, binned, tested or discarded.",
        ),
        VoidsNothing { check: String } = "voids-nothing" => (
            format!("This takes back an answer to {check}, but there is none before it."),
            "Remove the row, or write the answer itself: yes, no or not present.",
        ),
    }
}

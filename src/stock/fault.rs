//! What can be wrong with an entry of the log, given what the log says before it.

use crate::text::{Fault, Words};

/// A fault of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum StockFault {
    BeforeSince {
        when: String,
        container: String,
        since: String,
    },
    TakesMore {
        container: String,
        taken: String,
        held: String,
    },
    TooFine {
        container: String,
    },
    OtherKind {
        container: String,
        holds: &'static str,
        given: &'static str,
    },
    NotPoured {
        container: String,
    },
    OtherProduct {
        from: String,
        into: String,
    },
    SameContainer,
    NotARag {
        container: String,
    },
    NotAPlaceFor {
        what: &'static str,
        place: String,
        wants: &'static str,
    },
    RagsFew {
        container: String,
        asked: String,
        there: String,
    },
    CorrectsNothing {
        entry: String,
    },
    CorrectsTwice {
        entry: String,
    },
    CorrectsNotClear,
    CorrectsOther {
        what: &'static str,
        column: &'static str,
    },
    DuplicateEntry {
        entry: String,
    },
    TestResult {
        read: String,
    },
}

impl Fault for StockFault {
    fn code(&self) -> &'static str {
        match self {
            StockFault::BeforeSince { .. } => "entry-before-since",
            StockFault::TakesMore { .. } => "takes-more",
            StockFault::TooFine { .. } => "too-fine",
            StockFault::OtherKind { .. } | StockFault::NotPoured { .. } => "other-kind",
            StockFault::OtherProduct { .. } => "other-product",
            StockFault::SameContainer => "same-container",
            StockFault::NotARag { .. } => "not-a-rag",
            StockFault::NotAPlaceFor { .. } => "not-a-place-for",
            StockFault::RagsFew { .. } => "rags-few",
            StockFault::CorrectsNothing { .. } => "corrects-nothing",
            StockFault::CorrectsTwice { .. } => "corrects-twice",
            StockFault::CorrectsNotClear => "corrects-not-clear",
            StockFault::CorrectsOther { .. } => "corrects-other",
            StockFault::DuplicateEntry { .. } => "entry-twice",
            StockFault::TestResult { .. } => "test-result",
        }
    }

    fn words(&self) -> Words {
        match self {
            StockFault::BeforeSince {
                when,
                container,
                since,
            } => Words::new(
                format!(
                    "This entry is dated {when}, but {container} is in the inventory only since {since}."
                ),
                "Correct the date, or set \"since\" and \"amount\" of the container to an earlier day.",
            ),
            StockFault::TakesMore {
                container,
                taken,
                held,
            } => Words::new(
                format!("This takes {taken} out of {container}, which holds {held} at that time."),
                "Correct the amount, log what was put in before, or `count` what is really there.",
            ),
            StockFault::TooFine { container } => Words::new(
                format!(
                    "The amounts of {container} have more digits together than can be kept exactly."
                ),
                "Write them with fewer digits.",
            ),
            StockFault::OtherKind {
                container,
                holds,
                given,
            } => Words::new(
                format!("{container} holds {holds}, but the entry gives {given}."),
                "Write the amount in a unit of the same kind. \"oz\" is a weight, \"fl oz\" is a volume.",
            ),
            StockFault::NotPoured { container } => Words::new(
                format!("{container} is a row of rags or pads. Rags cannot be poured."),
                "Use soil, spread, soak, bin, move or discard for rags and pads.",
            ),
            StockFault::OtherProduct { from, into } => Words::new(
                format!("This decants {from} into a vessel of {into}."),
                "A decant keeps the product. Log a `mix`, or give the new content its own row in inventory.csv.",
            ),
            StockFault::SameContainer => Words::new(
                "A container cannot be poured into itself.",
                "Name another container in the column \"into\".",
            ),
            StockFault::NotARag { container } => Words::new(
                format!("{container} is not a row of rags or pads."),
                "Name a container whose vessel is rag or pad.",
            ),
            StockFault::NotAPlaceFor { what, place, wants } => Words::new(
                format!("An entry \"{what}\" cannot happen at {place}."),
                format!("Name a place of kind {wants}."),
            ),
            StockFault::RagsFew {
                container,
                asked,
                there,
            } => Words::new(
                format!(
                    "This takes {asked} of {container}, but at that time only {there} could be taken."
                ),
                "Correct the number, or log what happened to the rags before.",
            ),
            StockFault::CorrectsNothing { entry } => Words::new(
                format!("There is no earlier entry \"{entry}\" to correct."),
                "Name the wrong entry in the column \"into\". A correction comes after the entry it corrects.",
            ),
            StockFault::CorrectsTwice { entry } => Words::new(
                format!("The entry \"{entry}\" is corrected twice."),
                "Keep one of the corrections, or take one back with `sandarac log undo`.",
            ),
            StockFault::CorrectsNotClear => Words::new(
                "This correction does not say what is right.",
                "Fill in the right container, amount, place or minutes. To take the entry back, start the note with void.",
            ),
            StockFault::CorrectsOther { what, column } => Words::new(
                format!("This corrects \"{column}\" of an entry \"{what}\", which has none."),
                "Fill in only what the corrected entry says, or take that entry back and write another one.",
            ),
            StockFault::DuplicateEntry { entry } => Words::new(
                format!("Two entries are called \"{entry}\"."),
                "If the row was pasted twice, delete one of the two. Otherwise give this entry its own number.",
            ),
            StockFault::TestResult { read } => Words::new(
                format!("The result of the test is not clear: \"{read}\"."),
                "Give the minutes to dry on glass, or start the note with pass, retest or fail.",
            ),
        }
    }
}

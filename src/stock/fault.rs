//! What can be wrong with an entry of the log, given what the log says before it.

use crate::text::faults;

faults! {
    /// A fault of an entry.
    pub enum StockFault {
        BeforeSince { when: String, container: String, since: String } = "entry-before-since" => (
            format!("This entry is dated {when}, but {container} is in the inventory only since {since}."),
            "Correct the date, or set \"since\" and \"amount\" of the container to an earlier day.",
        ),
        TakesMore { container: String, taken: String, held: String } = "takes-more" => (
            format!("This takes {taken} out of {container}, which holds {held} at that time."),
            "Correct the amount, log what was put in before, or `count` what is really there.",
        ),
        TooFine { container: String } = "too-fine" => (
            format!("The amounts of {container} have more digits together than can be kept exactly."),
            "Write them with fewer digits.",
        ),
        OtherKind { container: String, holds: &'static str, given: &'static str } = "other-kind" => (
            format!("{container} holds {holds}, but the entry gives {given}."),
            "Write the amount in a unit of the same kind. \"oz\" is a weight, \"fl oz\" is a volume.",
        ),
        NotPoured { container: String } = "other-kind" => (
            format!("{container} is a row of rags or pads. Rags cannot be poured."),
            "Use soil, spread, soak, bin, move or discard for rags and pads.",
        ),
        OtherProduct { from: String, into: String } = "other-product" => (
            format!("This decants {from} into a vessel of {into}."),
            "A decant keeps the product. Log a `mix`, or give the new content its own row in inventory.csv.",
        ),
        SameContainer = "same-container" => (
            "A container cannot be poured into itself.",
            "Name another container in the column \"into\".",
        ),
        NotARag { container: String } = "not-a-rag" => (
            format!("{container} is not a row of rags or pads."),
            "Name a container whose vessel is rag or pad.",
        ),
        NotAPlaceFor { what: &'static str, place: String, wants: &'static str } = "not-a-place-for" => (
            format!("An entry \"{what}\" cannot happen at {place}."),
            format!("Name a place of kind {wants}."),
        ),
        RagsFew { container: String, asked: String, there: String } = "rags-few" => (
            format!("This takes {asked} of {container}, but at that time only {there} could be taken."),
            "Correct the number, or log what happened to the rags before.",
        ),
        CorrectsNothing { entry: String } = "corrects-nothing" => (
            format!("There is no earlier entry \"{entry}\" to correct."),
            "Name the wrong entry in the column \"into\". A correction comes after the entry it corrects.",
        ),
        CorrectsTwice { entry: String, by: String } = "corrects-twice" => (
            format!("The entry \"{entry}\" is corrected twice."),
            format!(
                "Correct entry {by} instead, which corrects it already. Or take that one back first with `sandarac log undo {by}`."
            ),
        ),
        CorrectsNotClear = "corrects-not-clear" => (
            "This correction does not say what is right.",
            "Fill in the right container, amount, place or minutes. To take the entry back, start the note with void.",
        ),
        CorrectsOther { what: &'static str, column: &'static str } = "corrects-other" => (
            format!("This corrects \"{column}\" of an entry \"{what}\", which has none."),
            "Fill in only what the corrected entry says, or take that entry back and write another one.",
        ),
        DuplicateEntry { entry: String } = "entry-twice" => (
            format!("Two entries are called \"{entry}\"."),
            "If the row was pasted twice, delete one of the two. Otherwise give this entry its own number.",
        ),
        TestResult { read: String } = "test-result" => (
            format!("The result of the test is not clear: \"{read}\"."),
            "Give the minutes to dry on glass, or start the note with pass, retest or fail.",
        ),
    }
}

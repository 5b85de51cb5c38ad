//! What can be wrong with a file, as facts; the words live in `show.rs`.

use crate::quantity::{DayFault, Dimension, MeasureFault};

/// One kind of problem with the facts it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(
    missing_docs,
    reason = "each variant is told in words in show.rs, with a test of the whole message"
)]
pub enum Code {
    // the file as bytes
    FileMissing {
        name: String,
        hint: String,
    },
    Unreadable {
        why: String,
    },
    NotAFile {
        is: &'static str,
    },
    LeadsOut {
        to: String,
    },
    FileTooLarge {
        bytes: u64,
        most: u64,
    },
    FileMisnamed {
        name: String,
        there: String,
    },
    /// What an earlier version left behind that closed periods.
    PeriodClosed {
        there: String,
    },
    NotUtf8,
    Utf16,
    NulByte,
    LoneReturn,
    UnevenQuotes,
    RowTooLong,
    // the table
    TableTooLong {
        most: usize,
    },
    HeaderBelow,
    HashRow,
    TableEmpty {
        columns: String,
    },
    ColumnUnknown {
        column: String,
        near: Option<String>,
        known: String,
    },
    ColumnTwice {
        column: String,
    },
    ColumnMissing {
        column: &'static str,
    },
    CellCount {
        cells: usize,
        columns: usize,
        curly: bool,
    },
    // one cell
    NameOdd {
        column: String,
        read: String,
        fault: NameFault,
    },
    CellMissing {
        column: String,
    },
    WordUnknown {
        column: String,
        read: String,
        near: Option<String>,
        known: String,
    },
    Quantity {
        column: String,
        read: String,
        fault: MeasureFault,
        wanted: Vec<Dimension>,
    },
    SpanBroken {
        column: String,
        read: String,
    },
    NotPositive {
        column: String,
        read: String,
    },
    DayWrong {
        column: String,
        read: String,
        fault: DayFault,
        moment: bool,
    },
    PartsWrong {
        column: String,
        read: String,
    },
    PartsOver {
        total: String,
    },
    // the book
    IdTwice {
        kind: &'static str,
        id: String,
    },
    NameUnknown {
        kind: &'static str,
        read: String,
        near: Option<String>,
    },
    AmountOverCapacity {
        amount: String,
        capacity: String,
    },
    // the log
    EntryNeeds {
        what: &'static str,
        column: &'static str,
    },
    EntryBeforeSince {
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
        state: &'static str,
    },
    CorrectsNothing {
        entry: String,
    },
    CorrectsTwice {
        entry: String,
    },
    CorrectsNotClear,
    EntryTwice {
        entry: String,
    },
    TestResult {
        read: String,
    },
    // a filled-in sheet
    CellIdle {
        kind: &'static str,
        column: &'static str,
    },
    NoteAlone {
        column: &'static str,
    },
    MomentNeeded,
    NothingPrinted,
    SeenTwice {
        name: String,
    },
    // packs and shop.toml
    TomlSyntax {
        why: String,
    },
    KeyUnknown {
        key: String,
        near: Option<String>,
        known: String,
    },
    KeyMissing {
        key: &'static str,
        of: String,
    },
    ValueWrong {
        key: String,
        wanted: String,
    },
    ClassLeftOut {
        class: String,
    },
    ClassGap {
        at: String,
    },
    ClassOverlap {
        at: String,
        first: String,
        second: String,
    },
    NoLimit,
    Demand {
        kind: String,
        needs: String,
    },
    KeyIdle {
        key: String,
        kind: String,
    },
    CaseFails {
        case: String,
        expected: String,
        got: String,
    },
    CaseLacks {
        what: &'static str,
    },
    NotAcceptable {
        rule: String,
    },
}

/// Why a text is no name for a thing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NameFault {
    /// It has a character that cannot be seen, or that steers the screen.
    Unseen,
    /// It stands in curly quotation marks.
    Curly,
    /// It is longer than anybody writes.
    Long,
}

impl Code {
    /// The short name that stands in brackets.
    pub fn name(&self) -> &'static str {
        match self {
            Code::FileMissing { .. } => "file-missing",
            Code::Unreadable { .. } => "unreadable",
            Code::NotAFile { .. } => "not-a-file",
            Code::LeadsOut { .. } => "leads-out",
            Code::FileTooLarge { .. } => "file-too-large",
            Code::FileMisnamed { .. } => "file-misnamed",
            Code::PeriodClosed { .. } => "period-closed",
            Code::NotUtf8 => "not-utf-8",
            Code::Utf16 => "utf-16",
            Code::NulByte => "nul-byte",
            Code::LoneReturn => "lone-return",
            Code::UnevenQuotes => "uneven-quotes",
            Code::RowTooLong => "row-too-long",
            Code::TableTooLong { .. } => "table-too-long",
            Code::HeaderBelow => "header-below",
            Code::HashRow => "hash-row",
            Code::TableEmpty { .. } => "table-empty",
            Code::ColumnUnknown { .. } => "column-unknown",
            Code::ColumnTwice { .. } => "column-twice",
            Code::ColumnMissing { .. } => "column-missing",
            Code::CellCount { .. } => "cell-count",
            Code::NameOdd { .. } => "name-odd",
            Code::CellMissing { .. } => "cell-missing",
            Code::WordUnknown { .. } => "word-unknown",
            Code::Quantity { fault, .. } => match fault {
                MeasureFault::UnitMissing => "unit-missing",
                MeasureFault::UnitUnknown(_) => "unit-unknown",
                MeasureFault::UnitWrong(_) => "unit-wrong",
                MeasureFault::Number(_) => "number-wrong",
            },
            Code::SpanBroken { .. } => "span-broken",
            Code::NotPositive { .. } => "not-positive",
            Code::DayWrong { .. } => "day-wrong",
            Code::PartsWrong { .. } => "parts-wrong",
            Code::PartsOver { .. } => "parts-over",
            Code::IdTwice { .. } => "id-twice",
            Code::NameUnknown { .. } => "name-unknown",
            Code::AmountOverCapacity { .. } => "amount-over-capacity",
            Code::EntryNeeds { .. } => "entry-needs",
            Code::EntryBeforeSince { .. } => "entry-before-since",
            Code::TakesMore { .. } => "takes-more",
            Code::TooFine { .. } => "too-fine",
            Code::OtherKind { .. } => "other-kind",
            Code::OtherProduct { .. } => "other-product",
            Code::SameContainer => "same-container",
            Code::NotARag { .. } => "not-a-rag",
            Code::NotAPlaceFor { .. } => "not-a-place-for",
            Code::RagsFew { .. } => "rags-few",
            Code::CorrectsNothing { .. } => "corrects-nothing",
            Code::CorrectsTwice { .. } => "corrects-twice",
            Code::CorrectsNotClear => "corrects-not-clear",
            Code::EntryTwice { .. } => "entry-twice",
            Code::TestResult { .. } => "test-result",
            Code::CellIdle { .. } => "cell-idle",
            Code::NoteAlone { .. } => "note-alone",
            Code::MomentNeeded => "moment-needed",
            Code::NothingPrinted => "nothing-printed",
            Code::SeenTwice { .. } => "seen-twice",
            Code::TomlSyntax { .. } => "toml-syntax",
            Code::KeyUnknown { .. } => "key-unknown",
            Code::KeyMissing { .. } => "key-missing",
            Code::ValueWrong { .. } => "value-wrong",
            Code::ClassLeftOut { .. } => "class-left-out",
            Code::ClassGap { .. } => "class-gap",
            Code::ClassOverlap { .. } => "class-overlap",
            Code::NoLimit => "no-limit",
            Code::Demand { .. } => "kind-demands",
            Code::KeyIdle { .. } => "key-idle",
            Code::CaseFails { .. } => "case-fails",
            Code::CaseLacks { .. } => "case-lacks",
            Code::NotAcceptable { .. } => "not-acceptable",
        }
    }
}

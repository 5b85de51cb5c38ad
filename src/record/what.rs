//! `log.csv`: its columns, the kinds of entry, and which columns each wants.

use crate::text::{Shape, words};

/// The columns of the log.
pub static LOG: Shape = Shape {
    file: "log.csv",
    must: &["entry", "when", "what"],
    may: &[
        "container",
        "amount",
        "into",
        "place",
        "minutes",
        "by",
        "note",
        "written",
        "id",
        "from",
    ],
};

pub(super) const ID: usize = 0;
pub(super) const WHEN: usize = 1;
pub(super) const WHAT: usize = 2;
pub(super) const CONTAINER: usize = 3;
pub(super) const AMOUNT: usize = 4;
pub(super) const INTO: usize = 5;
pub(super) const PLACE: usize = 6;
pub(super) const MINUTES: usize = 7;
pub(super) const NOTE: usize = 9;
pub(super) const FROM: usize = 12;

words! {
    /// What was done. The order within one moment is that of [`What::rank`].
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
    pub enum What {
        Use = "use",
        Decant = "decant",
        Mix = "mix",
        Receive = "receive",
        Move = "move",
        Open = "open",
        Discard = "discard",
        Soil = "soil",
        Spread = "spread",
        Soak = "soak",
        Bin = "bin",
        Empty = "empty",
        Test = "test",
        Count = "count",
        Correct = "correct",
    }
}

impl What {
    /// Can an entry of this kind say which of several batches of rags it takes?
    pub fn takes_from(self) -> bool {
        match self {
            What::Move
            | What::Soil
            | What::Discard
            | What::Spread
            | What::Soak
            | What::Bin
            | What::Test
            | What::Correct => true,
            What::Receive
            | What::Open
            | What::Mix
            | What::Decant
            | What::Use
            | What::Empty
            | What::Count => false,
        }
    }

    /// Its place among entries of the same minute: what comes in, then what is poured over, then all else as it is
    /// written, line by line (a can is emptied before or after a rag goes in); a test and a count after all of it.
    pub fn rank(self) -> u8 {
        match self {
            What::Receive => 0,
            What::Open => 1,
            What::Mix => 2,
            What::Decant => 3,
            What::Use
            | What::Move
            | What::Soil
            | What::Discard
            | What::Spread
            | What::Soak
            | What::Bin
            | What::Empty => 4,
            What::Test => 5,
            What::Count => 6,
            What::Correct => 7,
        }
    }

    /// Columns that an entry of this kind must fill.
    pub fn needs(self) -> &'static [usize] {
        match self {
            What::Receive | What::Use | What::Count | What::Soil => &[CONTAINER, AMOUNT],
            What::Mix | What::Decant => &[CONTAINER, AMOUNT, INTO],
            What::Move => &[CONTAINER, PLACE],
            What::Open | What::Test | What::Discard => &[CONTAINER],
            What::Spread | What::Soak | What::Bin => &[CONTAINER, PLACE],
            What::Empty => &[PLACE],
            What::Correct => &[INTO],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::What;

    #[test]
    fn every_word_reads_back() {
        for (word, what) in What::WORDS {
            assert_eq!(What::parse(word), Some(what));
            assert_eq!(what.word(), word);
        }
    }
}

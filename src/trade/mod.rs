//! What the craft knows: how long a finish keeps, and how a pound cut is named. It draws no conclusion.

mod cut;
mod keeping;
mod round;

pub use cut::{Flake, cut_named, flake_named};
pub use keeping::{Clock, KeepState, KeepingRow, KeepingTable, read_keeping};
pub use round::{Question, Round, read_round};

/// What the craft knows, read once.
#[derive(Debug, Default)]
pub struct Craft {
    /// Keeping times.
    pub keeping: KeepingTable,
    /// The questions of the walk-round.
    pub round: Round,
}

/// Reads the built-in tables of the craft.
pub fn read_craft(files: &mut crate::text::Files, problems: &mut crate::text::Problems) -> Craft {
    let keeping = files.hold("data/keeping.csv", crate::pack::KEEPING.as_bytes());
    let round = files.hold("data/checks.csv", crate::pack::CHECKS.as_bytes());
    Craft {
        keeping: read_keeping(files, keeping, problems),
        round: read_round(files, round, problems),
    }
}

//! What the craft knows: how long a finish keeps, how a pound cut is named and mixed, how fast a shop uses it, what a label
//! must say. It draws no conclusion.

mod asked;
mod cut;
mod filled;
mod filled_row;
mod ghs;
mod ghs_tables;
mod keeping;
pub mod mixing;
mod pace;
mod round;
mod round_fault;
mod term;
mod walk;
mod worked_out;

pub use asked::{AnswerInterval, Asked, NEXT_ROUND, Waited};
pub use cut::{Flake, color_named, cut_named, flake_named, keeping_flake};
pub use filled::{AS_PRINTED, is_filled, is_share, read_filled};
pub use filled_row::{Filled, FilledRow, FindWritten, RoundInput};
pub use ghs::{
    Classed, Counted, Ghs, HazardClass, LeastSize, Limit, Pictogram, Signal, Statement, Under,
};
pub use ghs_tables::{GHS_FILES, read_ghs};

pub use keeping::{KeepState, KeepingQuery, KeepingRow, KeepingTable, ShelfClock, read_keeping};
pub use pace::{Pace, pace};
pub use round::{About, Question, Round, read_round};
pub use round_fault::RoundFault;
pub use term::{Days, ShelfLife};
pub use walk::{Spot, way_round};
pub use worked_out::{WorkedOut, read_worked_out};

/// What the craft knows, read once.
#[derive(Debug, Default)]
pub struct ReferenceData {
    /// Keeping times.
    pub keeping: KeepingTable,
    /// The questions of the round.
    pub round: Round,
    /// The questions that rules answer by themselves.
    pub worked_out: WorkedOut,
}

/// Reads the built-in tables of the craft.
pub fn read_reference_data(
    files: &mut crate::text::Files,
    problems: &mut crate::text::Problems,
) -> ReferenceData {
    let keeping = files.hold("data/keeping.csv", crate::pack::KEEPING.as_bytes());
    let round = files.hold("data/checks.csv", crate::pack::CHECKS.as_bytes());
    let worked_out = files.hold("data/worked-out.csv", crate::pack::WORKED_OUT.as_bytes());
    ReferenceData {
        worked_out: read_worked_out(files, worked_out, problems),
        keeping: read_keeping(files, keeping, problems),
        round: read_round(files, round, problems),
    }
}

/// Reads the built-in tables of the harmonized system.
pub fn read_built_in_ghs(
    files: &mut crate::text::Files,
    problems: &mut crate::text::Problems,
) -> Ghs {
    let tables: Vec<_> = GHS_FILES
        .iter()
        .zip(crate::pack::GHS)
        .map(|(name, text)| files.hold(*name, text.as_bytes()))
        .collect();
    match tables.try_into() {
        Ok(tables) => read_ghs(files, tables, problems),
        Err(_) => Ghs::default(),
    }
}

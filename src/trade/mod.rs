//! What the craft knows: how long a finish keeps, and how a pound cut is named. It draws no conclusion.

mod cut;
mod keeping;

pub use cut::{Flake, cut_named, flake_named};
pub use keeping::{Clock, KeepState, KeepingRow, KeepingTable, read_keeping};

//! What people type, understood as the names, amounts and moments of a shop. Text goes in; the name as the tables write it, an
//! amount with its unit or a moment comes out, or the choices where more than one could be meant. It never guesses between two.

mod amounts;
mod moments;
mod names;

pub use amounts::{AmountTyped, typed_amount};
pub use moments::{DayOrder, MomentUnclear, NOON, typed_moment};
pub use names::{NameChoice, NameFound, container, place, question};

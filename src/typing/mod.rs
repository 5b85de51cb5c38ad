//! What people type, understood as the names, amounts and moments of a shop. Text goes in; the name as the tables write it, an
//! amount with its unit or a moment comes out, or the choices where more than one could be meant. It never guesses between two.

mod amounts;
mod decimals;
mod minutes;
mod moments;
mod names;

pub use amounts::{AmountTyped, HeldAmount, typed_amount};
pub use decimals::{ambiguous, as_typed, with_point};
pub use minutes::typed_minutes;
pub use moments::{DayOrder, MomentUnclear, NOON, typed_due, typed_moment};
pub use names::{NameChoice, NameFound, container, near_product, place, product, question};

//! Vapour: what evaporates, how the air of a room takes it up, and how much air thins it again.
//!
//! `class` sorts liquids by exact borders; all else is pure physics in `f64`, which knows no shop, no file and no exact
//! decimal: a number comes in with the
//! unit its name says, and an `Option` goes out, `None` outside the range where the formula holds. Nothing that is not
//! finite ever leaves. Its numbers are estimates: they are shown with "about", and never turn back into an exact value.
//!
//! House units: litre, kilogram, metre, m³/h of air, minute, degree Celsius; `us` in a name marks the printed US form.

pub mod class;
pub mod dilution;
pub mod estimate;
pub mod flash;
pub mod history;
pub mod mixture;
pub mod pressure;
pub mod release;
pub mod spill;
pub mod well_mixed;

mod decay;
mod stretch;
mod window;

/// The value, if it is a number that can be shown.
fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// All of these lie in their ranges; a NaN lies in none.
fn within(pairs: &[(f64, std::ops::RangeInclusive<f64>)]) -> bool {
    pairs.iter().all(|(value, range)| range.contains(value))
}

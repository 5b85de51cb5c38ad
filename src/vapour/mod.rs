//! Vapour: what evaporates, how the air of a room takes it up, and how much air thins it again.
//!
//! `class` and `labelled` compare exact borders. All else is physics in `f64`. A number comes in with the unit that its doc
//! names; an `Option` goes out, `None` outside the range where the formula holds, and never a number that is not finite.
//! Results are estimates: they are shown with "about" and never become an exact value again.
//!
//! Units: litre, kilogram, metre, m³/h of air, minute, degree Celsius. `us` in a name marks the printed US form.

pub mod against;
pub mod blend_flash;
pub mod class;
pub mod component;
pub mod conversion;
pub mod dilution;
pub mod estimate;
pub mod flash;
pub mod flash_bound;
pub mod given_off;
pub mod history;
pub mod labelled;
pub mod makeup;
pub mod month;
pub mod own_alcohol;
pub mod plan;
pub mod session;
pub mod shown;
pub mod well_mixed;

mod decay;
mod people;
mod room_month;
mod stretch;
mod window;

/// A share of one as per cent.
pub fn percent(share: f64) -> f64 {
    share * 100.0
}

/// Per cent as a share of one.
pub fn share(percent: f64) -> f64 {
    percent / 100.0
}

/// The share that the first is of the second.
pub fn share_of(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

/// The whole number nearest to a value, where there is one.
pub fn whole(value: f64) -> Option<i64> {
    format!("{value:.0}").parse().ok()
}

/// The value, if it is a number that can be shown.
fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// All of these lie in their ranges; a NaN lies in none.
fn within(pairs: &[(f64, std::ops::RangeInclusive<f64>)]) -> bool {
    pairs.iter().all(|(value, range)| range.contains(value))
}

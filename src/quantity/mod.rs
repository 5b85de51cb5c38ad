//! Numbers that refuse to be approximate. This layer knows no file, no shop and no rule.
//!
//! A number and its unit are one token, in files and in types; nothing is rounded on the way to a verdict.

mod bounded;
mod day;
mod kinds;
mod measure;
mod metric;
mod not_a_number;
mod number;
mod ratio;
mod resin;
mod show;
mod spoken;
pub mod unit;
pub mod when;

pub use bounded::Bounded;
pub use day::{Day, DayFault, LastDay, Moment, Period, month_of};
pub use kinds::{
    Airflow, Amount, Area, Density, Length, Mass, Share, ShareBasis, Temperature, Volume,
    pieces_together,
};
pub use measure::{Measure, MeasureFault};
pub use metric::in_metric;
pub use not_a_number::{MOST_DIGITS, NumberFault};
pub use number::{Exact, TooFine};
pub use ratio::Ratio;
pub use resin::{RESIN_GALLONS_A_POUND, RESIN_LITRES_A_KILOGRAM};
pub use show::{
    about_ratio, about_share, at_most, beside, full_words, in_unit, natural, natural_down,
    natural_sum, sensible, sensible_beside, sensible_down, sensible_up, shared, shown_unit,
    temperature, unit_of_shop,
};
pub use spoken::in_digits;
pub use unit::{Dimension, Unit};

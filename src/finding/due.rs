//! The days on which a finding that counts days turns.

use super::conclusion::Finding;
use super::verdict::{Compared, Quantity};
use crate::quantity::{Day, Dimension, Exact, Period};

/// The days on which a finding turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turns {
    /// From this day on something is due.
    pub warn: Option<Day>,
    /// The last day on which it holds.
    pub limit: Option<Day>,
}

impl Finding {
    /// When it turns, by the days that were counted on the day asked; `None` where no days were.
    pub fn turns(&self, on: Day) -> Option<Turns> {
        match self.compared.as_ref()? {
            Compared::AtMost { observed, limit } => Some(Turns {
                warn: None,
                limit: Some(day(on, observed, limit)?),
            }),
            Compared::Staged {
                observed,
                warn,
                limit,
            } => {
                let last = limit.as_ref().and_then(|limit| day(on, observed, limit));
                Some(Turns {
                    warn: Some(day(on, observed, warn)?).filter(|warn| Some(*warn) != last),
                    limit: last,
                })
            }
            Compared::AtLeast { .. } | Compared::Estimated { .. } | Compared::Plain { .. } => None,
        }
    }
}

/// The day on which `limit` days have passed, where `observed` have by `on`.
fn day(on: Day, observed: &Quantity, limit: &Quantity) -> Option<Day> {
    if limit.unit.dimension != Dimension::Period {
        return None;
    }
    let left = limit.base.minus(observed.base).ok()?;
    let days: u32 = left.size().digits().parse().ok()?;
    Some(if left < Exact::ZERO {
        on.back(days)
    } else {
        on.plus(Period::Days(days))
    })
}

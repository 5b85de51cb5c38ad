//! Verdict and margin, from observed, limit and sense. The only place where they are made.

use crate::quantity::{Dimension, Exact, TooFine, Unit, beside, in_unit};
use crate::text::words;
use crate::vapour::estimate::{Estimate, Side};

/// A tenth: what is nearer to its limit than this is near.
const NEARLY: f64 = 0.1;

words! {
    /// What a rule comes to. In the order of urgency.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Verdict {
        /// The limit is broken.
        Breach = "breach",
        /// A needed fact is unknown; that is never a pass.
        CannotJudge = "cannot-judge",
        /// Less than a tenth of the limit to spare, or something is due.
        Near = "near",
        /// It holds.
        Meets = "meets",
        /// The rule is not in force on that day.
        NotInForce = "not-in-force",
    }
}

impl Verdict {
    /// Does it call for something: a breach, a thing that cannot be judged, or one that is near?
    pub fn calls(self) -> bool {
        matches!(self, Verdict::Breach | Verdict::CannotJudge | Verdict::Near)
    }
}

/// A number in the house unit, and the unit it is shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quantity {
    /// The number of house units.
    pub base: Exact,
    /// The unit to show it in.
    pub unit: &'static Unit,
}

/// Where a thing without a number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// It holds.
    Holds,
    /// It holds because nothing is here that it could be about.
    Idle,
    /// It holds for now.
    Warn,
    /// It does not hold.
    Broken,
}

/// What is compared with what.
#[derive(Clone, Debug, PartialEq)]
pub enum Compared {
    /// No more than the limit.
    AtMost { observed: Quantity, limit: Quantity },
    /// No less than the limit.
    AtLeast { observed: Quantity, limit: Quantity },
    /// Something to do from `warn` on, and broken past `limit`; with no limit it is never broken by number alone.
    Staged {
        observed: Quantity,
        /// From here something is due.
        warn: Quantity,
        /// Past here it is broken.
        limit: Option<Quantity>,
    },
    /// An estimate that must be no more than a limit.
    Estimated {
        /// About what was found.
        observed: f64,
        /// How far that may be off, as a share of it.
        error: f64,
        limit: f64,
        /// The unit of both.
        unit: &'static str,
    },
    /// No number.
    Plain {
        observed: String,
        wanted: String,
        stage: Stage,
    },
}

impl Compared {
    /// A number against the most that is allowed, both shown in this unit.
    pub fn at_most(observed: Exact, limit: Exact, unit: &'static Unit) -> Compared {
        Compared::AtMost {
            observed: Quantity {
                base: observed,
                unit,
            },
            limit: Quantity { base: limit, unit },
        }
    }

    /// A number against the least that is required, both shown in this unit.
    pub fn at_least(observed: Exact, limit: Exact, unit: &'static Unit) -> Compared {
        Compared::AtLeast {
            observed: Quantity {
                base: observed,
                unit,
            },
            limit: Quantity { base: limit, unit },
        }
    }

    /// Is a broken limit farther away than it was before? Without numbers this is unknown, and false.
    pub fn is_worse_than(&self, before: &Compared) -> bool {
        use Compared::{AtLeast, AtMost, Estimated, Plain, Staged};
        let over = |observed: &Quantity, limit: &Quantity| observed.base.minus(limit.base).ok();
        match (self, before) {
            (
                AtMost { observed, limit },
                AtMost {
                    observed: old,
                    limit: old_limit,
                },
            ) => over(observed, limit) > over(old, old_limit),
            (
                AtLeast { observed, limit },
                AtLeast {
                    observed: old,
                    limit: old_limit,
                },
            ) => over(limit, observed) > over(old_limit, old),
            (Staged { observed, .. }, Staged { observed: old, .. }) => observed.base > old.base,
            (Estimated { observed, .. }, Estimated { observed: old, .. }) => observed > old,
            (
                AtMost { .. } | AtLeast { .. } | Staged { .. } | Estimated { .. } | Plain { .. },
                _,
            ) => false,
        }
    }

    /// A thing without a number.
    pub fn plain(observed: impl Into<String>, wanted: impl Into<String>, stage: Stage) -> Compared {
        Compared::Plain {
            observed: observed.into(),
            wanted: wanted.into(),
            stage,
        }
    }
}

/// A verdict and its numbers as a reader sees them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShownVerdict {
    pub verdict: Verdict,
    pub observed: String,
    pub limit: String,
    /// What is left to the limit (or what is over it), in words.
    pub margin: Option<String>,
}

/// Judges.
pub fn judge(compared: &Compared) -> ShownVerdict {
    match compared {
        Compared::AtMost { observed, limit } => {
            let margin = limit.base.minus(observed.base);
            let mut shown = shown(
                *observed,
                *limit,
                margin,
                observed.base > limit.base,
                ["over", "to spare"],
            );
            // On its last day a thing is due, and tomorrow it is late.
            if limit.unit.dimension == Dimension::Period && margin == Ok(Exact::ZERO) {
                shown.verdict = Verdict::Near;
            }
            shown
        }
        Compared::AtLeast { observed, limit } => {
            let margin = observed.base.minus(limit.base);
            shown(
                *observed,
                *limit,
                margin,
                observed.base < limit.base,
                ["short", "to spare"],
            )
        }
        Compared::Staged {
            observed,
            warn,
            limit,
        } => staged(*observed, *warn, *limit),
        Compared::Estimated {
            observed,
            error,
            limit,
            unit,
        } => estimated(*observed, *error, *limit, unit),
        Compared::Plain {
            observed,
            wanted,
            stage,
        } => ShownVerdict {
            verdict: match stage {
                Stage::Holds | Stage::Idle => Verdict::Meets,
                Stage::Warn => Verdict::Near,
                Stage::Broken => Verdict::Breach,
            },
            observed: observed.clone(),
            limit: wanted.clone(),
            margin: None,
        },
    }
}

/// Something is due from `warn` on; only past the limit, where there is one, it is broken.
fn staged(observed: Quantity, warn: Quantity, limit: Option<Quantity>) -> ShownVerdict {
    let shown_limit = limit.unwrap_or(warn);
    let broken = limit.is_some_and(|limit| observed.base > limit.base);
    let margin = shown_limit.base.minus(observed.base);
    let mut shown = shown(observed, shown_limit, margin, broken, ["over", "left"]);
    if !broken {
        shown.verdict = if observed.base >= warn.base {
            Verdict::Near
        } else {
            Verdict::Meets
        };
    }
    shown
}

/// With the limit inside its error an estimate is near at best, and at worst.
fn estimated(observed: f64, error: f64, limit: f64, unit: &'static str) -> ShownVerdict {
    let shown_limit =
        Estimate::new(limit, unit, 0.0).map(|e| e.shown().trim_start_matches("about ").to_string());
    let Some(estimate) = Estimate::new(observed, unit, error) else {
        let (observed, limit) = ("no figure".to_string(), shown_limit.unwrap_or_default());
        return ShownVerdict {
            verdict: Verdict::CannotJudge,
            observed,
            limit,
            margin: None,
        };
    };
    let verdict = match estimate.side_of(limit) {
        Side::Above => Verdict::Breach,
        Side::Within => Verdict::Near,
        Side::Below if estimate.side_with(NEARLY, limit) == Side::Within => Verdict::Near,
        Side::Below => Verdict::Meets,
    };
    ShownVerdict {
        verdict,
        observed: estimate.shown_against(limit),
        limit: shown_limit.unwrap_or_default(),
        margin: None,
    }
}

/// Meeting a limit exactly is meeting it: a quart jar where a quart is allowed has nothing wrong with it. Near is less
/// than a tenth of the limit to spare, but something.
fn shown(
    observed: Quantity,
    limit: Quantity,
    margin: Result<Exact, TooFine>,
    broken: bool,
    [over, spare]: [&str; 2],
) -> ShownVerdict {
    // A margin with more digits than are kept is none that can be shown; whether the limit is broken does not hang on it.
    let near = margin.is_ok_and(|margin| {
        let tenfold = margin.times(Exact::whole(10));
        !margin.is_zero() && tenfold.is_ok_and(|tenfold| tenfold < limit.base)
    });
    let verdict = match (broken, near) {
        (true, _) => Verdict::Breach,
        (false, true) => Verdict::Near,
        (false, false) => Verdict::Meets,
    };
    let (seen, allowed) = beside(observed.base, limit.base, limit.unit);
    let margin_text = |margin: Exact| {
        let side = if margin.is_negative() { over } else { spare };
        if margin.is_zero() {
            "exactly at the limit".to_string()
        } else {
            format!("{} {side}", in_unit(margin.size(), limit.unit))
        }
    };
    ShownVerdict {
        verdict,
        observed: seen,
        limit: allowed,
        margin: margin.ok().map(margin_text),
    }
}

#[cfg(test)]
mod tests {
    use super::{Compared, Quantity, Verdict, judge};
    use crate::quantity::Measure;

    fn quantity(text: &str) -> Quantity {
        let measure = Measure::parse(text).unwrap();
        Quantity {
            base: measure.base,
            unit: measure.unit,
        }
    }

    #[test]
    fn under_at_and_over() {
        let at_most = |observed: &str| {
            judge(&Compared::AtMost {
                observed: quantity(observed),
                limit: quantity("60 gal"),
            })
            .verdict
        };
        assert_eq!(at_most("54 gal"), Verdict::Meets, "a tenth to spare");
        assert_eq!(at_most("54.001 gal"), Verdict::Near);
        assert_eq!(at_most("59.99999 gal"), Verdict::Near);
        assert_eq!(at_most("60 gal"), Verdict::Meets);
        assert_eq!(at_most("60.00001 gal"), Verdict::Breach);
        let at_least = |observed: &str| {
            judge(&Compared::AtLeast {
                observed: quantity(observed),
                limit: quantity("6 /h"),
            })
            .verdict
        };
        assert_eq!(at_least("5.9999 /h"), Verdict::Breach);
        assert_eq!(at_least("6 /h"), Verdict::Meets);
        assert_eq!(at_least("6.5999 /h"), Verdict::Near);
        assert_eq!(at_least("6.6 /h"), Verdict::Meets);
    }

    #[test]
    fn a_margin_that_is_too_fine_is_not_shown_as_none() {
        let shown = judge(&Compared::AtMost {
            observed: quantity("0.0000000000000000001 gal"),
            limit: quantity("99999999 gal"),
        });
        assert_eq!((shown.verdict, shown.margin), (Verdict::Meets, None));
    }

    #[test]
    fn something_due_is_near_and_age_without_a_limit_never_breaks() {
        let staged = |observed: &str, limit: Option<&str>| {
            let compared = Compared::Staged {
                observed: quantity(observed),
                warn: quantity("90 days"),
                limit: limit.map(quantity),
            };
            judge(&compared).verdict
        };
        assert_eq!(staged("89 days", Some("180 days")), Verdict::Meets);
        assert_eq!(staged("90 days", Some("180 days")), Verdict::Near);
        assert_eq!(staged("180 days", Some("180 days")), Verdict::Near);
        assert_eq!(staged("181 days", Some("180 days")), Verdict::Breach);
        assert_eq!(staged("4000 days", None), Verdict::Near);
    }
}

//! The five kinds of limit that a substance in the air is held against, and one value for each kind.

use crate::record::Property;

/// How a substance counts in a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Against {
    /// Over its lower explosive limit.
    Lel,
    /// Over its legal limit for eight hours.
    Legal,
    /// Over its guide value for a shift.
    Guide,
    /// Over its limit for a quarter of an hour. An estimate cannot be instantaneous: a ceiling counts as such a limit, as
    /// 29 CFR 1910.1000(a)(1) uses it when an instantaneous measurement is not possible.
    Short,
    /// The same, over those limits alone that are law.
    ShortLegal,
}

/// Which limits count in a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limits {
    /// All, those from memory too.
    All,
    /// Only those that are confirmed.
    Confirmed,
}

/// Minutes of a shift, and of what is short-term.
pub(super) const SHIFT: f64 = 480.0;
const QUARTER_HOUR: f64 = 15.0;

/// The share of the lower explosive limit above which an air space counts as hazardous.
pub const QUARTER: f64 = 0.25;

impl Against {
    pub const ALL: [Against; 5] = [
        Against::Lel,
        Against::Legal,
        Against::Guide,
        Against::ShortLegal,
        Against::Short,
    ];

    /// The sum from which a session counts as over.
    pub fn full(self) -> f64 {
        match self {
            Against::Lel => QUARTER,
            Against::Legal | Against::Guide | Against::Short | Against::ShortLegal => 1.0,
        }
    }

    /// The minutes over which the level is averaged; `None` where the peak counts.
    pub(super) fn minutes(self) -> Option<f64> {
        match self {
            Against::Lel => None,
            Against::Legal | Against::Guide => Some(SHIFT),
            Against::Short | Against::ShortLegal => Some(QUARTER_HOUR),
        }
    }

    /// The properties of a material that are such limits; the strictest counts.
    pub(super) fn properties(self) -> &'static [Property] {
        match self {
            Against::Lel => &["lel"],
            Against::Legal => &["pel"],
            Against::Guide => &["rel", "tlv"],
            Against::Short => &[
                "pel_short",
                "pel_ceiling",
                "rel_short",
                "rel_ceiling",
                "tlv_short",
            ],
            Against::ShortLegal => &["pel_short", "pel_ceiling"],
        }
    }
}

/// A value for each kind of limit, where there is one.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PerLimit {
    /// Against the lower explosive limit.
    pub lel: Option<f64>,
    /// Against the legal limit for eight hours.
    pub legal: Option<f64>,
    /// Against the strictest guide value for a shift.
    pub guide: Option<f64>,
    /// Against the strictest limit for a quarter of an hour, of law or advice.
    pub short: Option<f64>,
    /// Against the strictest short-term limit or ceiling that is law.
    pub short_legal: Option<f64>,
}

impl PerLimit {
    /// A value worked out for each kind.
    pub(super) fn each(value: impl Fn(Against) -> Option<f64>) -> PerLimit {
        PerLimit {
            lel: value(Against::Lel),
            legal: value(Against::Legal),
            guide: value(Against::Guide),
            short: value(Against::Short),
            short_legal: value(Against::ShortLegal),
        }
    }

    /// The value of one kind.
    pub fn get(&self, against: Against) -> Option<f64> {
        match against {
            Against::Lel => self.lel,
            Against::Legal => self.legal,
            Against::Guide => self.guide,
            Against::Short => self.short,
            Against::ShortLegal => self.short_legal,
        }
    }
}

//! A share of a whole between two bounds of twelve decimals: the lower one is rounded down and the upper one up, so that
//! the true share always lies between them.

use super::number::Exact;

/// Parts that a whole is divided into: twelve decimals.
const WHOLE: u64 = 1_000_000_000_000;

/// A share of 1 between two bounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bounded {
    least: u64,
    most: u64,
}

impl Bounded {
    /// Nothing of it.
    pub const NONE: Bounded = Bounded { least: 0, most: 0 };
    pub const ALL: Bounded = Bounded {
        least: WHOLE,
        most: WHOLE,
    };
    /// Anything from nothing to all.
    pub const UNKNOWN: Bounded = Bounded {
        least: 0,
        most: WHOLE,
    };

    /// The share that a part is of a whole; not known where the whole is nothing, or less than the part.
    pub fn share(part: Exact, whole: Exact) -> Bounded {
        let Some((parts, is_exact)) = part.share_of(whole) else {
            return Bounded::UNKNOWN;
        };
        Bounded {
            least: parts,
            most: if is_exact { parts } else { parts + 1 },
        }
    }

    /// The share in a mixture of this and another, of which the other makes up `weight`.
    pub fn blended(self, other: Bounded, weight: Bounded) -> Bounded {
        let ends = [weight.least, weight.most].map(u128::from);
        let at = |own: u64, other: u64, weight: u128| {
            u128::from(own) * (u128::from(WHOLE) - weight) + u128::from(other) * weight
        };
        let whole = u128::from(WHOLE);
        let least = ends.map(|weight| at(self.least, other.least, weight) / whole);
        let most = ends.map(|weight| at(self.most, other.most, weight).div_ceil(whole));
        let share = |parts: u128| u64::try_from(parts).unwrap_or(WHOLE).min(WHOLE);
        Bounded {
            least: share(least[0].min(least[1])),
            most: share(most[0].max(most[1])),
        }
    }

    /// The lower bound.
    pub fn least(self) -> Exact {
        Exact::constant(self.least, 12)
    }

    /// The upper bound.
    pub fn most(self) -> Exact {
        Exact::constant(self.most, 12)
    }
}

#[cfg(test)]
mod tests {
    use super::Bounded;
    use crate::quantity::Exact;

    fn bounds(share: Bounded) -> [String; 2] {
        [share.least().digits(), share.most().digits()]
    }

    #[test]
    fn a_third_lies_between_its_bounds() {
        let third = Bounded::share(Exact::ONE, Exact::whole(3));
        assert_eq!(bounds(third), ["0.333333333333", "0.333333333334"]);
        let quarter = Bounded::share(Exact::ONE, Exact::whole(4));
        assert_eq!(bounds(quarter), ["0.25", "0.25"]);
        assert_eq!(Bounded::share(Exact::ONE, Exact::ZERO), Bounded::UNKNOWN);
        assert_eq!(Bounded::share(Exact::ONE, Exact::ONE), Bounded::ALL);
    }

    #[test]
    fn a_mixture_keeps_both_bounds() {
        let third = Bounded::share(Exact::ONE, Exact::whole(3));
        let added = Bounded::NONE.blended(Bounded::ALL, third);
        assert_eq!(bounds(added), ["0.333333333333", "0.333333333334"]);
        let halved = added.blended(Bounded::NONE, Bounded::share(Exact::ONE, Exact::whole(2)));
        assert_eq!(bounds(halved), ["0.166666666666", "0.166666666667"]);
        let unknown = Bounded::ALL.blended(Bounded::NONE, Bounded::UNKNOWN);
        assert_eq!(unknown, Bounded::UNKNOWN);
    }
}

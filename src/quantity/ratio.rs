//! `Ratio`: a quotient kept as two whole numbers, where decimals would not end: a third of a quart, a pound a gallon.
//!
//! It is for working out what to weigh and pour. No verdict rests on it, and it is rounded only when it is shown.

use super::number::{Exact, TooFine};
use std::cmp::Ordering;

/// A whole number over a whole number, in lowest terms, the lower one above nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    over: i128,
    under: i128,
}

impl Ratio {
    /// Nothing.
    pub const ZERO: Ratio = Ratio { over: 0, under: 1 };
    pub const ONE: Ratio = Ratio { over: 1, under: 1 };

    /// A decimal as a quotient, exactly.
    pub fn from_exact(exact: Exact) -> Ratio {
        let (digits, tens) = exact.as_whole_over();
        lowest(digits, tens)
    }

    pub fn whole(number: i64) -> Ratio {
        Ratio {
            over: i128::from(number),
            under: 1,
        }
    }

    /// The sum, or a refusal where it has more digits than there are.
    pub fn plus(self, other: Ratio) -> Result<Ratio, TooFine> {
        let shared = common(self.under, other.under);
        let (own, others) = (other.under / shared, self.under / shared);
        let sum = times(self.over, own)?.checked_add(times(other.over, others)?);
        Ok(lowest(sum.ok_or(TooFine)?, times(self.under, own)?))
    }

    /// The difference; it may be negative.
    pub fn minus(self, other: Ratio) -> Result<Ratio, TooFine> {
        self.plus(Ratio {
            over: other.over.checked_neg().ok_or(TooFine)?,
            under: other.under,
        })
    }

    pub fn times(self, other: Ratio) -> Result<Ratio, TooFine> {
        let (a, b) = (
            lowest(self.over, other.under),
            lowest(other.over, self.under),
        );
        Ok(lowest(times(a.over, b.over)?, times(a.under, b.under)?))
    }

    /// The quotient. A quotient by nothing is refused as well.
    pub fn by(self, other: Ratio) -> Result<Ratio, TooFine> {
        if other.over == 0 {
            return Err(TooFine);
        }
        let (over, under) = match other.over < 0 {
            true => (other.under.checked_neg(), other.over.checked_neg()),
            false => (Some(other.under), Some(other.over)),
        };
        self.times(Ratio {
            over: over.ok_or(TooFine)?,
            under: under.ok_or(TooFine)?,
        })
    }

    /// Is it below nothing?
    pub fn is_negative(self) -> bool {
        self.over < 0
    }

    pub fn is_zero(self) -> bool {
        self.over == 0
    }

    /// The next whole number that is no smaller.
    pub fn whole_up(self) -> Option<i64> {
        let down = self.over.div_euclid(self.under);
        let more = i128::from(self.over.rem_euclid(self.under) != 0);
        i64::try_from(down.checked_add(more)?).ok()
    }

    /// For showing and for what is written into a log: rounded to so many decimals, halves away from nothing.
    pub fn rounded(self, decimals: u32) -> Result<Exact, TooFine> {
        let size = self.over.checked_abs().ok_or(TooFine)?;
        let (mut digits, mut rest) = (size / self.under, size % self.under);
        for _ in 0..decimals {
            rest = times(rest, 10)?;
            digits = times(digits, 10)?
                .checked_add(rest / self.under)
                .ok_or(TooFine)?;
            rest %= self.under;
        }
        if times(rest, 2)? >= self.under {
            digits = digits.checked_add(1).ok_or(TooFine)?;
        }
        Exact::from_places(if self.over < 0 { -digits } else { digits }, decimals)
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Ratio) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    /// Exact, and never too large to be told: whole parts first, then what is left the other way up.
    fn cmp(&self, other: &Ratio) -> Ordering {
        let (mut a, mut b) = ((self.over, self.under), (other.over, other.under));
        loop {
            let whole = a.0.div_euclid(a.1).cmp(&b.0.div_euclid(b.1));
            let rest = (a.0.rem_euclid(a.1), b.0.rem_euclid(b.1));
            match (whole, rest) {
                (Ordering::Equal, (0, 0)) => return Ordering::Equal,
                (Ordering::Equal, (0, _)) => return Ordering::Less,
                (Ordering::Equal, (_, 0)) => return Ordering::Greater,
                (Ordering::Equal, (x, y)) => (a, b) = ((b.1, y), (a.1, x)),
                (unequal, _) => return unequal,
            }
        }
    }
}

fn times(a: i128, b: i128) -> Result<i128, TooFine> {
    a.checked_mul(b).ok_or(TooFine)
}

/// The largest whole number that divides both; at least one.
fn common(a: i128, b: i128) -> i128 {
    let (mut a, mut b) = (a.unsigned_abs(), b.unsigned_abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    i128::try_from(a).unwrap_or(1).max(1)
}

fn lowest(over: i128, under: i128) -> Ratio {
    let shared = common(over, under);
    Ratio {
        over: over / shared,
        under: under / shared,
    }
}

#[cfg(test)]
mod tests {
    use super::Ratio;
    use crate::quantity::{Exact, TooFine};

    fn ratio(over: i64, under: i64) -> Ratio {
        Ratio::whole(over).by(Ratio::whole(under)).unwrap()
    }

    #[test]
    fn thirds_come_back_whole() {
        let third = ratio(1, 3);
        assert_eq!(third.times(Ratio::whole(3)), Ok(Ratio::ONE));
        assert_eq!(third.plus(ratio(1, 6)), Ok(ratio(1, 2)));
        assert_eq!(third.minus(third), Ok(Ratio::ZERO));
        assert_eq!(Ratio::from_exact(Exact::constant(150, 2)), ratio(3, 2));
        assert_eq!(ratio(1, -2), ratio(-1, 2));
        assert_eq!(Ratio::ONE.by(Ratio::ZERO), Err(TooFine));
    }

    #[test]
    fn rounds_only_when_shown() {
        let shown = |over, under, decimals| {
            let rounded = ratio(over, under).rounded(decimals);
            rounded.map(Exact::digits)
        };
        assert_eq!(shown(2, 3, 4), Ok("0.6667".into()));
        assert_eq!(shown(-2, 3, 2), Ok("-0.67".into()));
        assert_eq!(shown(1, 8, 2), Ok("0.13".into()));
        assert_eq!(shown(7, 1, 3), Ok("7".into()));
    }

    #[test]
    fn orders_and_counts_up() {
        for (a, b) in [
            ((1, 3), (1, 2)),
            ((-1, 2), (-1, 3)),
            ((2, 3), (3, 4)),
            ((1, 1), (4, 3)),
        ] {
            assert!(ratio(a.0, a.1) < ratio(b.0, b.1), "{a:?} {b:?}");
        }
        let huge = Ratio::whole(i64::MAX);
        assert!(huge.minus(ratio(1, 3)).unwrap() < huge);
        assert_eq!(ratio(7, 2).whole_up(), Some(4));
        assert_eq!(ratio(8, 2).whole_up(), Some(4));
        assert_eq!(ratio(-1, 2).whole_up(), Some(0));
    }
}

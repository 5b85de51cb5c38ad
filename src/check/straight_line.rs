//! The straight line between two marks, compared by squares so that nothing is rounded across a limit.

use crate::quantity::{Exact, Length, TooFine};

/// The square of the distance.
pub(super) fn square(a: (Length, Length), b: (Length, Length)) -> Result<Exact, TooFine> {
    let (dx, dy) = (a.0.minus(b.0)?.base(), a.1.minus(b.1)?.base());
    dx.times(dx)?.plus(dy.times(dy)?)
}

/// The root to six decimals, on the same side of the limit as the square is: what is shown and compared never crosses.
pub(super) fn root(square: Exact, limit: Exact) -> Result<Exact, TooFine> {
    let step = Exact::constant(1, 6);
    let wanted = limit.times(limit)?;
    if square == wanted {
        return Ok(limit);
    }
    let (mut low, mut high) = (Exact::ZERO, square.plus(Exact::ONE)?);
    let half = Exact::constant(5, 1);
    for _ in 0..60 {
        let middle = truncate(low.plus(high)?.times(half)?)?;
        if middle <= low || middle >= high {
            break;
        }
        if middle.times(middle)? <= square {
            low = middle;
        } else {
            high = middle;
        }
    }
    if square < wanted && low >= limit {
        return limit.minus(step);
    }
    if square > wanted && low <= limit {
        return limit.plus(step);
    }
    Ok(low)
}

/// Down to six decimals, so that halving never runs out of digits.
fn truncate(number: Exact) -> Result<Exact, TooFine> {
    let digits = number.digits();
    let (whole, part) = digits.split_once('.').unwrap_or((&digits, ""));
    let part: String = part.chars().take(6).collect();
    let behind = u32::try_from(part.len()).map_err(|_| TooFine)?;
    let digits = format!("{whole}{part}").parse().map_err(|_| TooFine)?;
    Ok(Exact::constant(digits, behind))
}

#[cfg(test)]
mod tests {
    use super::root;
    use crate::quantity::Exact;

    #[test]
    fn a_root_stays_on_its_side_of_the_limit() {
        let exact = |digits, behind| Exact::constant(digits, behind);
        assert_eq!(root(exact(25, 0), exact(5, 0)), Ok(exact(5, 0)));
        let under = root(exact(24_999_999_999_999, 12), exact(5, 0)).unwrap();
        assert!(under < exact(5, 0));
        let over = root(exact(25_000_000_000_001, 12), exact(5, 0)).unwrap();
        assert!(over > exact(5, 0));
        assert_eq!(root(exact(2, 0), exact(5, 0)).unwrap().digits(), "1.414213");
    }
}

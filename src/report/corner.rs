//! Where the words of a line stand in a picture: at whichever end and side of it they hide least of the curves.

use std::ops::Range;

/// Pixels that a letter of 22 is wide, and a line of them high, with some air.
const WIDE: usize = 12;
const HIGH: i32 = 34;

/// The end of the line at which words stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum At {
    Right,
    Left,
}

/// The side of the line on which they stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineSide {
    Over,
    Under,
}

/// The end and side for words along a line from `left` to `right` at the height `y`, counted downward.
pub(super) fn free_corner(
    words: &str,
    (left, right): (i32, i32),
    y: i32,
    curves: &[(i32, i32)],
) -> (At, LineSide) {
    let wide = i32::try_from(words.chars().count().saturating_mul(WIDE)).unwrap_or(i32::MAX / 4);
    let hidden = |(at, side): &(At, LineSide)| {
        let across: Range<i32> = match at {
            At::Right => right.saturating_sub(wide)..right,
            At::Left => left..left.saturating_add(wide),
        };
        let down = match side {
            LineSide::Over => y - HIGH..y,
            LineSide::Under => y..y + HIGH,
        };
        let inside = |(x, y): &&(i32, i32)| across.contains(x) && down.contains(y);
        curves.iter().filter(inside).count()
    };
    let usual = (At::Right, LineSide::Over);
    let all = [
        usual,
        (At::Left, LineSide::Over),
        (At::Right, LineSide::Under),
        (At::Left, LineSide::Under),
    ];
    all.into_iter().min_by_key(hidden).unwrap_or(usual)
}

#[cfg(test)]
mod tests {
    use super::{At, LineSide, free_corner};

    #[test]
    fn words_go_where_no_curve_runs() {
        let place = |curves: &[(i32, i32)]| free_corner("limit", (0, 1000), 100, curves);
        assert_eq!(place(&[]), (At::Right, LineSide::Over));
        assert_eq!(place(&[(990, 80)]), (At::Left, LineSide::Over));
        assert_eq!(place(&[(990, 80), (10, 80)]), (At::Right, LineSide::Under));
        assert_eq!(
            place(&[(990, 80), (10, 80), (990, 120)]),
            (At::Left, LineSide::Under)
        );
        // Where all are taken, the one that hides least.
        assert_eq!(
            place(&[
                (990, 80),
                (980, 80),
                (10, 80),
                (990, 120),
                (10, 120),
                (20, 120)
            ]),
            (At::Left, LineSide::Over)
        );
    }
}

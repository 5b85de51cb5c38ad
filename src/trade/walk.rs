//! The way round a room: from the door along the walls, as the plan of `x` and `y` has it.

use crate::quantity::{Exact, Length};
use std::cmp::Ordering;

/// Where something is in its room, from a corner; `None` is unknown.
pub type Spot = Option<(Length, Length)>;

/// The order in which to come past these spots: round their middle from the bearing of `door` on (from the first of them
/// without one), then those whose spot is unknown, as they stand. Which way round follows from how the plan is drawn.
/// Exact: bearings are compared by cross products, and nothing is divided.
pub fn way_round(spots: &[Spot], door: Option<usize>) -> Vec<usize> {
    let known: Vec<usize> = (0..spots.len())
        .filter(|at| spot(spots, *at).is_some())
        .collect();
    let unknown = (0..spots.len()).filter(|at| spot(spots, *at).is_none());
    let start = door
        .filter(|at| known.contains(at))
        .or(known.first().copied());
    let bearings = middle(spots, &known).map(|middle| {
        let from = |at: usize| bearing(spot(spots, at)?, middle);
        (
            start.and_then(from),
            known.iter().map(|at| from(*at)).collect::<Vec<_>>(),
        )
    });
    let Some((Some(start), bearings)) = bearings else {
        return known.into_iter().chain(unknown).collect();
    };
    let mut order: Vec<(usize, Option<Bearing>)> = known.iter().copied().zip(bearings).collect();
    order.sort_by(|(_, a), (_, b)| match (a, b) {
        (Some(a), Some(b)) => after(start, *a, *b),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    });
    order.into_iter().map(|(at, _)| at).chain(unknown).collect()
}

type Bearing = (Exact, Exact);

fn spot(spots: &[Spot], at: usize) -> Spot {
    spots.get(at).copied().flatten()
}

/// Twice the middle of the rectangle round the spots.
fn middle(spots: &[Spot], known: &[usize]) -> Option<(Exact, Exact)> {
    let all = || known.iter().filter_map(|at| spot(spots, *at));
    let ends = |part: fn((Length, Length)) -> Exact| {
        let (least, most) = (all().map(part).min()?, all().map(part).max()?);
        least.plus(most).ok()
    };
    Some((ends(|(x, _)| x.base())?, ends(|(_, y)| y.base())?))
}

/// From the middle to a spot, twice as long; `None` at the middle itself, which lies in no direction.
fn bearing((x, y): (Length, Length), middle: (Exact, Exact)) -> Option<Bearing> {
    let from = |at: Exact, middle: Exact| at.plus(at).ok()?.minus(middle).ok();
    let bearing = (from(x.base(), middle.0)?, from(y.base(), middle.1)?);
    (bearing != (Exact::ZERO, Exact::ZERO)).then_some(bearing)
}

/// Which of two bearings is met first, turning from `start`.
fn after(start: Bearing, a: Bearing, b: Bearing) -> Ordering {
    let half = |v: Bearing| {
        let side = cross(start, v);
        side.is_negative() || side.is_zero() && dot(start, v).is_negative()
    };
    half(a).cmp(&half(b)).then_with(|| {
        let turn = cross(a, b);
        if turn.is_zero() {
            Ordering::Equal
        } else if turn.is_negative() {
            Ordering::Greater
        } else {
            Ordering::Less
        }
    })
}

/// Products too fine to keep stand for no turn: the two then keep the order in which they were written.
fn cross(a: Bearing, b: Bearing) -> Exact {
    let (first, second) = (a.0.times(b.1), a.1.times(b.0));
    first
        .and_then(|one| one.minus(second?))
        .unwrap_or(Exact::ZERO)
}

fn dot(a: Bearing, b: Bearing) -> Exact {
    let (first, second) = (a.0.times(b.0), a.1.times(b.1));
    first
        .and_then(|one| one.plus(second?))
        .unwrap_or(Exact::ZERO)
}

#[cfg(test)]
mod tests {
    use super::{Spot, way_round};
    use crate::quantity::Measure;

    fn at(x: &str, y: &str) -> Spot {
        let length = |text: &str| Measure::parse(&format!("{text} ft")).unwrap().length();
        Some((length(x), length(y)))
    }

    #[test]
    fn along_the_walls_from_the_door() {
        // The door in the east wall, then south wall, west wall, north wall; the spot in the middle lies in no direction.
        let spots = [
            at("10", "17"),
            at("30", "3"),
            at("4", "4"),
            None,
            at("29", "16"),
            at("15", "1"),
            at("17", "1"),
            at("17", "9"),
        ];
        let order = way_round(&spots, Some(1));
        assert_eq!(order, [1, 4, 0, 2, 5, 6, 7, 3]);
        assert_eq!(
            way_round(&spots, Some(3))[0],
            0,
            "a door at an unknown spot"
        );
        assert_eq!(way_round(&[None, None], Some(0)), [0, 1]);
        assert_eq!(way_round(&[at("1", "1"), None], None), [0, 1]);
        assert_eq!(way_round(&[], None), [0_usize; 0]);
    }
}

//! The distance that a rule requires around places or fixtures: to keep clear of, or to be within reach.

use crate::quantity::{Exact, Measure};
use crate::record::{Fixture, FixtureKind, PlaceKind};

/// The distance that a rule requires.
#[derive(Clone, Debug)]
pub struct RequiredReach {
    /// Around places of these kinds.
    pub places: Vec<PlaceKind>,
    /// Around fixtures of these kinds.
    pub fixtures: Vec<FixtureKind>,
    pub measure: Measure,
    /// A walk along the walls, with the B ratings that an extinguisher needs; else a straight line.
    pub walk: Option<Option<LeastRating>>,
}

/// The numbers before the B that the plate of an extinguisher needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeastRating {
    /// To count beyond 30 ft.
    pub far: u32,
    /// To count at all.
    pub near: u32,
}

impl LeastRating {
    /// Reads `20`, which is needed at any distance, or `20 / 10` with the rating needed within 30 ft behind the stroke.
    pub(super) fn parse(text: &str) -> Option<LeastRating> {
        let (far, near) = text.split_once('/').unwrap_or((text, text));
        let (far, near) = (far.trim().parse().ok()?, near.trim().parse().ok()?);
        (near <= far).then_some(LeastRating { far, near })
    }
}

/// How far a smaller extinguisher reaches: 30 ft.
const NEAR: Exact = Exact::constant(9144, 3);

impl RequiredReach {
    /// The distance around this fixture, in metres; none where the rule does not count it.
    pub fn around(&self, fixture: &Fixture) -> Option<Exact> {
        match self.walk {
            _ if !self.fixtures.contains(&fixture.kind) => None,
            Some(least) => reach_of(fixture, self.measure.base, least),
            None => Some(self.measure.base),
        }
    }
}

/// The walk, in metres, within which a fixture counts: the limit, or 30 ft for an extinguisher whose plate says less than the
/// rule requires beyond that. `None` where its plate does not say that it counts at all.
pub(super) fn reach_of(
    fixture: &Fixture,
    limit: Exact,
    least: Option<LeastRating>,
) -> Option<Exact> {
    for_liquids(fixture).filter(|fits| *fits)?;
    let Some(least) = least.filter(|_| fixture.kind == FixtureKind::Extinguisher) else {
        return Some(limit);
    };
    let rating = b_rating_of(fixture);
    if rating < least.near {
        return None;
    }
    Some(if rating < least.far {
        limit.min(NEAR)
    } else {
        limit
    })
}

/// Does its plate say that a fixture does not count: not for burning liquids, or rated too low?
pub(super) fn never_counts(fixture: &Fixture, least: Option<LeastRating>) -> bool {
    let rating = b_rating_of(fixture);
    let near = least.map(|least| least.near);
    for_liquids(fixture) == Some(false)
        || fixture.kind == FixtureKind::Extinguisher
            && near.is_some_and(|near| rating > 0 && rating < near)
}

/// The number before the B of its plate; 0 where there is none.
pub(super) fn b_rating_of(fixture: &Fixture) -> u32 {
    let plate = fixture.rating.as_ref();
    plate.and_then(|plate| b_rating(plate)).unwrap_or(0)
}

/// Whether an extinguisher is for burning liquids; other fixtures always fit.
pub(super) fn for_liquids(fixture: &Fixture) -> Option<bool> {
    if fixture.kind != FixtureKind::Extinguisher {
        return Some(true);
    }
    let rating = fixture.rating.as_ref()?;
    if b_rating(rating).is_some() {
        return Some(true);
    }
    // A plate that names classes, and not B, is for something else; anything else is not understood.
    let classes = rating
        .split(|c: char| !c.is_ascii_alphanumeric())
        .any(|t| t.eq_ignore_ascii_case("a") || t.ends_with(['A', 'C', 'D', 'K']));
    if classes { Some(false) } else { None }
}

/// The number before the B of a plate such as `2A:10B:C`, `20-B:C`; 0 where it says B, or ABC, without a number.
fn b_rating(plate: &str) -> Option<u32> {
    let plate = plate.to_uppercase().replace("-B", "B");
    plate
        .split(|c: char| !c.is_ascii_alphanumeric())
        .find_map(|token| match token {
            "B" | "ABC" | "BC" | "AB" => Some(0),
            _ => token.trim_end_matches('C').strip_suffix('B')?.parse().ok(),
        })
}

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
    /// How far.
    pub measure: Measure,
    /// A walk along the walls, with the least B rating that an extinguisher needs to reach that far; else a straight line.
    pub walk: Option<Option<u32>>,
}

/// How far a smaller extinguisher reaches: 30 ft.
const NEAR: Exact = Exact::constant(9144, 3);

impl RequiredReach {
    /// The distance around a place of this kind, in metres.
    pub fn around_place(&self, kind: PlaceKind) -> Option<Exact> {
        self.places.contains(&kind).then_some(self.measure.base)
    }

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
/// least rating that the rule asks for beyond that. `None` where the plate does not say that it is for burning liquids.
pub(super) fn reach_of(fixture: &Fixture, limit: Exact, least: Option<u32>) -> Option<Exact> {
    for_liquids(fixture).filter(|fits| *fits)?;
    let small = least.is_some_and(|least| b_rating_of(fixture) < least);
    let weak = fixture.kind == FixtureKind::Extinguisher && small;
    Some(if weak { limit.min(NEAR) } else { limit })
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

//! The least distance that a fixture must keep from what it is for, in a straight line.

use super::options::{KeyNeed, OptionKey};
use super::reader::{RuleReader, RuleRefused};
use super::straight_line::{root, square};
use crate::pack::PackFault;
use crate::quantity::{Dimension, Exact, Length, Measure};
use crate::record::Room;

/// What kinds that read it list among their options.
pub(super) const NOT_NEARER: OptionKey = OptionKey::text(
    "beyond",
    "a distance such as \"10 ft\": a fixture counts only at least so far from the place, in a straight line",
    KeyNeed::Optional,
);

/// Where a thing is in its room.
type Mark = (Length, Length);

/// The least distance of the fixture, if the rule has one.
pub(super) fn not_nearer(rule: &mut RuleReader<'_, '_>) -> Result<Option<Measure>, RuleRefused> {
    let Some(told) = rule.text("beyond") else {
        return Ok(None);
    };
    match Measure::parse_as(&told.value, Dimension::Length) {
        Ok(least) => Ok(Some(least)),
        Err(_) => {
            let code = PackFault::ValueWrong {
                key: "beyond".into(),
                wanted: "a distance as text, such as \"10 ft\"".into(),
            };
            Err(rule.refuse(code, told.at))
        }
    }
}

/// The straight line to a fixture against the least that it must be.
pub(super) enum GapTo {
    /// At least as much, or the rule asks for none.
    Enough,
    /// So much, which is less than the least.
    TooNear(Exact, Measure),
    /// The places of the two do not tell.
    Unknown(Measure),
}

/// The straight line to a fixture, from the marks of both, or from the size of a room too small for the distance.
pub(super) fn gap_to(
    least: &Measure,
    (this, other): (Option<Mark>, Option<Mark>),
    room: Option<&Room>,
) -> Option<GapTo> {
    let wanted = least.base.times(least.base).ok()?;
    if let (Some(a), Some(b)) = (this, other) {
        let square = square(a, b).ok()?;
        return Some(match square < wanted {
            true => GapTo::TooNear(root(square, least.base).ok()?, *least),
            false => GapTo::Enough,
        });
    }
    let room = room?;
    let corners = square((Length::ZERO, Length::ZERO), (room.length?, room.width?)).ok()?;
    if corners > wanted {
        return None;
    }
    // Things have a size, so they are nearer than the corners of their room.
    let nearer = root(corners, least.base)
        .ok()?
        .minus(Exact::constant(1, 6))
        .ok()?;
    Some(GapTo::TooNear(nearer, *least))
}

//! The columns of every table of a shop, in the order in which a shop is written down.

use super::{accepted, action, answer, container, fixture, place, product, room, what};
use crate::text::Shape;

/// All tables of a shop.
pub fn shapes() -> [&'static Shape; 9] {
    [
        &room::SHAPE,
        &place::SHAPE,
        &fixture::SHAPE,
        &product::SHAPE,
        &container::INVENTORY,
        &what::LOG,
        &answer::CHECKS,
        &action::ACTIONS,
        &accepted::ACCEPTED,
    ]
}

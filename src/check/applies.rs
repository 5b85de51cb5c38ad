//! Whether a rule applies to a room or to the shop, and the answers of the round; what several kinds of check ask.

use super::kind::Judged;
use crate::fact::{ContainerFilter, Facts, Known, Match, Working};
use crate::finding::{Subject, SubjectKind};
use crate::record::{Answer, Location, Place};

/// Does the room hold anything that the rule is about? A rule about no content is about every room.
pub(super) fn room_holds(select: &ContainerFilter, facts: &Facts<'_>, room: usize) -> bool {
    if select.content.restricts() {
        return facts.containers().any(|c| {
            facts.location(c).room.is_none_or(|r| r == room) && select.meets(facts, c) != Match::No
        });
    }
    !select.places.restricts_kind()
        || locations(facts).any(|(location, _)| {
            location.room == Some(room) && select.places.meets(facts, location) == Match::Yes
        })
}

/// Does the shop hold anything that the rule is about?
pub(super) fn shop_holds(select: &ContainerFilter, facts: &Facts<'_>) -> bool {
    if select.content.restricts() {
        return facts
            .containers()
            .any(|c| select.meets(facts, c) != Match::No);
    }
    let rooms = &select.places.rooms;
    let any_place =
        || locations(facts).any(|(location, _)| select.places.meets(facts, location) != Match::No);
    if !select.places.place.is_empty() {
        return any_place();
    }
    let mut of_shop = 0..facts.tables.rooms.len();
    !rooms.restricts()
        || of_shop.any(|room| rooms.meets(facts, Some(room)) != Match::No)
        || any_place()
}

/// Every place, with its position and that of its room.
pub(super) fn locations<'f>(facts: &Facts<'f>) -> impl Iterator<Item = (Location, &'f Place)> {
    let places = facts.tables.places.iter().enumerate();
    places.map(|(at, place)| {
        let location = Location {
            place: Some(at),
            room: place.room,
        };
        (location, place)
    })
}

/// Without fixtures.csv nothing is known of fixtures.
pub(super) fn no_fixtures_file(facts: &Facts<'_>) -> Judged {
    let subject = Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone());
    let why = "List exits, extinguishers, fans and flames in fixtures.csv. There is no such file.";
    Judged::new(
        subject,
        Known::gap(why, vec![facts.tables.shop.at]),
        Working::new(facts.tables.shop.us),
    )
}

/// Every answer to a question about a thing, up to the close of the day; an empty name is the shop.
pub(super) fn answers<'f>(
    facts: &Facts<'f>,
    question: &str,
    about: &str,
) -> impl Iterator<Item = &'f Answer> {
    let close = facts.stock.close;
    let answers = facts.tables.answers.iter();
    answers.filter(move |a| a.check == question && a.place == about && a.when < close)
}

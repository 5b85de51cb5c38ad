//! Whether a rule applies to a room or to the shop, and the answers of the round; what several kinds of check ask.

use super::kind::Judged;
use crate::fact::{ContainerFilter, Facts, Known, Match, Working};
use crate::finding::{Compared, Subject, SubjectKind, Verdict, judge};
use crate::record::{Answer, Location, Place, PlaceId, RoomId};
use crate::text::Span;

/// Does the room hold anything that the rule is about? A rule about no content is about every room.
pub(super) fn room_holds(select: &ContainerFilter, facts: &Facts<'_>, room: RoomId) -> bool {
    if select.content.restricts() {
        let here = facts.containers_in(Some(room)).iter();
        return here
            .chain(facts.containers_in(None))
            .any(|c| select.meets(facts, *c) != Match::No);
    }
    !select.places.restricts_kind()
        || facts.places_in(room).iter().any(|place| {
            let location = Location {
                place: Some(*place),
                room: Some(room),
            };
            select.places.meets(facts, location) == Match::Yes
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
    let mut all = RoomId::each(&facts.tables.rooms);
    !rooms.restricts()
        || all.any(|(room, _)| rooms.meets(facts, Some(room)) != Match::No)
        || any_place()
}

/// Where it is unknown whether the rule applies, what breaks it is unknown either; what holds does so all the same.
pub(super) fn unless_unsure(
    outcome: Known<Compared>,
    applies: Match,
    look: Span,
) -> Known<Compared> {
    let broken = |compared: &Compared| judge(compared).verdict == Verdict::Breach;
    match applies {
        Match::Unknown(why) if outcome.value().is_none_or(broken) => Known::gap(why, vec![look]),
        Match::Yes | Match::No | Match::Unknown(_) => outcome,
    }
}

/// Every place, with its id and that of its room.
pub(super) fn locations<'f>(facts: &Facts<'f>) -> impl Iterator<Item = (Location, &'f Place)> {
    PlaceId::each(&facts.tables.places).map(|(id, place)| {
        let location = Location {
            place: Some(id),
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

/// A thing that a question is asked about, and the room that it is in or is. An empty name is the shop.
#[derive(Clone, Copy)]
pub(super) struct AskedThing<'n> {
    pub(super) name: &'n str,
    pub(super) room: Option<RoomId>,
}

/// The answer that decides: the last one about the thing itself, or a later "no" about something that it is part of or that
/// is part of it. So a "no" given for a room counts where a rule asks for the shop, and the other way round.
pub(super) fn deciding_answer<'f>(
    facts: &Facts<'f>,
    question: &str,
    thing: AskedThing<'_>,
) -> Option<&'f Answer> {
    let last = |about: &str| answers(facts, question, about).max_by_key(|a| a.when);
    let close = facts.stock.close;
    let all = facts.tables.answers.iter();
    let related = all
        .filter(|a| a.check == question && a.when < close && a.answer == Some(false))
        .filter(|a| a.place != thing.name && is_related(facts, &a.place, thing))
        .filter(|a| last(&a.place).is_some_and(|last| last.answer == Some(false)));
    let found = last(thing.name).into_iter().chain(related);
    found.max_by_key(|a| (a.when, a.answer == Some(false)))
}

/// Is one of the two part of the other: a place or fixture of its room, a room of the shop?
fn is_related(facts: &Facts<'_>, about: &str, thing: AskedThing<'_>) -> bool {
    if about.is_empty() || thing.name.is_empty() {
        return true;
    }
    let tables = facts.tables;
    let Some(room) = thing.room.map(|room| &tables[room]) else {
        return false;
    };
    if room.id != thing.name {
        return room.id == about;
    }
    let places = tables.places.iter().map(|p| (&p.id, p.room));
    let fixtures = tables.fixtures.iter().flatten().map(|f| (&f.id, f.room));
    places
        .chain(fixtures)
        .any(|(id, of)| id == about && of == thing.room)
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

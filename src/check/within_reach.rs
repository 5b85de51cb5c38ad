//! One of these is within reach, walking.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{Dimension, Exact, Length, Measure, in_unit};
use crate::record::{Fixture, FixtureKind, PlaceKind, Room};
use crate::text::Span;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "within-reach",
    asks: "Is one of these fixtures within so far a walk of where the liquid stands?",
    limit: &[Dimension::Length],
    by_class: false,
    options: &[OptionKey {
        key: "measure",
        words: &[],
        must: false,
    }],
    needs: &["fixture"],
    unknown: "when there is no fixtures.csv, or neither the marks nor the room's measures tell the walk, or the plate of \
              an extinguisher does not say that it is for class B",
    source: "29 CFR 1910.157(d)(4) counts travel distance; a walk along the walls, |dx| + |dy|, is never shorter than \
             the straight line, and none inside a rectangular room is longer than length + width",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(value) = limit.value else {
        return Vec::new();
    };
    let spots = spots(bound, facts);
    if facts.tables.fixtures.is_none() {
        return if spots.is_empty() {
            Vec::new()
        } else {
            vec![super::must_have::no_fixtures_file(facts)]
        };
    }
    spots
        .into_iter()
        .map(|spot| judged(bound, facts, value, spot))
        .collect()
}

/// A place (or a room, where no place is known) that holds what the rule is about.
struct Spot {
    subject: Subject,
    room: Option<usize>,
    xy: Option<(Length, Length)>,
    outdoors: bool,
    at: Span,
}

fn spots(bound: &Bound<'_>, facts: &Facts<'_>) -> Vec<Spot> {
    let mut list: Vec<Spot> = Vec::new();
    for container in facts.containers() {
        if bound.select.container(facts, container) == Match::No {
            continue;
        }
        let location = facts.location(container);
        let place = location.place.and_then(|s| facts.tables.places.get(s));
        let room = location.room.and_then(|r| facts.tables.rooms.get(r));
        let subject = match (place, room) {
            (Some(place), _) => Subject::new(SubjectKind::Place, place.id.clone()),
            (None, Some(room)) => Subject::new(SubjectKind::Room, room.id.clone()),
            (None, None) => Subject::new(SubjectKind::Container, facts.id(container)),
        };
        if list.iter().any(|spot| spot.subject == subject) {
            continue;
        }
        let at = place
            .map(|s| s.at)
            .or(room.map(|r| r.at))
            .or(facts.row(container));
        if let Some(at) = at {
            let outdoors = place
                .is_some_and(|s| matches!(s.kind, PlaceKind::Outdoors | PlaceKind::DryingLine));
            list.push(Spot {
                subject,
                room: location.room,
                xy: place.and_then(|s| s.xy),
                outdoors,
                at,
            });
        }
    }
    list
}

fn judged(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Measure, spot: Spot) -> Judged {
    let mut working = Working::new(facts.tables.shop.us);
    let room = spot.room.and_then(|r| facts.tables.rooms.get(r));
    let here: Vec<&Fixture> = facts
        .tables
        .fixtures
        .iter()
        .flatten()
        .filter(|f| bound.fixture.contains(&f.kind) && f.room == spot.room && spot.room.is_some())
        .collect();
    let fit: Vec<&Fixture> = here
        .iter()
        .copied()
        .filter(|f| for_liquids(f) != Some(false))
        .collect();
    let outcome = match fit.as_slice() {
        [] => none_here(facts, bound, &spot, room),
        fixtures => {
            let mut ways: Vec<Way<'_>> = fixtures
                .iter()
                .filter_map(|fixture| way(bound, fixture, limit, &spot, room))
                .collect();
            ways.sort_by_key(|way| (way.location(), way.walk));
            match ways.into_iter().next() {
                Some(way) => {
                    working.say(format!(
                        "{} to `{}`: {}",
                        if way.is_measured {
                            "walk"
                        } else {
                            "longest walk in this room"
                        },
                        way.fixture.id,
                        in_unit(way.walk, limit.unit)
                    ));
                    way.compared(&spot, limit)
                }
                None => Known::gap(UNMEASURED, vec![spot.at]),
            }
        }
    };
    Judged::new(spot.subject, outcome, working)
}

const UNMEASURED: &str = "how far the walk is cannot be told; give x and y in places.csv and fixtures.csv, or the room's measures";

/// The way to one fixture.
struct Way<'f> {
    walk: Exact,
    /// Else it is the longest that the room allows.
    is_measured: bool,
    fixture: &'f Fixture,
    /// How far the fixture reaches, or why nobody knows.
    reach: Result<Exact, String>,
}

impl Way<'_> {
    /// One that is near enough first, then what is not known, then what is too far.
    fn location(&self) -> u8 {
        match &self.reach {
            Ok(reach) if self.walk <= *reach => 0,
            Err(_) => 1,
            Ok(_) => 2,
        }
    }

    fn compared(self, spot: &Spot, limit: &Measure) -> Known<Compared> {
        let reach = match self.reach {
            Ok(reach) => reach,
            Err(why) => return Known::gap(why, vec![self.fixture.at]),
        };
        let mut evidence = Evidence::at(spot.at);
        evidence.add(self.fixture.at);
        let quantity = |base| Quantity {
            base,
            unit: limit.unit,
        };
        let value = Compared::AtMost {
            observed: quantity(self.walk),
            limit: quantity(reach),
        };
        Known::Yes(Fact { value, evidence })
    }
}

fn way<'f>(
    bound: &Bound<'_>,
    fixture: &'f Fixture,
    limit: &Measure,
    spot: &Spot,
    room: Option<&Room>,
) -> Option<Way<'f>> {
    let (walk, is_measured) = walk(fixture, spot, room)?;
    let least = bound.option("measure").parse().ok();
    let reach = match reach(fixture, limit.base, least) {
        Some(reach) if walk <= reach => Ok(reach),
        // The room may be long, and the thing near.
        Some(_) if !is_measured => Err(UNMEASURED.to_string()),
        // Too far is too far, whatever its plate says.
        None if is_measured && walk > limit.base => Ok(limit.base),
        None => Err(format!(
            "whether `{}` is for class B fires is not known; give its rating in fixtures.csv",
            fixture.id
        )),
        Some(reach) if walk <= limit.base && rating(fixture) == 0 => Err(format!(
            "`{}` is {} away, and beyond {} it has to be {}-B or more; give the number before the B of its plate, or hang one \
             nearer",
            fixture.id,
            in_unit(walk, limit.unit),
            in_unit(reach, limit.unit),
            bound.option("measure")
        )),
        Some(reach) => Ok(reach),
    };
    Some(Way {
        walk,
        is_measured,
        fixture,
        reach,
    })
}

/// None in this room: another room's may still be near enough, which the plan does not tell.
fn none_here(
    facts: &Facts<'_>,
    bound: &Bound<'_>,
    spot: &Spot,
    room: Option<&Room>,
) -> Known<Compared> {
    let words: Vec<&str> = bound.fixture.iter().map(|k| k.word()).collect();
    let elsewhere = facts
        .tables
        .fixtures
        .iter()
        .flatten()
        .any(|f| bound.fixture.contains(&f.kind));
    let name = room.map_or("this room", |r| r.id.as_str());
    if elsewhere {
        let why = format!(
            "there is no {} in `{name}`; whether one in another room is near enough, measure on foot",
            words.join(" or ")
        );
        return Known::gap(why, vec![spot.at]);
    }
    let value = Compared::Plain {
        observed: format!("no {} in fixtures.csv", words.join(" or ")),
        wanted: "within reach".into(),
        stage: crate::finding::Stage::Broken,
    };
    Known::Yes(Fact {
        value,
        evidence: Evidence::at(spot.at),
    })
}

/// How far a smaller one reaches: 30 ft.
const NEAR: Exact = Exact::constant(9144, 3);

/// The walk, in metres, within which a fixture counts: the limit, or 30 ft for an extinguisher whose plate says less than the
/// least rating that the rule asks for beyond that. `None` where the plate does not say that it is for burning liquids.
pub fn reach(fixture: &Fixture, limit: Exact, least: Option<u32>) -> Option<Exact> {
    for_liquids(fixture).filter(|fits| *fits)?;
    let small = least.is_some_and(|least| rating(fixture) < least);
    let weak = fixture.kind == FixtureKind::Extinguisher && small;
    Some(if weak { limit.min(NEAR) } else { limit })
}

/// The number before the B of its plate; 0 where there is none.
fn rating(fixture: &Fixture) -> u32 {
    let plate = fixture.rating.as_ref();
    plate.and_then(|plate| b_rating(plate)).unwrap_or(0)
}

/// Whether an extinguisher is for burning liquids; other fixtures always fit.
fn for_liquids(fixture: &Fixture) -> Option<bool> {
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

/// The walk to it, and whether that was measured; else the longest that the room allows.
fn walk(fixture: &Fixture, spot: &Spot, room: Option<&Room>) -> Option<(Exact, bool)> {
    let marked = || {
        let (a, b) = (spot.xy?, fixture.xy?);
        let dx = a.0.minus(b.0).ok()?.base().size();
        let dy = a.1.minus(b.1).ok()?.base().size();
        dx.plus(dy).ok()
    };
    match marked() {
        Some(walk) => Some((walk, true)),
        None => {
            // Outdoors the room's measures say nothing of the walk.
            let room = room.filter(|_| !spot.outdoors)?;
            Some((room.length?.plus(room.width?).ok()?.base(), false))
        }
    }
}

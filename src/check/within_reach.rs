//! One of these is within reach, walking.

use super::above::{ABOVE, Above};
use super::applies::{no_fixtures_file, unless_unsure};
use super::gap_to::{GapTo, NOT_NEARER, gap_to, not_nearer};
use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, SelectorSection};
use super::reach::{LeastRating, RequiredReach, b_rating_of, never_counts, reach_of};
use super::reader::{RuleReader, RuleRefused};
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::pack::PackFault;
use crate::quantity::unit::for_shop;
use crate::quantity::{Dimension, Exact, Length, Measure, in_unit};
use crate::record::{Fixture, FixtureKind, PlaceKind, Room, RoomId};
use crate::text::{Span, the};
use std::collections::{HashMap, HashSet};

pub(super) const KIND: CheckKind = CheckKind {
    name: "within-reach",
    concern: Concern::Other,
    asks: "Is one of these fixtures within walking distance of the place of the liquid?",
    limit: &[Dimension::Length],
    options: &[
        OptionKey::text(
            "measure",
            "the least B rating at any distance, such as \"20\"; or one for more than 30 ft and one for up to 30 ft, such as \"20 / 10\"",
            KeyNeed::Optional,
        ),
        NOT_NEARER,
        ABOVE,
    ],
    fixture: Some(KeyNeed::Always),
    selectors: &[
        (SelectorSection::Where, ContainerFilter::KEYS),
        (SelectorSection::With, ContainerFilter::KEYS),
    ],
    unknown: "when there is no fixtures.csv, when the walk cannot be worked out, or when the plate of an extinguisher shows no class B rating",
    source: "29 CFR 1910.157(d)(4) counts travel distance; a walk along the walls, |dx| + |dy|, is never shorter than \
             the straight line, and none inside a rectangular room is longer than length + width",
    parse: |rule| {
        let (kinds, select) = (rule.fixtures(), rule.containers(SelectorSection::Where));
        let (limit, rating, above) = (rule.number(), least_rating(rule), Above::read(rule));
        let not_nearer = not_nearer(rule);
        let (kinds, rating) = (kinds?, rating?);
        if rating.is_some() && !kinds.contains(&FixtureKind::Extinguisher) {
            return Err(rule.demand("extinguisher in \"fixture\" for \"measure\"", rule.at()));
        }
        Ok(Box::new(WithinReach {
            kinds,
            rating,
            select: select?,
            limit: limit?,
            not_nearer: not_nearer?,
            above: above?,
        }))
    },
    ..CheckKind::PLAIN
};

/// The numbers before the B that an extinguisher needs on its plate.
fn least_rating(rule: &mut RuleReader<'_, '_>) -> Result<Option<LeastRating>, RuleRefused> {
    let Some(told) = rule.text("measure") else {
        return Ok(None);
    };
    match LeastRating::parse(&told.value) {
        Some(rating) => Ok(Some(rating)),
        None => {
            let code = PackFault::ValueWrong {
                key: "measure".into(),
                wanted: "the number before the B of a plate as text, such as \"20\" or \"20 / 10\""
                    .into(),
            };
            Err(rule.refuse(code, told.at))
        }
    }
}

struct WithinReach {
    kinds: Vec<FixtureKind>,
    rating: Option<LeastRating>,
    select: ContainerFilter,
    limit: Measure,
    not_nearer: Option<Measure>,
    above: Option<Above>,
}

impl RuleCheck for WithinReach {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let stands = self.liquids(facts);
        match &facts.tables.fixtures {
            None if stands.is_empty() => Vec::new(),
            None => vec![no_fixtures_file(facts)],
            Some(fixtures) => {
                let mut by_room: HashMap<RoomId, Vec<&Fixture>> = HashMap::new();
                for fixture in fixtures {
                    let room = fixture.room.map(|room| by_room.entry(room).or_default());
                    room.into_iter().for_each(|room| room.push(fixture));
                }
                let in_shop = fixtures.iter().filter(|f| self.may_count(f)).count();
                let judged = stands.into_iter().map(|stand| {
                    let here = stand.room.and_then(|room| by_room.get(&room));
                    let here = here.map_or(&[][..], Vec::as_slice);
                    self.judged(facts, (in_shop, here), stand)
                });
                judged.collect()
            }
        }
    }

    fn reach(&self) -> Option<RequiredReach> {
        Some(RequiredReach {
            places: Vec::new(),
            fixtures: self.kinds.clone(),
            measure: self.limit,
            walk: Some(self.rating),
        })
    }
}

/// A place (or a room, where no place is known) that holds what the rule is about.
struct LiquidStand {
    subject: Subject,
    room: Option<RoomId>,
    xy: Option<(Length, Length)>,
    outdoors: bool,
    /// Does the rule apply in its room?
    applies: Match,
    at: Span,
}

impl WithinReach {
    fn liquids(&self, facts: &Facts<'_>) -> Vec<LiquidStand> {
        let mut list: Vec<LiquidStand> = Vec::new();
        let mut seen: HashSet<Subject> = HashSet::new();
        // What is in a room is added up once, however many containers are in it.
        let mut by_room: HashMap<Option<RoomId>, Match> = HashMap::new();
        for container in facts.containers() {
            if self.select.meets(facts, container) == Match::No {
                continue;
            }
            let location = facts.location(container);
            let applies = by_room.entry(location.room);
            let applies = applies.or_insert_with(|| self.applies(facts, location.room));
            let applies = applies.clone();
            if applies == Match::No {
                continue;
            }
            let place = location.place.map(|place| &facts.tables[place]);
            let room = location.room.map(|room| &facts.tables[room]);
            let subject = match (place, room) {
                (Some(place), _) => Subject::new(SubjectKind::Place, place.id.clone()),
                (None, Some(room)) => Subject::new(SubjectKind::Room, room.id.clone()),
                (None, None) => Subject::new(SubjectKind::Container, facts.id(container)),
            };
            if !seen.insert(subject.clone()) {
                continue;
            }
            let at = place.map(|place| place.at).or(room.map(|room| room.at));
            let outdoors = place
                .is_some_and(|s| matches!(s.kind, PlaceKind::Outdoors | PlaceKind::DryingLine));
            list.push(LiquidStand {
                subject,
                room: location.room,
                xy: place.and_then(|s| s.xy),
                outdoors,
                applies,
                at: at.unwrap_or_else(|| facts.row(container)),
            });
        }
        list
    }

    /// Does the rule apply in this room?
    fn applies(&self, facts: &Facts<'_>, room: Option<RoomId>) -> Match {
        let above = self.above.as_ref();
        above.map_or(Match::Yes, |above| above.meets(facts, room))
    }

    /// With the number of fixtures in the shop that may count, and all those of the room.
    fn judged(
        &self,
        facts: &Facts<'_>,
        (in_shop, here): (usize, &[&Fixture]),
        stand: LiquidStand,
    ) -> Judged {
        let mut working = Working::new(facts.tables.shop.us);
        let room = stand.room.map(|room| &facts.tables[room]);
        let fit: Vec<&Fixture> = here.iter().copied().filter(|f| self.may_count(f)).collect();
        let is_elsewhere = in_shop > fit.len();
        let mut detail = Detail::default();
        let outcome = if fit.is_empty() {
            self.none_here(facts, is_elsewhere, &stand, room)
        } else {
            let us = facts.tables.shop.us;
            let ways = fit.into_iter();
            let ways = ways.filter_map(|fixture| self.way(fixture, &stand, room, us));
            match ways.min_by_key(|way| (way.rank(), way.walk)) {
                Some(way) if way.is_too_near() && is_elsewhere => {
                    let why = format!(
                        "Measure the way from {} to the extinguishers in the other rooms. {} hangs too near to it.",
                        the(&stand.subject.id),
                        way.fixture.id
                    );
                    Known::gap(why, vec![stand.at])
                }
                Some(way) => {
                    detail = match way.is_too_near() {
                        true => Detail::TooNear(way.fixture.id.clone()),
                        false => Detail::WalkTo(way.fixture.id.clone()),
                    };
                    working.say(format!(
                        "{} to `{}`: {}",
                        if way.is_measured {
                            "walk"
                        } else {
                            "longest walk in this room"
                        },
                        way.fixture.id,
                        in_unit(way.walk, for_shop(self.limit.unit, facts.tables.shop.us))
                    ));
                    way.compared(&stand, &self.limit)
                }
                None => Known::gap(UNMEASURED, vec![stand.at]),
            }
        };
        let outcome = unless_unsure(outcome, stand.applies, stand.at);
        Judged::new(stand.subject, outcome, working).seeing(detail)
    }

    fn way<'f>(
        &self,
        fixture: &'f Fixture,
        stand: &LiquidStand,
        room: Option<&Room>,
        us: bool,
    ) -> Option<WayTo<'f>> {
        let (walk, is_measured) = walk(fixture, stand, room)?;
        let shown = |length| in_unit(length, for_shop(self.limit.unit, us));
        let limit = self.limit.base;
        let reach = match (reach_of(fixture, limit, self.rating), self.rating) {
            (Some(reach), _) if walk <= reach => Ok(reach),
            // The room may be long, and the thing near.
            (Some(_), _) if !is_measured => Err(UNMEASURED.to_string()),
            // Too far is too far, whatever its plate says.
            (None, _) if is_measured && walk > limit => Ok(limit),
            (None, Some(LeastRating { near, .. })) => Err(format!(
                "Record the rating of {} in fixtures.csv. Whether it is {near}-B or more is unknown.",
                fixture.id
            )),
            (None, _) => Err(format!(
                "Record the rating of {} in fixtures.csv. Whether it is for class B fires is unknown.",
                fixture.id
            )),
            (Some(reach), Some(rating)) if walk <= limit && b_rating_of(fixture) == 0 => {
                Err(format!(
                    "Record the number before the B on the plate of {}, or hang one nearer. It is {} away, and beyond {} it \
                     must be rated {}-B or more.",
                    fixture.id,
                    shown(walk),
                    shown(reach),
                    rating.far,
                ))
            }
            (Some(reach), _) => Ok(reach),
        };
        Some(WayTo {
            walk,
            is_measured,
            fixture,
            reach,
            gap: self.not_nearer.map_or(GapTo::Enough, |least| {
                let room = room.filter(|_| !stand.outdoors);
                gap_to(&least, (stand.xy, fixture.xy), room).unwrap_or(GapTo::Unknown(least))
            }),
        })
    }

    fn may_count(&self, fixture: &Fixture) -> bool {
        self.kinds.contains(&fixture.kind) && !never_counts(fixture, self.rating)
    }

    /// None in this room: another room's may still be near enough, which the plan does not tell.
    fn none_here(
        &self,
        facts: &Facts<'_>,
        is_elsewhere: bool,
        stand: &LiquidStand,
        room: Option<&Room>,
    ) -> Known<Compared> {
        let words: Vec<&str> = self.kinds.iter().map(|k| k.word()).collect();
        let words = words.join(" or ");
        if is_elsewhere {
            let name = room.map_or_else(|| "the room".to_string(), |room| the(&room.id));
            let fit = match self.rating.map(|rating| rating.near) {
                Some(near) => format!(" rated {near}-B or more"),
                None => String::new(),
            };
            let why = format!(
                "Measure the walk from {} to the nearest {words}{fit}. None is in {name}.",
                the(&stand.subject.id)
            );
            return Known::gap(why, vec![stand.at]);
        }
        let observed = match self.rating.map(|rating| rating.near) {
            Some(near) => format!("no {words} of {near}-B or more in fixtures.csv"),
            // One that is there is not for burning liquids.
            None => {
                let mut fixtures = facts.tables.fixtures.iter().flatten();
                let is_there = fixtures.any(|fixture| self.kinds.contains(&fixture.kind));
                let fit = if is_there { " for class B fires" } else { "" };
                format!("no {words}{fit} in fixtures.csv")
            }
        };
        let compared = Compared::plain(observed, "within reach", Stage::Broken);
        Known::yes(compared, Evidence::at(stand.at))
    }
}

const UNMEASURED: &str = "Measure the walk to the nearest extinguisher. Record x and y in places.csv and fixtures.csv, or the size of the room.";

/// The way to one fixture.
struct WayTo<'f> {
    walk: Exact,
    /// Else it is the longest that the room allows.
    is_measured: bool,
    fixture: &'f Fixture,
    /// How far the fixture reaches, or why that is unknown.
    reach: Result<Exact, String>,
    gap: GapTo,
}

impl WayTo<'_> {
    /// One that is near enough first, then what is unknown, then what is too far.
    fn rank(&self) -> u8 {
        match &self.reach {
            Ok(reach) if self.walk <= *reach => match self.gap {
                GapTo::Enough => 0,
                GapTo::Unknown(_) => 1,
                GapTo::TooNear(..) => 2,
            },
            Err(_) => 1,
            Ok(_) => 2,
        }
    }

    /// Within reach, but nearer than it may hang?
    fn is_too_near(&self) -> bool {
        let within = self.reach.as_ref().is_ok_and(|reach| self.walk <= *reach);
        within && matches!(self.gap, GapTo::TooNear(..))
    }

    fn compared(self, stand: &LiquidStand, limit: &Measure) -> Known<Compared> {
        let reach = match self.reach {
            Ok(reach) => reach,
            Err(why) => return Known::gap(why, vec![self.fixture.at]),
        };
        let mut evidence = Evidence::at(stand.at);
        evidence.add(self.fixture.at);
        match self.gap {
            GapTo::TooNear(gap, least) if self.walk <= reach => {
                Known::yes(Compared::at_least(gap, least.base, least.unit), evidence)
            }
            GapTo::Unknown(least) if self.walk <= reach => {
                let why = format!(
                    "Record where {} and {} are (x and y in places.csv and fixtures.csv). The extinguisher must hang at least {} away.",
                    the(&stand.subject.id),
                    self.fixture.id,
                    least.text()
                );
                Known::gap(why, evidence.places)
            }
            GapTo::Enough | GapTo::TooNear(..) | GapTo::Unknown(_) => {
                Known::yes(Compared::at_most(self.walk, reach, limit.unit), evidence)
            }
        }
    }
}

/// The walk to it, and whether that was measured; else the longest that the room allows. A walk with more digits than can
/// be kept is no walk that is known.
fn walk(fixture: &Fixture, stand: &LiquidStand, room: Option<&Room>) -> Option<(Exact, bool)> {
    if let (Some(a), Some(b)) = (stand.xy, fixture.xy) {
        let dx = a.0.minus(b.0).ok()?.base().size();
        let dy = a.1.minus(b.1).ok()?.base().size();
        return Some((dx.plus(dy).ok()?, true));
    }
    // Outdoors the room's measures say nothing of the walk.
    let room = room.filter(|_| !stand.outdoors)?;
    Some((room.length?.plus(room.width?).ok()?.base(), false))
}

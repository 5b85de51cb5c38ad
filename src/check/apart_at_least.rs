//! These two are at least so far apart, in one room.

use super::above::{ABOVE, least_amount, more_than};
use super::applies::{locations, no_fixtures_file, unless_unsure};
use super::kind::{CheckKind, Judged, RuleCheck};
use super::measured_thing::{MeasuredThing, astray, measured_place, nearest_of, too_near};
use super::options::SelectorSection;
use super::reach::RequiredReach;
use super::reader::{FIXTURE_KEYS, RuleReader, RuleRefused};
use super::straight_line::root;
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::unit::for_shop;
use crate::quantity::{Dimension, Exact, Measure, TooFine, in_unit};
use crate::record::{FixtureKind, RoomId};
use crate::text::the;
use std::collections::HashMap;

pub(super) const KIND: CheckKind = CheckKind {
    name: "apart-at-least",
    concern: Concern::Other,
    asks: "Are two kinds of things at least this far apart, in a straight line on the floor plan?",
    limit: &[Dimension::Length],
    options: &[ABOVE],
    selectors: &[
        (SelectorSection::Where, ContainerFilter::KEYS),
        (SelectorSection::Where, FIXTURE_KEYS),
        (SelectorSection::With, ContainerFilter::KEYS),
        (SelectorSection::With, FIXTURE_KEYS),
    ],
    unknown: "when one of the two has no x and y, or when the rule needs a fixture and there is no fixtures.csv",
    source: "Pythagoras; the squares are compared, so nothing is rounded; 2018 model fire code 305.2 and 2403.2.2 state \
             such distances",
    parse: |rule| {
        let (limit, above) = (rule.positive(), least_amount(rule));
        let these = things_meant(rule, SelectorSection::Where);
        let those = things_meant(rule, SelectorSection::With);
        Ok(Box::new(ApartAtLeast {
            limit: limit?,
            above: above?,
            these: these?,
            those: those?,
        }))
    },
    ..CheckKind::PLAIN
};

struct ApartAtLeast {
    limit: Measure,
    above: Option<Measure>,
    these: ThingsMeant,
    those: ThingsMeant,
}

/// Fixtures of some kinds, and places (or what is there); without a kind of fixture or place, every place.
struct ThingsMeant {
    fixtures: Vec<FixtureKind>,
    places: ContainerFilter,
}

fn things_meant(
    rule: &mut RuleReader<'_, '_>,
    section: SelectorSection,
) -> Result<ThingsMeant, RuleRefused> {
    let keys = [ContainerFilter::KEYS, FIXTURE_KEYS].concat();
    let select = rule.select(section, &keys)?;
    Ok(ThingsMeant {
        fixtures: rule.selected_fixtures(select),
        places: rule.container_filter(select),
    })
}

impl RuleCheck for ApartAtLeast {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let (these, those) = (self.these.found(facts), self.those.found(facts));
        let mut by_room: HashMap<Option<RoomId>, Vec<&MeasuredThing>> = HashMap::new();
        for other in &those {
            by_room.entry(other.room).or_default().push(other);
        }
        // What is in a room is added up once, however many things are in it.
        let mut applies: HashMap<Option<RoomId>, Match> = HashMap::new();
        for this in &these {
            let above = self
                .above
                .as_ref()
                .filter(|_| by_room.contains_key(&this.room));
            let Some(above) = above else { continue };
            let sum = || more_than(above, &self.those.places, facts, this.room);
            applies.entry(this.room).or_insert_with(sum);
        }
        let applies = |room| applies.get(&room).cloned().unwrap_or(Match::Yes);
        let mut judged: Vec<Judged> = these
            .iter()
            .filter_map(|this| {
                let others = by_room.get(&this.room)?;
                self.nearest(this, others, applies(this.room), facts)
            })
            .collect();
        let needs_fixtures = !(self.these.fixtures.is_empty() && self.those.fixtures.is_empty());
        let none = these.is_empty() && those.is_empty();
        // Without fixtures.csv one side is unknown in full; what is known to be too near stays so.
        if needs_fixtures && facts.tables.fixtures.is_none() && !none {
            judged.retain(|judged| judged.outcome.value().is_some_and(broken));
            judged.push(no_fixtures_file(facts));
        }
        judged
    }

    fn reach(&self) -> Option<RequiredReach> {
        // What depends on what a thing holds is left to the finding.
        (!self.these.places.content.restricts()).then(|| RequiredReach {
            places: self.these.places.places.place.clone(),
            fixtures: self.these.fixtures.clone(),
            measure: self.limit,
            walk: None,
        })
    }
}

fn broken(compared: &Compared) -> bool {
    matches!(compared, Compared::AtLeast { observed, limit } if observed.base < limit.base)
}

impl ThingsMeant {
    fn found(&self, facts: &Facts<'_>) -> Vec<MeasuredThing> {
        let filter = &self.places;
        let fixtures = facts.tables.fixtures.iter().flatten();
        let mut list: Vec<MeasuredThing> = fixtures
            .filter(|f| self.fixtures.contains(&f.kind))
            .filter(|f| filter.places.rooms.meets(facts, f.room) != Match::No)
            .map(|fixture| MeasuredThing {
                kind: SubjectKind::Place,
                id: fixture.id.clone(),
                room: fixture.room,
                xy: fixture.xy,
                at: fixture.at,
                evidence: Evidence::at(fixture.at),
                unsure: None,
            })
            .collect();
        let of_places = filter.places.restricts_kind() || filter.content.restricts();
        if self.fixtures.is_empty() || of_places {
            list.extend(astray(filter, facts));
            list.extend(
                locations(facts)
                    .filter_map(|(location, place)| measured_place(filter, facts, location, place)),
            );
        }
        list
    }
}

impl ApartAtLeast {
    /// The distance from one thing to the nearest of the others in its room.
    fn nearest(
        &self,
        this: &MeasuredThing,
        in_room: &[&MeasuredThing],
        applies: Match,
        facts: &Facts<'_>,
    ) -> Option<Judged> {
        let others = in_room.iter().copied();
        let same_room: Vec<&MeasuredThing> = others.filter(|o| o.id != this.id).collect();
        if same_room.is_empty() || applies == Match::No {
            return None;
        }
        let mut working = Working::new(facts.tables.shop.us);
        let outcome = self.compare(this, &same_room, facts, &mut working);
        let (outcome, other) =
            outcome.unwrap_or_else(|TooFine| (Known::too_fine(vec![this.at]), None));
        let detail = other.unwrap_or_default();
        let outcome = unless_unsure(outcome, applies, this.at);
        let subject = Subject::new(this.kind, this.id.clone());
        Some(Judged::new(subject, outcome, working).seeing(detail))
    }

    fn compare(
        &self,
        this: &MeasuredThing,
        others: &[&MeasuredThing],
        facts: &Facts<'_>,
        working: &mut Working,
    ) -> Result<(Known<Compared>, Option<Detail>), TooFine> {
        let limit = self.limit;
        let wanted = limit.base.times(limit.base)?;
        let mut all = std::iter::once(this).chain(others.iter().copied());
        let unplaced = all.find(|thing| thing.xy.is_none());
        let (square, other) = match (nearest_of(this, others, wanted)?, unplaced) {
            (Some(best), None) => best,
            (Some(best), Some(_)) if best.0 < wanted => best,
            (_, thing) => {
                if let Some((farthest, other)) = too_near(this, others, facts, wanted)? {
                    let outcome = self.cannot_be_apart(this, other, farthest, working)?;
                    return Ok((outcome, Some(Detail::AtMostFrom(other.id.clone()))));
                }
                let thing = thing.unwrap_or(this);
                let why = format!(
                    "Record where {} is in the room (x and y). Its distance from {} is unknown.",
                    the(&thing.id),
                    if thing.id == this.id {
                        named(others)
                    } else {
                        the(&this.id)
                    }
                );
                return Ok((Known::gap(why, vec![thing.at]), None));
            }
        };
        let distance = root(square, limit.base)?;
        working.say(format!(
            "`{}` to `{}`: about {}",
            this.id,
            other.id,
            in_unit(distance, for_shop(limit.unit, working.us()))
        ));
        let mut evidence = this.evidence.clone();
        evidence.join(&other.evidence);
        let value = Compared::at_least(distance, limit.base, limit.unit);
        let unsure = this.unsure.as_ref().or(other.unsure.as_ref());
        let outcome = match unsure.filter(|_| broken(&value)) {
            Some(why) => Known::gap(why.clone(), evidence.places),
            None => Known::yes(value, evidence),
        };
        Ok((outcome, Some(Detail::DistanceTo(other.id.clone()))))
    }
}

/// A few of them by name.
fn named(things: &[&MeasuredThing]) -> String {
    let names: Vec<String> = things.iter().map(|thing| the(&thing.id)).collect();
    match names.as_slice() {
        [] => "the others".to_string(),
        [one] => one.clone(),
        [one, two] => format!("{one} and {two}"),
        [one, two, ..] => format!("{one}, {two} and others"),
    }
}

impl ApartAtLeast {
    /// Two things whose room is too small for the distance, wherever in it they are.
    fn cannot_be_apart(
        &self,
        this: &MeasuredThing,
        other: &MeasuredThing,
        farthest: Exact,
        working: &mut Working,
    ) -> Result<Known<Compared>, TooFine> {
        let limit = self.limit;
        let corners = root(farthest, limit.base)?;
        working.say(format!(
            "`{}` and `{}` are in a room in which nothing can be more than {} apart",
            this.id,
            other.id,
            in_unit(corners, for_shop(limit.unit, working.us()))
        ));
        let mut evidence = this.evidence.clone();
        evidence.join(&other.evidence);
        // Things have a size, so they are nearer than the corners of their room.
        let nearer = corners.minus(Exact::constant(1, 6))?;
        let value = Compared::at_least(nearer, limit.base, limit.unit);
        let unsure = this.unsure.as_ref().or(other.unsure.as_ref());
        Ok(match unsure {
            Some(why) => Known::gap(why.clone(), evidence.places),
            None => Known::yes(value, evidence),
        })
    }
}

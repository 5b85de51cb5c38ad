//! These two are at least so far apart, in one room.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit};
use crate::fact::{Evidence, Fact, Facts, Filter, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{Dimension, Exact, Length, Measure, in_unit};
use crate::record::Location;
use crate::text::Span;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "apart-at-least",
    asks: "Are these at least so far from those, measured in a straight line between their marks in the room?",
    limit: &[Dimension::Length],
    by_class: false,
    options: &[],
    needs: &["[with]"],
    unknown: "when one of the two has no x and y, or there is no fixtures.csv and the rule asks for a fixture",
    source: "Pythagoras; compared by squares, so that nothing is rounded; 2018 model fire code 305.2 and 2403.2.2 state \
             such distances",
    observe,
};

/// One thing that a distance is measured from.
struct Thing {
    kind: SubjectKind,
    id: String,
    room: Option<usize>,
    xy: Option<(Length, Length)>,
    at: Span,
    evidence: Evidence,
    /// Why it is not sure that the rule means it.
    unsure: Option<String>,
}

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(value) = limit.value else {
        return Vec::new();
    };
    let needs_fixtures = !bound.select.fixture.is_empty() || !bound.with.fixture.is_empty();
    let these = things(&bound.select, facts);
    let those = things(&bound.with, facts);
    let mut judged: Vec<Judged> = these
        .iter()
        .filter_map(|this| nearest(this, &those, value, facts))
        .collect();
    // Without fixtures.csv one side is not known in full; what is known to be too near stays so.
    if needs_fixtures && facts.tables.fixtures.is_none() && !(these.is_empty() && those.is_empty())
    {
        judged.retain(|judged| matches!(&judged.outcome, Known::Yes(fact) if broken(&fact.value)));
        judged.push(super::must_have::no_fixtures_file(facts));
    }
    judged
}

fn broken(compared: &Compared) -> bool {
    matches!(compared, Compared::AtLeast { observed, limit } if observed.base < limit.base)
}

fn things(filter: &Filter, facts: &Facts<'_>) -> Vec<Thing> {
    let mut list = Vec::new();
    if !filter.fixture.is_empty() {
        for fixture in facts
            .tables
            .fixtures
            .iter()
            .flatten()
            .filter(|f| filter.fixture.contains(&f.kind))
        {
            list.push(Thing {
                kind: SubjectKind::Place,
                id: fixture.id.clone(),
                room: fixture.room,
                xy: fixture.xy,
                at: fixture.at,
                evidence: Evidence::at(fixture.at),
                unsure: None,
            });
        }
    }
    if filter.fixture.is_empty() || !filter.place.is_empty() || filter.asks_of_content() {
        list.extend(places(filter, facts));
    }
    list
}

fn places(filter: &Filter, facts: &Facts<'_>) -> Vec<Thing> {
    let mut list = astray(filter, facts);
    for (at, place) in facts.tables.places.iter().enumerate() {
        let location = Location {
            place: Some(at),
            room: place.room,
        };
        if filter.location(facts, location) == Match::No {
            continue;
        }
        let mut evidence = Evidence::at(place.at);
        let mut unsure = None;
        if filter.asks_of_content() {
            let here = facts
                .containers()
                .filter(|c| facts.location(*c).place == Some(at));
            let matched: Vec<(usize, Match)> = here
                .map(|c| (c, filter.content(facts, c)))
                .filter(|(_, m)| *m != Match::No)
                .collect();
            if matched.is_empty() {
                continue;
            }
            for (container, _) in &matched {
                evidence.join(&facts.evidence(*container));
            }
            let sure = matched.iter().any(|(_, m)| *m == Match::Yes);
            unsure = matched.into_iter().find_map(|(_, m)| match m {
                Match::Unknown(why) if !sure => Some(why),
                Match::Unknown(_) | Match::Yes | Match::No => None,
            });
        }
        let (id, room, xy) = (place.id.clone(), place.room, place.xy);
        list.push(Thing {
            kind: SubjectKind::Place,
            id,
            room,
            xy,
            at: place.at,
            evidence,
            unsure,
        });
    }
    list
}

/// Containers that the rule may mean, in a room but at no place of it: where they are cannot be measured.
fn astray(filter: &Filter, facts: &Facts<'_>) -> Vec<Thing> {
    if !filter.asks_of_content() {
        return Vec::new();
    }
    let nowhere = facts
        .containers()
        .filter(|c| facts.location(*c).place.is_none() && facts.location(*c).room.is_some());
    nowhere
        .filter(|c| filter.content(facts, *c) != Match::No)
        .filter_map(|container| {
            Some(Thing {
                kind: SubjectKind::Container,
                id: facts.id(container).to_string(),
                room: facts.location(container).room,
                xy: None,
                at: facts.row(container)?,
                evidence: facts.evidence(container),
                unsure: None,
            })
        })
        .collect()
}

/// The distance from one thing to the nearest of the others in its room.
fn nearest(this: &Thing, those: &[Thing], limit: &Measure, facts: &Facts<'_>) -> Option<Judged> {
    let same_room: Vec<&Thing> = those
        .iter()
        .filter(|o| o.room == this.room && o.id != this.id)
        .collect();
    let subject = Subject::new(this.kind, this.id.clone());
    let mut working = Working::new(facts.tables.shop.us);
    let mut best: Option<(Exact, &Thing)> = None;
    let mut unplaced: Option<&Thing> = None;
    for other in &same_room {
        match (this.xy, other.xy) {
            (Some(a), Some(b)) => {
                let square = square(a, b)?;
                if best.is_none_or(|(least, _)| square < least) {
                    best = Some((square, other));
                }
            }
            (None, _) => unplaced = unplaced.or(Some(this)),
            (_, None) => unplaced = unplaced.or(Some(other)),
        }
    }
    let wanted = limit.base.times(limit.base).ok()?;
    let too_near = best.filter(|(square, _)| *square < wanted);
    if let (Some(thing), None) = (unplaced, too_near) {
        let why = format!(
            "where `{}` is in the room is not known; give its x and y",
            thing.id
        );
        return Some(Judged::new(
            subject,
            Known::gap(why, vec![thing.at]),
            working,
        ));
    }
    let (square, other) = best?;
    let Some(distance) = root(square, limit.base) else {
        return Some(Judged::new(
            subject,
            Known::gap("the distance cannot be told exactly", vec![this.at]),
            working,
        ));
    };
    working.say(format!(
        "`{}` to `{}`: about {}",
        this.id,
        other.id,
        in_unit(distance, limit.unit)
    ));
    let quantity = |base| Quantity {
        base,
        unit: limit.unit,
    };
    let mut evidence = this.evidence.clone();
    evidence.join(&other.evidence);
    let value = Compared::AtLeast {
        observed: quantity(distance),
        limit: quantity(limit.base),
    };
    if let Some(why) = this
        .unsure
        .as_ref()
        .or(other.unsure.as_ref())
        .filter(|_| broken(&value))
    {
        return Some(Judged::new(
            subject,
            Known::gap(why.clone(), evidence.places),
            working,
        ));
    }
    Some(Judged::new(
        subject,
        Known::Yes(Fact { value, evidence }),
        working,
    ))
}

fn square(a: (Length, Length), b: (Length, Length)) -> Option<Exact> {
    let (dx, dy) = (a.0.minus(b.0).ok()?.base(), a.1.minus(b.1).ok()?.base());
    dx.times(dx).ok()?.plus(dy.times(dy).ok()?).ok()
}

/// The root to six decimals, on the same side of the limit as the square is: what is shown and compared never crosses.
fn root(square: Exact, limit: Exact) -> Option<Exact> {
    let step = Exact::constant(1, 6);
    let wanted = limit.times(limit).ok()?;
    if square == wanted {
        return Some(limit);
    }
    let (mut low, mut high) = (Exact::ZERO, square.plus(Exact::ONE).ok()?);
    let half = Exact::constant(5, 1);
    for _ in 0..60 {
        let middle = low.plus(high).ok()?.times(half).ok().map(truncate)?;
        if middle <= low || middle >= high {
            break;
        }
        if middle.times(middle).ok()? <= square {
            low = middle;
        } else {
            high = middle;
        }
    }
    if square < wanted && low >= limit {
        return limit.minus(step).ok();
    }
    if square > wanted && low <= limit {
        return limit.plus(step).ok();
    }
    Some(low)
}

/// Down to six decimals, so that halving never runs out of digits.
fn truncate(number: Exact) -> Exact {
    let digits = number.digits();
    let short = digits
        .split_once('.')
        .map_or(digits.clone(), |(whole, part)| {
            format!("{whole}.{}", part.chars().take(6).collect::<String>())
        });
    read_long(&short).unwrap_or(number)
}

fn read_long(text: &str) -> Option<Exact> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits: u64 = format!("{whole}{part}").parse().ok()?;
    Some(Exact::constant(digits, u32::try_from(part.len()).ok()?))
}

#[cfg(test)]
mod tests {
    use super::root;
    use crate::quantity::Exact;

    #[test]
    fn a_root_stays_on_its_side_of_the_limit() {
        let exact = |digits, behind| Exact::constant(digits, behind);
        assert_eq!(root(exact(25, 0), exact(5, 0)), Some(exact(5, 0)));
        let under = root(exact(24_999_999_999_999, 12), exact(5, 0)).unwrap();
        assert!(under < exact(5, 0));
        let over = root(exact(25_000_000_000_001, 12), exact(5, 0)).unwrap();
        assert!(over > exact(5, 0));
        assert_eq!(root(exact(2, 0), exact(5, 0)).unwrap().digits(), "1.414213");
    }
}

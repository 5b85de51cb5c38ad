//! What stands here together is at most.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Gap, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::pack::Adjust;
use crate::quantity::{Amount, Dimension, Exact, Volume, in_unit};
use crate::record::{Level, PlaceKind};
use std::collections::BTreeMap;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "total-at-most",
    asks: "Is all that stands together here (in a place, a room, a storey, the shop) at most the limit?",
    limit: &[Dimension::Volume],
    by_class: false,
    options: &[OptionKey {
        key: "per",
        words: &["place", "room", "storey", "shop"],
        must: true,
    }],
    needs: &[],
    unknown: "as soon as the amount, the class or the whereabouts of one container that may count is not known, unless \
              what is known is already over the limit",
    source: "sums of contents, as 29 CFR 1910.106(d)(3) and the 2018 model fire code table 5003.1.1(1) state them; \
             units by NIST Handbook 44, appendix C",
    observe,
};

/// Most litres that a kilogram of a finishing liquid takes up: the lightest, hexane, has 0.66 kg/L (NIOSH Pocket Guide,
/// specific gravity). What is given by weight counts with that, and never against the shop.
const MOST_LITRES_PER_KG: Exact = Exact::constant(16, 1);

/// One group of containers that are summed together.
#[derive(Default)]
struct Group {
    parts: Vec<(String, Amount)>,
    /// What may count, at most so much: its class is not known, or it is given by weight.
    perhaps: Vec<(String, Amount)>,
    containers: Vec<usize>,
    evidence: Option<Evidence>,
    /// Why what is in `perhaps` is not sure.
    unsure: Option<Gap>,
    /// An amount is not known at all.
    gap: Option<Gap>,
}

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(value) = limit.value else {
        return Vec::new();
    };
    let mut groups: BTreeMap<Subject, Group> = BTreeMap::new();
    // What may stand anywhere may stand in every group.
    let mut astray: Vec<(usize, Match)> = Vec::new();
    for container in facts.containers() {
        if matches!(
            facts.contents(container).and_then(|h| h.amount),
            Some(Amount::Pieces(_))
        ) {
            continue;
        }
        let matched = bound.select.container(facts, container);
        if matched == Match::No {
            continue;
        }
        match subject(bound, facts, container) {
            Ok(subject) => {
                collect(
                    facts,
                    container,
                    matched,
                    groups.entry(subject).or_default(),
                );
            }
            Err(why) => astray.push((container, Match::Unknown(why))),
        }
    }
    for group in groups.values_mut() {
        for (container, may) in &astray {
            collect(facts, *container, may.clone(), group);
        }
    }
    let mut together = Group::default();
    for (container, may) in astray {
        collect(facts, container, may, &mut together);
    }
    if !together.containers.is_empty() {
        let subject = Subject::new(SubjectKind::Shop, "where it stands is not known");
        groups.insert(subject, together);
    }
    groups
        .into_iter()
        .map(|(subject, group)| {
            conclude(facts, subject, group, limit.adjust, value.base, value.unit)
        })
        .collect()
}

fn collect(facts: &Facts<'_>, container: usize, matched: Match, group: &mut Group) {
    let id = facts.id(container).to_string();
    let held = facts.contents(container).and_then(|h| h.amount);
    let most = match held {
        Some(Amount::Volume(volume)) => Some(volume),
        Some(Amount::Mass(mass)) => mass.base().times(MOST_LITRES_PER_KG).ok().map(Volume::of),
        Some(Amount::Pieces(_)) | None => None,
    };
    let by_weight = matches!(held, Some(Amount::Mass(_)));
    let because = match (matched, facts.volume(container)) {
        (Match::No, _) => return,
        (Match::Yes, Known::Yes(fact)) => {
            group
                .parts
                .extend(fact.value.map(|volume| (id, Amount::Volume(volume))));
            group.containers.push(container);
            let evidence = group.evidence.get_or_insert_with(Evidence::none);
            evidence.join(&fact.evidence);
            if let Known::Yes(class) = facts.class(container) {
                evidence.join(&class.evidence);
            }
            return;
        }
        (Match::Unknown(why), _) => why,
        (Match::Yes, Known::No(gap)) => gap.because,
    };
    group.containers.push(container);
    let slot = match most {
        Some(volume) => {
            let label = if by_weight {
                format!("{id} at most")
            } else {
                id
            };
            group.perhaps.push((label, Amount::Volume(volume)));
            &mut group.unsure
        }
        None => &mut group.gap,
    };
    let gap = slot.get_or_insert_with(|| Gap {
        because: because.clone(),
        look: Vec::new(),
    });
    gap.look.extend(facts.row(container));
    if gap.look.len() > 1 && gap.look.len() < 5 && !gap.because.contains(&because) {
        gap.because = format!("{}; {because}", gap.because);
    }
}

/// Where a container is counted, or why that is not known.
fn subject(bound: &Bound<'_>, facts: &Facts<'_>, container: usize) -> Result<Subject, String> {
    let location = facts.location(container);
    let place = location.place.and_then(|s| facts.tables.places.get(s));
    let room = location.room.and_then(|r| facts.tables.rooms.get(r));
    let id = facts.id(container);
    match (bound.option("per"), place, room) {
        ("place", Some(place), _) => Ok(Subject::new(SubjectKind::Place, place.id.clone())),
        ("place", None, _) => Err(format!("the place of `{id}` is not known")),
        ("room", _, Some(room)) => Ok(Subject::new(SubjectKind::Room, room.id.clone())),
        ("storey", _, Some(room)) => match room.level {
            Some(Level::Basement) => Ok(Subject::new(SubjectKind::Shop, "basement")),
            Some(Level::Ground) => Ok(Subject::new(SubjectKind::Shop, "ground floor")),
            Some(Level::Storey(n)) => Ok(Subject::new(SubjectKind::Shop, format!("storey {n}"))),
            None => Err(level_unknown(&room.id)),
        },
        ("room" | "storey", _, None) => Err(format!("the room of `{id}` is not known")),
        _ => Ok(Subject::new(
            SubjectKind::Shop,
            facts.tables.shop.name.clone(),
        )),
    }
}

fn level_unknown(room: &str) -> String {
    format!("the level of the room `{room}` is not known; give it in rooms.csv")
}

fn conclude(
    facts: &Facts<'_>,
    subject: Subject,
    group: Group,
    adjust: &[Adjust],
    base: Exact,
    unit: &'static crate::quantity::Unit,
) -> Judged {
    let mut working = Working::new(facts.tables.shop.us);
    let zero = Amount::Volume(Volume::ZERO);
    let sum = working.sum("stands here", &group.parts, zero);
    let perhaps = if group.perhaps.is_empty() {
        Ok(Exact::ZERO)
    } else {
        working.sum("may count as well", &group.perhaps, zero)
    };
    let limits = adjusted(facts, &group.containers, adjust, base, unit, &mut working);
    let (Ok(sure), Ok(perhaps), Ok(limits)) = (sum, perhaps, limits) else {
        let outcome = Known::gap(
            "the amounts have more digits than can be added exactly",
            Vec::new(),
        );
        return Judged::new(subject, outcome, working);
    };
    let mut evidence = group.evidence.unwrap_or_else(Evidence::none);
    // Over the most that may be allowed with what is sure is over. Within the least with all that may count is within.
    // Between the two it is not known.
    let all = sure.plus(perhaps).unwrap_or(sure);
    let within = all <= limits.least;
    let over = sure > limits.most;
    let observed = if within { all } else { sure };
    let allowed = if within { limits.least } else { limits.most };
    if !over {
        let unsure = group.unsure.clone().filter(|_| !within);
        let share = limits.why.filter(|_| !within).map(|because| Gap {
            because,
            look: Vec::new(),
        });
        if let Some(gap) = group.gap.or(unsure).or(share) {
            return Judged::new(subject, Known::No(gap), working);
        }
        if let Some(unsure) = group.unsure {
            evidence.said.push(format!(
                "{}; it is counted here as if it belonged",
                unsure.because
            ));
            evidence.places.extend(unsure.look);
        }
    }
    let compared = Compared::AtMost {
        observed: Quantity {
            base: observed,
            unit,
        },
        limit: Quantity {
            base: allowed,
            unit,
        },
    };
    let advice = advice(observed, allowed, unit);
    let mut judged = Judged::new(
        subject,
        Known::Yes(Fact {
            value: compared,
            evidence,
        }),
        working,
    );
    judged.advice = advice;
    judged
}

/// Over the limit, the first thing to know is by how much.
fn advice(observed: Exact, allowed: Exact, unit: &'static crate::quantity::Unit) -> Option<String> {
    let over = observed
        .minus(allowed)
        .ok()
        .filter(|over| !over.is_negative() && !over.is_zero())?;
    Some(format!(
        "Take at least {} away from here: use it, move it, or dispose of it.",
        in_unit(over, unit)
    ))
}

/// What is allowed once increases and shares are taken, at least and at most, where one is not known to hold.
struct Limits {
    least: Exact,
    most: Exact,
    /// Why the two differ.
    why: Option<String>,
}

/// Multiplies the limit by every increase and share whose conditions hold for all that is counted.
fn adjusted(
    facts: &Facts<'_>,
    containers: &[usize],
    adjust: &[Adjust],
    base: Exact,
    unit: &'static crate::quantity::Unit,
    working: &mut Working,
) -> Result<Limits, crate::quantity::TooFine> {
    let mut limit = base;
    let mut open: Vec<(&Adjust, String)> = Vec::new();
    for step in adjust {
        match all_hold(facts, containers, step) {
            Match::No => {}
            Match::Unknown(why) => open.push((step, why)),
            Match::Yes => {
                limit = limit.times(step.times)?;
                working.say(format!(
                    "limit × {} ({}) = {}",
                    step.times.digits(),
                    step.clause,
                    in_unit(limit, unit)
                ));
            }
        }
    }
    let one = Exact::whole(1);
    let mut limits = Limits {
        least: limit,
        most: limit,
        why: None,
    };
    // Of several shares that may hold, such as one for each level, only one can.
    let share = open.iter().map(|(step, _)| step.times).min();
    if let Some(share) = share.filter(|share| *share < one) {
        limits.least = limit.times(share)?;
    }
    for (step, _) in open.iter().filter(|(step, _)| step.times > one) {
        limits.most = limits.most.times(step.times)?;
    }
    if limits.least != limits.most {
        working.say(format!(
            "limit at least {}, at most {}",
            in_unit(limits.least, unit),
            in_unit(limits.most, unit)
        ));
    }
    let mut why: Vec<String> = open.into_iter().map(|(_, why)| why).collect();
    why.dedup();
    limits.why = (!why.is_empty()).then(|| why.join("; "));
    Ok(limits)
}

/// Do the conditions of a step hold for all of these? One that does not decides; else one that is not known does.
fn all_hold(facts: &Facts<'_>, containers: &[usize], step: &Adjust) -> Match {
    if containers.is_empty() {
        return Match::No;
    }
    let mut all = Match::Yes;
    for container in containers {
        match holds(facts, *container, step) {
            Match::Yes => {}
            Match::No => return Match::No,
            unknown @ Match::Unknown(_) => all = unknown,
        }
    }
    all
}

fn holds(facts: &Facts<'_>, container: usize, step: &Adjust) -> Match {
    let location = facts.location(container);
    let id = facts.id(container);
    let mut all = Match::Yes;
    let mut ask = |needed: bool, is: Option<bool>, why: &dyn Fn() -> String| match is {
        _ if !needed => true,
        Some(true) => true,
        Some(false) => false,
        None => {
            all = Match::Unknown(why());
            true
        }
    };
    let room = location.room.and_then(|r| facts.tables.rooms.get(r));
    let place = location.place.and_then(|s| facts.tables.places.get(s));
    let named = |what: &str, column: &str| match room {
        Some(room) => format!(
            "{what} the room `{}` is not known; give {column} in rooms.csv",
            room.id
        ),
        None => format!("the room of `{id}` is not known"),
    };
    let level = room.and_then(|r| r.level);
    let here = level.map(|level| step.levels.contains(&level.word()));
    let in_cabinet = place.map(|place| place.kind == PlaceKind::Cabinet);
    let rated = match (in_cabinet, place.and_then(|s| s.listed)) {
        (Some(true), rated) => rated,
        (other, _) => other,
    };
    let held = ask(step.sprinklered, room.and_then(|r| r.sprinklered), &|| {
        named("whether sprinklers protect", "sprinklered")
    }) && ask(step.rated_cabinet, rated, &|| match place {
        Some(place) => format!(
            "whether `{}` is rated is not known; say so in places.csv",
            place.id
        ),
        None => format!("the place of `{id}` is not known"),
    }) && ask(!step.levels.is_empty(), here, &|| {
        named("the level of", "level")
    });
    if held { all } else { Match::No }
}

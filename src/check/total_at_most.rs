//! What stands here together is at most.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Gap, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::pack::Adjust;
use crate::quantity::{Amount, Dimension, Exact, Volume, in_unit};
use crate::record::Level;
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
    for container in facts.containers() {
        if matches!(
            facts.holding(container).and_then(|h| h.amount),
            Some(Amount::Pieces(_))
        ) {
            continue;
        }
        let matched = bound.select.container(facts, container);
        if matched == Match::No {
            continue;
        }
        let group = groups.entry(subject(bound, facts, container)).or_default();
        collect(facts, container, matched, group);
    }
    groups
        .into_iter()
        .map(|(subject, group)| {
            conclude(facts, subject, group, limit.adjust, value.house, value.unit)
        })
        .collect()
}

fn collect(facts: &Facts<'_>, container: usize, matched: Match, group: &mut Group) {
    let id = facts.id(container).to_string();
    let held = facts.holding(container).and_then(|h| h.amount);
    let most = match held {
        Some(Amount::Volume(volume)) => Some(volume),
        Some(Amount::Mass(mass)) => mass.house().times(MOST_LITRES_PER_KG).ok().map(Volume::of),
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

fn subject(bound: &Bound<'_>, facts: &Facts<'_>, container: usize) -> Subject {
    let stands = facts.stands(container);
    let site = stands.site.and_then(|s| facts.book.sites.get(s));
    let room = stands.room.and_then(|r| facts.book.rooms.get(r));
    match bound.option("per") {
        "place" => match site {
            Some(site) => Subject::new(SubjectKind::Place, site.id.clone()),
            None => Subject::new(SubjectKind::Container, facts.id(container)),
        },
        "room" => match room {
            Some(room) => Subject::new(SubjectKind::Room, room.id.clone()),
            None => Subject::new(SubjectKind::Container, facts.id(container)),
        },
        "storey" => {
            let level = room.and_then(|r| r.level).unwrap_or(Level::Ground);
            let name = match level {
                Level::Basement => "basement".to_string(),
                Level::Ground => "ground floor".to_string(),
                Level::Storey(n) => format!("storey {n}"),
            };
            Subject::new(SubjectKind::Shop, name)
        }
        _ => Subject::new(SubjectKind::Shop, facts.book.shop.name.clone()),
    }
}

fn conclude(
    facts: &Facts<'_>,
    subject: Subject,
    group: Group,
    adjust: &[Adjust],
    base: Exact,
    unit: &'static crate::quantity::Unit,
) -> Judged {
    let mut working = Working::new(facts.book.shop.us);
    let zero = Amount::Volume(Volume::ZERO);
    let sum = working.sum("stands here", &group.parts, zero);
    let perhaps = if group.perhaps.is_empty() {
        Ok(Exact::ZERO)
    } else {
        working.sum("may count as well", &group.perhaps, zero)
    };
    let allowed = adjusted(facts, &group.containers, adjust, base, unit, &mut working);
    let (Ok(sure), Ok(perhaps), Ok(allowed)) = (sum, perhaps, allowed) else {
        let outcome = Known::gap(
            "the amounts have more digits than can be added exactly",
            Vec::new(),
        );
        return Judged::new(subject, outcome, working);
    };
    let mut evidence = group.evidence.unwrap_or_else(Evidence::none);
    // Over with what is sure is over. Within even with all that may count is within. Between the two it is not known.
    let all = sure.plus(perhaps).unwrap_or(sure);
    let within = all <= allowed;
    let observed = if within { all } else { sure };
    if sure <= allowed {
        if let Some(gap) = group.gap.or(group.unsure.clone().filter(|_| !within)) {
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
            house: observed,
            unit,
        },
        limit: Quantity {
            house: allowed,
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

/// Multiplies the limit by every increase and share whose conditions hold for all that is counted.
fn adjusted(
    facts: &Facts<'_>,
    containers: &[usize],
    adjust: &[Adjust],
    base: Exact,
    unit: &'static crate::quantity::Unit,
    working: &mut Working,
) -> Result<Exact, crate::quantity::TooFine> {
    let mut limit = base;
    for step in adjust {
        if !containers.is_empty() && containers.iter().all(|c| holds(facts, *c, step)) {
            limit = limit.times(step.times)?;
            working.say(format!(
                "limit × {} ({}) = {}",
                step.times.digits(),
                step.clause,
                in_unit(limit, unit)
            ));
        }
    }
    Ok(limit)
}

fn holds(facts: &Facts<'_>, container: usize, step: &Adjust) -> bool {
    let stands = facts.stands(container);
    let room = stands.room.and_then(|r| facts.book.rooms.get(r));
    let site = stands.site.and_then(|s| facts.book.sites.get(s));
    let sprinklered = !step.sprinklered || room.is_some_and(|r| r.sprinklered == Some(true));
    let rated = !step.rated_cabinet
        || site
            .is_some_and(|s| s.kind == crate::record::SiteKind::Cabinet && s.rated == Some(true));
    let level = step.levels.is_empty()
        || room
            .and_then(|r| r.level)
            .is_some_and(|level| step.levels.contains(&level.word()));
    sprinklered && rated && level
}

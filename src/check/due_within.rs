//! A thing is done again within so long.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Quantity, Stage, Subject, SubjectKind};
use crate::quantity::{Dimension, Exact, Moment, Period, unit};
use crate::record::{Answer, Location};
use crate::stock::RagState;
use crate::text::Span;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "due-within",
    asks: "Was it done again in time: a can emptied since the first rag went in, a check answered with yes?",
    limit: &[Dimension::Period],
    by_class: false,
    options: &[
        OptionKey {
            key: "per",
            words: &["place", "fixture", "shop"],
            must: true,
        },
        OptionKey {
            key: "event",
            words: &["empty"],
            must: false,
        },
        OptionKey {
            key: "answer",
            words: &[],
            must: false,
        },
    ],
    needs: &[],
    unknown: "when no such answer is on record, or when rags are in a can and nobody knows since when",
    source: "intervals as 29 CFR 1910.157(e) and 1910.107(g)(3) state them; days are counted, not hours",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(span) = limit.value.and_then(|value| value.period()) else {
        return Vec::new();
    };
    if bound.option("event") == "empty" {
        return cans(bound, facts, span);
    }
    match bound.option("per") {
        "fixture" => fixtures(bound, facts, span),
        "place" => places(bound, facts, span),
        _ => {
            if !super::must_have::shop_holds(bound, facts) {
                return Vec::new();
            }
            let subject = Subject::new(SubjectKind::Check, bound.option("answer"));
            vec![answered(
                bound,
                facts,
                span,
                "",
                subject,
                facts.tables.shop.at,
            )]
        }
    }
}

fn cans(bound: &Bound<'_>, facts: &Facts<'_>, span: Period) -> Vec<Judged> {
    let mut judged = Vec::new();
    for (at, place) in facts.tables.places.iter().enumerate() {
        let location = Location {
            place: Some(at),
            room: place.room,
        };
        let matched = bound.select.location(facts, location);
        if matched == Match::No {
            continue;
        }
        let subject = Subject::new(SubjectKind::Place, place.id.clone());
        let mut working = Working::new(facts.tables.shop.us);
        let outcome = match matched {
            Match::Unknown(why) => Known::gap(why, vec![place.at]),
            Match::Yes | Match::No => can(facts, at, span, &mut working),
        };
        judged.push(Judged::new(subject, outcome, working));
    }
    judged
}

/// How long the oldest rag has been in a can.
fn can(facts: &Facts<'_>, at: usize, span: Period, working: &mut Working) -> Known<Compared> {
    let Some(place) = facts.tables.places.get(at) else {
        return Known::gap("no such place", Vec::new());
    };
    let mut evidence = Evidence::at(place.at);
    let mut oldest: Option<Moment> = None;
    let mut pieces = Exact::ZERO;
    let mut undated = None;
    for container in facts.containers() {
        let Some(contents) = facts.contents(container) else {
            continue;
        };
        for batch in contents
            .cloth
            .iter()
            .filter(|p| p.location.place == Some(at) && p.state != RagState::Clean)
        {
            pieces = pieces.plus(batch.pieces).unwrap_or(pieces);
            evidence.add(batch.at);
            match batch.since {
                Some(since) => oldest = Some(oldest.map_or(since, |o| o.min(since))),
                None => undated = Some(batch.at),
            }
        }
    }
    if let Some(at) = undated {
        return Known::gap(
            format!(
                "rags are in `{}`, and it is not known since when; empty it and log it",
                place.id
            ),
            vec![at],
        );
    }
    let emptied = facts.stock.emptied.get(at).copied().flatten();
    if oldest.is_none() && emptied.is_none() && !looked_in(facts, &place.id, span) {
        let why = format!(
            "nothing is logged about `{}`: neither a rag that went in nor that it was emptied",
            place.id
        );
        return Known::gap(why, vec![place.at]);
    }
    let Some(oldest) = oldest else {
        if let Some((when, at)) = emptied {
            working.say(format!("emptied on {}", when.day()));
            evidence.add(at);
        }
        let compared = Compared::Plain {
            observed: "empty".into(),
            wanted: format!("emptied within {span}"),
            stage: Stage::Holds,
        };
        return Known::Yes(Fact {
            value: compared,
            evidence,
        });
    };
    working.say(format!(
        "{} rags in the can, the first since {oldest}",
        pieces.digits()
    ));
    days_since(oldest, facts, span, evidence, working)
}

/// Did the walk-round find the can empty within the span?
fn looked_in(facts: &Facts<'_>, place: &str, span: Period) -> bool {
    latest(facts, "rag-can-empty", place, false)
        .is_some_and(|a| a.answer == Some(true) && a.when.day().plus(span) >= facts.on())
}

fn days_since(
    since: Moment,
    facts: &Facts<'_>,
    span: Period,
    evidence: Evidence,
    working: &mut Working,
) -> Known<Compared> {
    let span = match span {
        Period::Hours(hours) => Period::Days(hours / 24),
        Period::Minutes(_) => Period::Days(0),
        Period::Days(_) | Period::Months(_) => span,
    };
    let Some(days) = unit::find("day") else {
        return Known::gap("no unit", Vec::new());
    };
    let due = since.day().plus(span);
    let (passed, allowed) = (facts.on().since(since.day()), due.since(since.day()));
    working.say(format!(
        "{} + {span} = due by {due}; on {} {passed} days have passed",
        since.day(),
        facts.on()
    ));
    let quantity = |number| Quantity {
        base: Exact::whole(number),
        unit: days,
    };
    let compared = Compared::AtMost {
        observed: quantity(passed),
        limit: quantity(allowed),
    };
    Known::Yes(Fact {
        value: compared,
        evidence,
    })
}

fn fixtures(bound: &Bound<'_>, facts: &Facts<'_>, span: Period) -> Vec<Judged> {
    let Some(list) = &facts.tables.fixtures else {
        return vec![super::must_have::no_fixtures_file(facts)];
    };
    let meant = |kind| bound.select.fixture.is_empty() || bound.select.fixture.contains(&kind);
    list.iter()
        .filter(|fixture| meant(fixture.kind))
        .filter(|fixture| {
            let location = Location {
                place: None,
                room: fixture.room,
            };
            bound.select.location(facts, location) != Match::No
        })
        .map(|fixture| {
            let subject = Subject::new(SubjectKind::Place, fixture.id.clone());
            answered(bound, facts, span, &fixture.id, subject, fixture.at)
        })
        .collect()
}

fn places(bound: &Bound<'_>, facts: &Facts<'_>, span: Period) -> Vec<Judged> {
    let mut judged = Vec::new();
    for (at, place) in facts.tables.places.iter().enumerate() {
        let location = Location {
            place: Some(at),
            room: place.room,
        };
        if bound.select.location(facts, location) != Match::No {
            let subject = Subject::new(SubjectKind::Place, place.id.clone());
            judged.push(answered(bound, facts, span, &place.id, subject, place.at));
        }
    }
    judged
}

fn answered(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    span: Period,
    place: &str,
    subject: Subject,
    at: Span,
) -> Judged {
    let mut working = Working::new(facts.tables.shop.us);
    let check = bound.option("answer");
    let refused = latest(facts, check, place, false).filter(|answer| answer.answer == Some(false));
    let outcome = match latest(facts, check, place, true) {
        Some(yes) if refused.is_some_and(|no| no.when >= yes.when) => {
            no_on(refused.unwrap_or(yes), at)
        }
        None if refused.is_some() => {
            refused.map_or_else(|| Known::gap("no answer", vec![at]), |no| no_on(no, at))
        }
        Some(answer) => {
            working.say(format!(
                "`{check}` answered with yes on {}",
                answer.when.day()
            ));
            let mut evidence = Evidence::at(answer.at);
            evidence.add(at);
            days_since(answer.when, facts, span, evidence, &mut working)
        }
        None => Known::gap(
            format!(
                "no answer with yes to `{check}` is on record in checks.csv{}",
                if place.is_empty() {
                    String::new()
                } else {
                    format!(" for `{place}`")
                }
            ),
            vec![at],
        ),
    };
    Judged::new(subject, outcome, working)
}

/// The last look found it wanting.
fn no_on(no: &Answer, at: Span) -> Known<Compared> {
    let mut evidence = Evidence::at(no.at);
    evidence.add(at);
    let observed = format!("answered no on {}", no.when.day());
    Known::Yes(Fact {
        value: Compared::Plain {
            observed,
            wanted: "yes".into(),
            stage: Stage::Broken,
        },
        evidence,
    })
}

/// The latest answer to a check about a place, up to the close of the day; only those with yes, or any.
pub(super) fn latest<'f>(
    facts: &'f Facts<'_>,
    check: &str,
    place: &str,
    only_yes: bool,
) -> Option<&'f Answer> {
    facts
        .tables
        .answers
        .iter()
        .filter(|a| a.check == check && a.place == place && a.when < facts.stock.close)
        .filter(|a| !only_yes || a.answer == Some(true))
        .max_by_key(|a| a.when)
}

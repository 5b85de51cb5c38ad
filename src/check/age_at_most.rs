//! No container is older than, counted from an event.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{Day, Dimension, Exact, Period, unit};

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "age-at-most",
    asks: "Is no container older than so long since it was made, opened, or arrived?",
    limit: &[Dimension::Period],
    by_class: false,
    options: &[OptionKey {
        key: "since",
        words: &["made", "opened", "arrived"],
        must: true,
    }],
    needs: &[],
    unknown: "when the day is not known",
    source: "common practice, no source: months are counted as calendar months",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(span) = limit.value.and_then(|value| value.period()) else {
        return Vec::new();
    };
    let mut judged = Vec::new();
    for container in facts.containers() {
        let matched = bound.select.container(facts, container);
        if matched == Match::No {
            continue;
        }
        let subject = Subject::new(SubjectKind::Container, facts.id(container));
        let mut working = Working::new(facts.tables.shop.us);
        let outcome = match (matched, day(bound, facts, container)) {
            (Match::Unknown(why), _) => Known::gap(why, facts.row(container).into_iter().collect()),
            (_, Some(day)) => age(
                day,
                facts.on(),
                span,
                facts.evidence(container),
                &mut working,
            ),
            (_, None) => Known::gap(
                format!(
                    "the day `{}` was {} is not known; give it in inventory.csv",
                    facts.id(container),
                    bound.option("since")
                ),
                facts.row(container).into_iter().collect(),
            ),
        };
        judged.push(Judged::new(subject, outcome, working));
    }
    judged
}

fn day(bound: &Bound<'_>, facts: &Facts<'_>, container: usize) -> Option<Day> {
    let contents = facts.contents(container)?;
    match bound.option("since") {
        "made" => contents.made,
        "opened" => contents.opened,
        _ => facts.tables.containers.get(container).and_then(|c| c.since),
    }
}

/// The age in days against the days that the span is from that day on, calendar months counted as such.
pub(super) fn age(
    day: Day,
    on: Day,
    span: Period,
    evidence: Evidence,
    working: &mut Working,
) -> Known<Compared> {
    let Some(days) = unit::find("day") else {
        return Known::gap("no unit", Vec::new());
    };
    let last = day.plus(span);
    let (age, allowed) = (on.since(day), last.since(day));
    working.say(format!(
        "{day} + {span} = {last}; on {on} it is {age} days old"
    ));
    let quantity = |number| Quantity {
        base: Exact::whole(number),
        unit: days,
    };
    let compared = Compared::AtMost {
        observed: quantity(age),
        limit: quantity(allowed),
    };
    Known::Yes(Fact {
        value: compared,
        evidence,
    })
}

//! This is never kept there.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit};
use crate::fact::{Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Stage, Subject, SubjectKind};
use crate::record::Location;
use crate::stock::RagState;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "not-in-place",
    asks: "Does none of these containers stand where it must not?",
    limit: &[],
    by_class: false,
    options: &[],
    needs: &["[never]"],
    unknown: "when it is not known where a container stands, or whether it is one of those meant and it stands there",
    source: "common practice, no source: the place is taken from the inventory and the last move in the log",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, _limit: &Limit<'_>) -> Vec<Judged> {
    let mut judged = Vec::new();
    for container in facts.containers() {
        let matched = bound.select.container(facts, container);
        if matched == Match::No {
            continue;
        }
        for location in whereabouts(facts, container) {
            let outcome = outcome(bound, facts, container, &matched, location);
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            judged.push(Judged::new(
                subject,
                outcome,
                Working::new(facts.tables.shop.us),
            ));
        }
    }
    judged
}

/// Where a container stands; rags with finish on them may lie in several places, none of them where the clean ones are.
fn whereabouts(facts: &Facts<'_>, container: usize) -> Vec<Location> {
    let soiled: Vec<Location> = facts
        .contents(container)
        .map(|h| {
            h.cloth
                .iter()
                .filter(|p| p.state != RagState::Clean)
                .map(|p| p.location)
                .collect()
        })
        .unwrap_or_default();
    if soiled.is_empty() {
        vec![facts.location(container)]
    } else {
        soiled
    }
}

fn outcome(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    container: usize,
    matched: &Match,
    location: Location,
) -> Known<Compared> {
    let place = facts.where_stands(location);
    let plain = |stage| {
        let value = Compared::Plain {
            observed: format!("in {place}"),
            wanted: "not there".into(),
            stage,
        };
        let mut evidence = facts.evidence(container);
        if let Known::Yes(class) = facts.class(container)
            && !bound.select.class.is_empty()
        {
            evidence.join(&class.evidence);
        }
        Known::Yes(Fact { value, evidence })
    };
    let rows = || facts.row(container).into_iter().collect();
    match (matched, bound.never.location(facts, location)) {
        (_, Match::No) | (Match::No, _) => plain(Stage::Holds),
        (Match::Yes, Match::Yes) => plain(Stage::Broken),
        (_, Match::Unknown(why)) => Known::gap(why, rows()),
        (Match::Unknown(why), Match::Yes) => Known::gap(why.clone(), rows()),
    }
}

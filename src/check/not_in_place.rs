//! This is never kept there.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit};
use crate::fact::{Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Stage, Subject, SubjectKind};
use crate::record::Stands;
use crate::stock::ClothState;

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
        for stands in whereabouts(facts, container) {
            let outcome = outcome(bound, facts, container, &matched, stands);
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            judged.push(Judged::new(
                subject,
                outcome,
                Working::new(facts.book.shop.us),
            ));
        }
    }
    judged
}

/// Where a container stands; rags with finish on them may lie in several places, none of them where the clean ones are.
fn whereabouts(facts: &Facts<'_>, container: usize) -> Vec<Stands> {
    let soiled: Vec<Stands> = facts
        .holding(container)
        .map(|h| {
            h.cloth
                .iter()
                .filter(|p| p.state != ClothState::Clean)
                .map(|p| p.stands)
                .collect()
        })
        .unwrap_or_default();
    if soiled.is_empty() {
        vec![facts.stands(container)]
    } else {
        soiled
    }
}

fn outcome(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    container: usize,
    matched: &Match,
    stands: Stands,
) -> Known<Compared> {
    let place = facts.where_stands(stands);
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
    match (matched, bound.never.stands(facts, stands)) {
        (_, Match::No) | (Match::No, _) => plain(Stage::Holds),
        (Match::Yes, Match::Yes) => plain(Stage::Broken),
        (_, Match::Unknown(why)) => Known::gap(why, rows()),
        (Match::Unknown(why), Match::Yes) => Known::gap(why.clone(), rows()),
    }
}

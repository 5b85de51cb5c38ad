//! This is never kept there.

use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::SelectorSection;
use crate::fact::{ContainerFilter, Facts, Known, Match, PlaceFilter, Working};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::record::{ContainerId, Location};
use crate::stock::RagState;

pub(super) const KIND: CheckKind = CheckKind {
    name: "not-in-place",
    concern: Concern::WrongPlace,
    asks: "Are these containers kept out of places where they must not be?",
    selectors: &[
        (SelectorSection::Where, ContainerFilter::KEYS),
        (SelectorSection::Never, PlaceFilter::KEYS),
    ],
    unknown: "when the place of a container is unknown, or when it is there and its kind is unknown",
    source: "common practice, no source: the place is taken from the inventory and the last move in the log",
    parse: |rule| {
        let select = rule.containers(SelectorSection::Where);
        let never = rule.places(SelectorSection::Never)?;
        if !never.restricts_kind() && !never.rooms.restricts() {
            return Err(rule.demand("a place or a room in [never]", rule.at()));
        }
        Ok(Box::new(NotInPlace {
            select: select?,
            never,
        }))
    },
    ..CheckKind::PLAIN
};

struct NotInPlace {
    select: ContainerFilter,
    never: PlaceFilter,
}

impl RuleCheck for NotInPlace {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for container in facts.containers() {
            let matched = self.select.meets(facts, container);
            if matched == Match::No {
                continue;
            }
            for location in whereabouts(facts, container) {
                let outcome = self.outcome(facts, container, &matched, location);
                let subject = Subject::new(subject_kind(facts, container), facts.id(container));
                let working = Working::new(facts.tables.shop.us);
                let located = Detail::Located(facts.place_name(location));
                judged.push(Judged::new(subject, outcome, working).seeing(located));
            }
        }
        judged
    }
}

/// Rags are the same subject for every rule, so that one rag is one thing to do.
fn subject_kind(facts: &Facts<'_>, container: ContainerId) -> SubjectKind {
    match facts.tables[container].vessel {
        Some(vessel) if vessel.is_cloth() => SubjectKind::Rag,
        Some(_) | None => SubjectKind::Container,
    }
}

/// Where a container is; rags with finish on them may lie in several places, none of them where the clean ones are.
fn whereabouts(facts: &Facts<'_>, container: ContainerId) -> Vec<Location> {
    let batches = facts.contents(container).cloth.iter();
    let soiled = batches.filter(|batch| batch.state != RagState::Clean);
    let soiled: Vec<Location> = soiled.map(|batch| batch.location).collect();
    if soiled.is_empty() {
        vec![facts.location(container)]
    } else {
        soiled
    }
}

impl NotInPlace {
    fn outcome(
        &self,
        facts: &Facts<'_>,
        container: ContainerId,
        matched: &Match,
        location: Location,
    ) -> Known<Compared> {
        let plain = |stage| {
            let observed = facts.at_place(location);
            let mut evidence = self.select.content.evidence(facts, container);
            if let Known::Yes(class) = facts.class(container)
                && !self.select.content.class.is_empty()
            {
                evidence.join(&class.evidence);
            }
            Known::yes(Compared::plain(observed, "not there", stage), evidence)
        };
        let rows = || vec![facts.row(container)];
        match (matched, self.never.meets(facts, location)) {
            (_, Match::No) | (Match::No, _) => plain(Stage::Holds),
            (Match::Yes, Match::Yes) => plain(Stage::Broken),
            (_, Match::Unknown(why)) => Known::gap(why, rows()),
            (Match::Unknown(why), Match::Yes) => Known::gap(why.clone(), rows()),
        }
    }
}

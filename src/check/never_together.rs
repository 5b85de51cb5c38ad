//! These two never share a place.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Stage, Subject, SubjectKind};
use std::collections::BTreeMap;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "never-together",
    asks: "Does no place (or room) hold one of these beside one of those?",
    limit: &[],
    by_class: false,
    options: &[OptionKey {
        key: "within",
        words: &["place", "room"],
        must: true,
    }],
    needs: &["[with]"],
    unknown: "when it is not known where one of them stands, or what it is",
    source: "29 CFR 1910.1200 data sheets, section 10, name what must not meet; the pairs are the pack's",
    observe,
};

/// What one place holds of either side.
#[derive(Default)]
struct Sides {
    these: Vec<usize>,
    those: Vec<usize>,
    /// Why something may be one of these, or of those.
    perhaps: [Option<String>; 2],
}

impl Sides {
    /// Why the two may meet here, if that cannot be told: one side is there, and the other may be.
    fn unsure(&self) -> Option<&String> {
        let [this, that] = &self.perhaps;
        match (self.these.is_empty(), self.those.is_empty()) {
            (false, true) => that.as_ref(),
            (true, false) => this.as_ref(),
            (true, true) => this.as_ref().and(that.as_ref()),
            (false, false) => None,
        }
    }
}

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, _limit: &Limit<'_>) -> Vec<Judged> {
    let by_room = bound.option("within") == "room";
    let mut places: BTreeMap<Option<usize>, Sides> = BTreeMap::new();
    let mut astray: Vec<(usize, String)> = Vec::new();
    for container in facts.containers() {
        let (this, that) = (
            bound.select.container(facts, container),
            bound.with.container(facts, container),
        );
        if this == Match::No && that == Match::No {
            continue;
        }
        let location = facts.location(container);
        let at = if by_room {
            location.room
        } else {
            location.place
        };
        if at.is_none() {
            astray.push((
                container,
                format!("it is not known where `{}` stands", facts.id(container)),
            ));
        }
        let sides = places.entry(at).or_default();
        let both = [(&this, &mut sides.these), (&that, &mut sides.those)];
        for ((side, list), perhaps) in both.into_iter().zip(&mut sides.perhaps) {
            match side {
                Match::Yes => list.push(container),
                Match::Unknown(why) => *perhaps = Some(why.clone()),
                Match::No => {}
            }
        }
    }
    let known: Vec<Judged> = places
        .iter()
        .filter(|(at, _)| at.is_some())
        .filter_map(|(at, sides)| judged(facts, by_room, *at, sides))
        .collect();
    let both_sides = places.values().any(|s| !s.these.is_empty())
        && places.values().any(|s| !s.those.is_empty());
    let lost = astray
        .into_iter()
        .filter(|_| both_sides)
        .map(|(container, why)| {
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            let outcome = Known::gap(why, facts.row(container).into_iter().collect());
            Judged::new(subject, outcome, Working::new(facts.tables.shop.us))
        });
    known.into_iter().chain(lost).collect()
}

fn judged(facts: &Facts<'_>, by_room: bool, at: Option<usize>, sides: &Sides) -> Option<Judged> {
    let subject = if by_room {
        Subject::new(SubjectKind::Room, facts.tables.rooms.get(at?)?.id.clone())
    } else {
        Subject::new(SubjectKind::Place, facts.tables.places.get(at?)?.id.clone())
    };
    let mut evidence = Evidence::none();
    for container in sides.these.iter().chain(&sides.those) {
        evidence.join(&facts.evidence(*container));
    }
    let names = |list: &[usize]| {
        list.iter()
            .map(|c| facts.id(*c))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let working = Working::new(facts.tables.shop.us);
    let meet = !sides.these.is_empty() && !sides.those.is_empty();
    let outcome = match (sides.unsure(), meet) {
        (_, true) => {
            let observed = format!("{} beside {}", names(&sides.these), names(&sides.those));
            let value = Compared::Plain {
                observed,
                wanted: "apart".into(),
                stage: Stage::Broken,
            };
            Known::Yes(Fact { value, evidence })
        }
        (Some(why), false) => Known::gap(why.clone(), evidence.places),
        (None, false) => {
            let value = Compared::Plain {
                observed: "apart".into(),
                wanted: "apart".into(),
                stage: Stage::Holds,
            };
            Known::Yes(Fact { value, evidence })
        }
    };
    Some(Judged::new(subject, outcome, working))
}

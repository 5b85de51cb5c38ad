//! No single container is, or holds, more than.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{Amount, Dimension, Measure, Volume, natural};

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "each-at-most",
    asks: "Is every single container (by its size, or by what it holds) at most the limit for its class?",
    limit: &[Dimension::Volume],
    by_class: true,
    options: &[OptionKey {
        key: "measure",
        words: &["capacity", "amount"],
        must: false,
    }],
    needs: &[],
    unknown: "when the size, the vessel or the class is not known; what is within the smallest limit meets it whatever \
              its class",
    source: "29 CFR 1910.106(d)(2)(iii), Table H-12: sizes of containers, not contents",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let mut judged = Vec::new();
    for container in facts.containers() {
        let matched = bound.select.container(facts, container);
        if matched == Match::No
            || matches!(
                facts.contents(container).and_then(|h| h.amount),
                Some(Amount::Pieces(_))
            )
        {
            continue;
        }
        let subject = Subject::new(SubjectKind::Container, facts.id(container));
        let mut working = Working::new(facts.tables.shop.us);
        let outcome = compare(bound, facts, limit, container, matched, &mut working);
        judged.push(Judged::new(subject, outcome, working));
    }
    judged
}

fn compare(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    limit: &Limit<'_>,
    container: usize,
    matched: Match,
    working: &mut Working,
) -> Known<Compared> {
    let size = match size(bound, facts, container) {
        Known::Yes(fact) => fact,
        Known::No(gap) => return Known::No(gap),
    };
    let measure = match (matched, class_limit(facts, limit, container)) {
        (Match::Yes, Some(measure)) => measure,
        (Match::Unknown(why), _) => {
            // Whatever the class, the smallest limit of all is kept.
            match smallest(limit).filter(|least| size.value.base() <= least.base) {
                Some(least) => {
                    working.say(format!(
                        "{why}; but it is within the smallest limit of any class"
                    ));
                    least
                }
                None => return Known::gap(why, facts.row(container).into_iter().collect()),
            }
        }
        (Match::Yes | Match::No, _) => {
            return Known::gap(
                "this rule has no limit for its class",
                facts.row(container).into_iter().collect(),
            );
        }
    };
    let shown = natural(Amount::Volume(size.value), working.us());
    working.say(match facts.class_title(container) {
        Some(class) => format!("{class}: {shown} against {}", measure.text()),
        None => format!("{shown} against {}", measure.text()),
    });
    let mut evidence = size.evidence;
    if let Known::Yes(class) = facts.class(container) {
        evidence.join(&class.evidence);
    }
    let quantity = |base| Quantity {
        base,
        unit: measure.unit,
    };
    let compared = Compared::AtMost {
        observed: quantity(size.value.base()),
        limit: quantity(measure.base),
    };
    Known::Yes(Fact {
        value: compared,
        evidence,
    })
}

fn class_limit<'r>(facts: &Facts<'_>, limit: &Limit<'r>, container: usize) -> Option<&'r Measure> {
    let class = facts.class(container).value();
    limit.value.or_else(|| {
        limit
            .by_class
            .iter()
            .find(|(at, _)| Some(at) == class)
            .map(|(_, measure)| *measure)
    })
}

fn smallest<'r>(limit: &Limit<'r>) -> Option<&'r Measure> {
    limit.value.or_else(|| {
        limit
            .by_class
            .iter()
            .map(|(_, measure)| *measure)
            .min_by_key(|measure| measure.base)
    })
}

fn size(bound: &Bound<'_>, facts: &Facts<'_>, container: usize) -> Known<Volume> {
    if bound.option("measure") == "amount" {
        return match facts.volume(container) {
            Known::Yes(Fact {
                value: Some(volume),
                evidence,
            }) => Known::Yes(Fact {
                value: volume,
                evidence,
            }),
            Known::Yes(_) => Known::gap(
                "it is not given by volume",
                facts.row(container).into_iter().collect(),
            ),
            Known::No(gap) => Known::No(gap),
        };
    }
    let Some(row) = facts.tables.containers.get(container) else {
        return Known::gap("no such container", Vec::new());
    };
    match row.capacity {
        Some(Amount::Volume(volume)) => Known::Yes(Fact {
            value: volume,
            evidence: Evidence::at(row.at),
        }),
        Some(Amount::Mass(_) | Amount::Pieces(_)) => Known::gap(
            format!(
                "the size of the vessel `{}` is given by weight; give its capacity by volume",
                row.id
            ),
            vec![row.at],
        ),
        None => Known::gap(
            format!(
                "the size of the vessel `{}` is not known; give its capacity in inventory.csv",
                row.id
            ),
            vec![row.at],
        ),
    }
}

//! What was counted agrees with the book.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit};
use crate::fact::{Evidence, Fact, Facts, Known, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{Dimension, Exact, natural, unit};

/// Its name.
pub const COUNT_AGREES: &str = "count-agrees";

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: COUNT_AGREES,
    asks: "Does the last count that differed from the book differ by no more than a share of what the book said?",
    limit: &[Dimension::Share],
    by_class: false,
    options: &[],
    needs: &[],
    unknown: "never; what was never counted is simply not in it",
    source: "common practice, no source: counted less expected; the difference stays in the book as unexplained and is \
             never called evaporation",
    observe,
};

fn observe(_bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let Some(value) = limit.value else {
        return Vec::new();
    };
    let mut judged = Vec::new();
    for container in 0..facts.tables.containers.len() {
        let Some(gap) = facts.contents(container).and_then(|h| h.gap) else {
            continue;
        };
        let us = facts.tables.shop.us;
        let mut working = Working::new(us);
        let (expected, counted) = (gap.expected.base(), gap.counted.base());
        let Ok(difference) = counted.minus(expected) else {
            continue;
        };
        let side = if difference.is_negative() {
            "missing"
        } else {
            "more than the book"
        };
        working.say(format!(
            "{}: the book said {}, counted {}: {} {side}",
            gap.day,
            natural(gap.expected, us),
            natural(gap.counted, us),
            natural(gap.expected.with(difference.size()), us)
        ));
        // Compared as difference against share × expected, so that nothing is divided.
        let Ok(allowed) = value
            .base
            .times(Exact::constant(1, 2))
            .and_then(|share| share.times(expected))
        else {
            continue;
        };
        working.say(format!("allowed: {} of what the book said", value.text()));
        let symbol = match natural(gap.expected, us).split_once(' ') {
            Some((_, symbol)) => symbol.to_string(),
            None => continue,
        };
        let Some(unit) = unit::find(&symbol) else {
            continue;
        };
        let quantity = |base| Quantity { base, unit };
        let compared = Compared::AtMost {
            observed: quantity(difference.size()),
            limit: quantity(allowed),
        };
        let mut evidence = Evidence::at(gap.at);
        evidence.places.extend(facts.row(container));
        let subject = Subject::new(SubjectKind::Container, facts.id(container));
        judged.push(Judged::new(
            subject,
            Known::Yes(Fact {
                value: compared,
                evidence,
            }),
            working,
        ));
    }
    judged
}

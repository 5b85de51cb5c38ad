//! The log never put more into a vessel than it holds.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit};
use crate::fact::{Evidence, Fact, Facts, Known, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{natural, unit};

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "within-capacity",
    asks: "Did the log never put more into a vessel than it holds?",
    limit: &[],
    by_class: false,
    options: &[],
    needs: &[],
    unknown: "never; a vessel without a capacity is left out",
    source: "common practice, no source: what is held after each entry, against the capacity in the inventory",
    observe,
};

fn observe(_bound: &Bound<'_>, facts: &Facts<'_>, _limit: &Limit<'_>) -> Vec<Judged> {
    let us = facts.tables.shop.us;
    let mut judged = Vec::new();
    for (container, row) in facts.tables.containers.iter().enumerate() {
        let over = facts.contents(container).and_then(|h| h.overfull);
        let (Some(over), Some(capacity)) = (over, row.capacity) else {
            continue;
        };
        let shown = natural(capacity, us);
        let Some(unit) = shown
            .rsplit_once(char::is_numeric)
            .and_then(|(_, symbol)| unit::find(symbol.trim()))
        else {
            continue;
        };
        let mut working = Working::new(us);
        working.say(format!(
            "on {} the log brings it to {} in a vessel of {shown}",
            over.day,
            natural(over.held, us)
        ));
        let mut evidence = Evidence::at(over.at);
        evidence.add(row.at);
        let quantity = |base| Quantity { base, unit };
        let value = Compared::AtMost {
            observed: quantity(over.held.base()),
            limit: quantity(capacity.base()),
        };
        let subject = Subject::new(SubjectKind::Container, row.id.clone());
        judged.push(Judged::new(
            subject,
            Known::Yes(Fact { value, evidence }),
            working,
        ));
    }
    judged
}

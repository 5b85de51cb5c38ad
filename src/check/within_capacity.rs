//! The log never put more into a vessel than it holds.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::{natural, shown_unit};

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "within-capacity",
    concern: Concern::Overfilled,
    asks: "Did the log never put more into a vessel than it holds?",
    limit: &[],
    by_class: false,
    options: &[],
    fixture: None,
    selectors: &[],
    adjusts: false,
    always_judges: true,
    unknown: "never; a vessel without a capacity is left out",
    source: "common practice, no source: what is held after each entry, against the capacity in the inventory",
    parse: |_| Ok(Box::new(WithinCapacity)),
};

struct WithinCapacity;

impl RuleCheck for WithinCapacity {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let us = facts.tables.shop.us;
        let mut judged = Vec::new();
        for (container, row) in facts.tables.containers.iter().enumerate() {
            let over = facts.contents(container).and_then(|h| h.overfull);
            let (Some(over), Some(capacity)) = (over, row.capacity) else {
                continue;
            };
            let mut working = Working::new(us);
            working.say(format!(
                "on {} the log brings it to {} in a vessel of {}",
                over.day,
                natural(over.held, us),
                natural(capacity, us)
            ));
            let mut evidence = Evidence::at(over.at);
            evidence.add(row.at);
            let outcome = match shown_unit(capacity, us) {
                Some(unit) => {
                    let (held, capacity) = (over.held.base(), capacity.base());
                    Known::yes(Compared::at_most(held, capacity, unit), evidence)
                }
                None => Known::gap("no unit", evidence.places),
            };
            let subject = Subject::new(SubjectKind::Container, row.id.clone());
            let filled = Detail::Filled(over.day);
            judged.push(Judged::new(subject, outcome, working).seeing(filled));
        }
        judged
    }
}

//! What was counted agrees with the book.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::{Dimension, Exact, Measure, TooFine, natural, shown_unit};
use crate::stock::CountGap;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "count-agrees",
    concern: Concern::Other,
    asks: "Does the last count that differed from the book differ by no more than a share of what the book said?",
    limit: &[Dimension::Share],
    by_class: false,
    options: &[],
    fixture: None,
    selectors: &[],
    adjusts: false,
    always_judges: true,
    unknown: "never; what was never counted is simply not in it",
    source: "common practice, no source: counted less expected; the difference stays in the book as unexplained and is \
             never called evaporation",
    parse: |rule| {
        let share = rule.number()?;
        Ok(Box::new(CountAgrees { share }))
    },
};

struct CountAgrees {
    share: Measure,
}

impl RuleCheck for CountAgrees {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for container in 0..facts.tables.containers.len() {
            let Some(gap) = facts.contents(container).and_then(|h| h.gap) else {
                continue;
            };
            let mut working = Working::new(facts.tables.shop.us);
            let mut evidence = Evidence::at(gap.at);
            evidence.places.extend(facts.row(container));
            let outcome = match self.compare(&gap, &mut working) {
                Ok(Some(compared)) => Known::yes(compared, evidence),
                Ok(None) => Known::gap("no unit", evidence.places),
                Err(TooFine) => Known::too_fine(evidence.places),
            };
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            let counted = Detail::Counted {
                day: gap.day,
                is_short: gap.counted.base() < gap.expected.base(),
            };
            judged.push(Judged::new(subject, outcome, working).seeing(counted));
        }
        judged
    }
}

impl CountAgrees {
    /// Compared as difference against share × expected, so that nothing is divided.
    fn compare(&self, gap: &CountGap, working: &mut Working) -> Result<Option<Compared>, TooFine> {
        let us = working.us();
        let (expected, counted) = (gap.expected.base(), gap.counted.base());
        let difference = counted.minus(expected)?;
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
        let share = self.share.base.times(Exact::constant(1, 2))?;
        let allowed = share.times(expected)?;
        working.say(format!(
            "allowed: {} of what the book said",
            self.share.text()
        ));
        let unit = shown_unit(gap.expected, us);
        Ok(unit.map(|unit| Compared::at_most(difference.size(), allowed, unit)))
    }
}

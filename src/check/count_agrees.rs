//! What was counted agrees with the book.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Subject, SubjectKind, Verdict, judge};
use crate::quantity::{Dimension, Exact, Measure, TooFine, natural, shown_unit};
use crate::stock::CountGap;
use crate::text::Span;

/// A month: what was counted before is in an earlier audit.
const DAYS_LOOKED_BACK: u32 = 31;

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "count-agrees",
    concern: Concern::Other,
    asks: "Does each count of the last month, or the last one before, differ from the book by no more than a share of what the book \
           said?",
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
            let gaps = facts.contents(container).map_or(Vec::new(), |contents| {
                let since = facts.on().back(DAYS_LOOKED_BACK);
                let recent = contents.gaps.iter().filter(|gap| gap.day >= since);
                let recent: Vec<CountGap> = recent.copied().collect();
                match recent.is_empty() {
                    true => contents.gap.into_iter().collect(),
                    false => recent,
                }
            });
            if gaps.is_empty() {
                continue;
            }
            let mut working = Working::new(facts.tables.shop.us);
            let outcome = self.worst(&gaps, facts.row(container), &mut working);
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            judged.push(Judged::new(subject, outcome, working));
        }
        judged
    }
}

impl CountAgrees {
    /// The worst of some differences; a later one that is small must not hide it, and it must not hide another.
    fn worst(
        &self,
        gaps: &[CountGap],
        row: Option<Span>,
        working: &mut Working,
    ) -> Known<Compared> {
        let mut worst: Option<(Compared, CountGap)> = None;
        let mut over = Vec::new();
        for gap in gaps {
            let places = || std::iter::once(gap.at).chain(row).collect();
            let compared = match self.compare(gap, working) {
                Ok(Some(compared)) => compared,
                Ok(None) => return Known::gap("no unit", places()),
                Err(TooFine) => return Known::too_fine(places()),
            };
            if judge(&compared).verdict == Verdict::Breach {
                over.push(*gap);
            }
            let is_worst = worst
                .as_ref()
                .is_none_or(|(old, _)| !old.is_worse_than(&compared));
            if is_worst {
                worst = Some((compared, *gap));
            }
        }
        let Some((compared, gap)) = worst else {
            return Known::gap("no count", row.into_iter().collect());
        };
        let mut evidence = Evidence::at(gap.at);
        let us = working.us();
        for other in over.iter().filter(|other| other.at != gap.at) {
            evidence.add(other.at);
            evidence.said.push(format!(
                "On {} another count differed: the book said {}, counted {}.",
                other.day,
                natural(other.expected, us),
                natural(other.counted, us)
            ));
        }
        evidence.places.extend(row);
        Known::yes(compared, evidence)
    }

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

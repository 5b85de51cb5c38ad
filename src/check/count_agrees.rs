//! What was counted agrees with the book.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::when::date;
use crate::quantity::{Dimension, Exact, Measure, TooFine, natural, shown_unit};
use crate::record::ContainerId;
use crate::stock::CountGap;

pub(super) const KIND: CheckKind = CheckKind {
    name: "count-agrees",
    concern: Concern::Other,
    asks: "Does the last difference between a count and the book amount stay within a share of that amount?",
    limit: &[Dimension::Share],
    always_judges: true,
    unknown: "never: a container that was never counted is left out",
    source: "common practice, no source: counted less the book amount; the difference stays on record and is never called \
             evaporation",
    parse: |rule| {
        let share = rule.number()?;
        Ok(Box::new(CountAgrees { share }))
    },
    ..CheckKind::PLAIN
};

struct CountAgrees {
    share: Measure,
}

impl RuleCheck for CountAgrees {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for (container, _) in ContainerId::each(&facts.tables.containers) {
            let gaps = &facts.contents(container).gaps;
            let Some(last) = gaps.last() else {
                continue;
            };
            let mut working = Working::new(facts.tables.shop.us);
            let mut evidence = Evidence::none();
            evidence.places.extend(gaps.iter().map(|gap| gap.at));
            evidence.add(facts.row(container));
            let worst = self.worst(gaps, &mut working);
            let (gap, others) = match &worst {
                Ok(Some((_, gap, others))) => (*gap, others.as_slice()),
                Ok(None) | Err(TooFine) => (*last, &[][..]),
            };
            evidence.said.extend(others.iter().map(|other| {
                format!(
                    "On {}, another count differed by more than is allowed.",
                    other.day
                )
                .into()
            }));
            let outcome = match worst {
                Ok(Some((compared, _, _))) => Known::yes(compared, evidence),
                Ok(None) => Known::gap("no unit", vec![last.at]),
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
    /// The count that is farthest over what is allowed, or the last of those within it; and the others over it.
    fn worst(
        &self,
        gaps: &[CountGap],
        working: &mut Working,
    ) -> Result<Option<(Compared, CountGap, Vec<CountGap>)>, TooFine> {
        let mut worst: Option<(Exact, (Compared, CountGap))> = None;
        let mut over_limit: Vec<CountGap> = Vec::new();
        for gap in gaps {
            let Some(compared) = self.compare(gap, working)? else {
                return Ok(None);
            };
            let Compared::AtMost { observed, limit } = &compared else {
                continue;
            };
            let over = observed.base.minus(limit.base)?;
            if over > Exact::ZERO {
                over_limit.push(*gap);
            }
            if worst
                .as_ref()
                .is_none_or(|(most, _)| over >= *most || most.is_negative())
            {
                worst = Some((over, (compared, *gap)));
            }
        }
        Ok(worst.map(|(_, (compared, worst))| {
            over_limit.retain(|gap| gap.at != worst.at);
            (compared, worst, over_limit)
        }))
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
            "{}: book amount {}, counted {}: {} {side}",
            date(gap.day),
            natural(gap.expected, us),
            natural(gap.counted, us),
            natural(gap.expected.with(difference.size()), us)
        ));
        let share = self.share.base.times(Exact::constant(1, 2))?;
        let allowed = share.times(expected)?;
        working.say(format!("allowed: {} of the book amount", self.share.text()));
        let unit = shown_unit(gap.expected, us);
        Ok(unit.map(|unit| Compared::at_most(difference.size(), allowed, unit)))
    }
}

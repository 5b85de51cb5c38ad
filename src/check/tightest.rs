//! Where several packs put a number to the same question about the same subject: which of them leaves least to spare.

use crate::finding::{Compared, Finding, Subject};
use crate::quantity::{Dimension, Exact};
use std::collections::{BTreeSet, HashMap};

/// Whether less or more is wanted.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Wants {
    AtMost,
    AtLeast,
}

/// Findings are comparable when all of this is the same: topic, sense, what is measured, what was observed, and of what.
type Comparable<'f> = (&'static str, Wants, Dimension, Exact, &'f Subject);

/// Marks, of comparable findings of several packs, those with least to spare.
pub(super) fn mark_tightest(findings: &mut [Finding]) {
    let mut groups: HashMap<Comparable<'_>, Vec<usize>> = HashMap::new();
    for (at, finding) in findings.iter().enumerate() {
        let (wants, observed) = match &finding.compared {
            Some(Compared::AtMost { observed, .. }) => (Wants::AtMost, observed),
            Some(Compared::AtLeast { observed, .. }) => (Wants::AtLeast, observed),
            Some(Compared::Staged { .. } | Compared::Estimated { .. } | Compared::Plain { .. })
            | None => continue,
        };
        let dimension = observed.unit.dimension;
        let key = (
            finding.rule.topic,
            wants,
            dimension,
            observed.base,
            &finding.subject,
        );
        groups.entry(key).or_default().push(at);
    }
    let mut tightest = Vec::new();
    for ((_, wants, ..), group) in groups {
        let of_group = || group.iter().filter_map(|at| findings.get(*at));
        let packs: BTreeSet<&str> = of_group().map(|f| &*f.rule.pack).collect();
        if packs.len() < 2 {
            continue;
        }
        // What was observed is the same for all, so the limits decide.
        let limits = of_group().filter_map(limit);
        let least = match wants {
            Wants::AtMost => limits.min(),
            Wants::AtLeast => limits.max(),
        };
        let is_least = |at: &usize| findings.get(*at).and_then(limit) == least;
        tightest.extend(group.iter().copied().filter(is_least));
    }
    for at in tightest {
        if let Some(finding) = findings.get_mut(at) {
            finding.tightest = true;
        }
    }
}

fn limit(finding: &Finding) -> Option<Exact> {
    match &finding.compared {
        Some(Compared::AtMost { limit, .. } | Compared::AtLeast { limit, .. }) => Some(limit.base),
        Some(Compared::Staged { .. } | Compared::Estimated { .. } | Compared::Plain { .. })
        | None => None,
    }
}

#[cfg(test)]
mod tests {
    use super::mark_tightest;
    use crate::fact::{Evidence, Known, Working};
    use crate::finding::{Cited, Compared, Concern, Finding, Made, Ruled, Subject, SubjectKind};
    use crate::pack::{Pack, load_built_in};
    use crate::quantity::Measure;
    use crate::text::{Files, Problems};
    use std::sync::Arc;

    fn trade() -> Pack {
        load_built_in("trade", &mut Files::default(), &mut Problems::new()).unwrap()
    }

    /// A finding of a pack, all of one topic and about one place.
    fn finding(trade: &Pack, pack: &str, compared: Compared) -> Finding {
        let rule = &trade.rules[0];
        let (_, (_, citation)) = rule.limit.latest().unwrap();
        Finding::conclude(Made {
            ruled: &Ruled::new(rule, pack, Concern::Other, None),
            advisory: false,
            local: false,
            subject: Subject::new(SubjectKind::Place, "can-1"),
            detail: crate::finding::Detail::Numbers,
            outcome: Some(Known::yes(compared, Evidence::none())),
            working: Working::new(true),
            citation: Arc::new(Cited::from_citation(citation, None)),
            advice: None,
        })
    }

    fn compared(observed: &str, limit: &str, at_least: bool) -> Compared {
        let (observed, limit) = (
            Measure::parse(observed).unwrap(),
            Measure::parse(limit).unwrap(),
        );
        let make = if at_least {
            Compared::at_least
        } else {
            Compared::at_most
        };
        make(observed.base, limit.base, limit.unit)
    }

    /// Which of these is marked, the first from one pack and the second from another.
    fn marked(first: Compared, second: Compared) -> [bool; 2] {
        let trade = trade();
        let mut list = [
            finding(&trade, "state", first),
            finding(&trade, "county", second),
        ];
        mark_tightest(&mut list);
        list.map(|finding| finding.tightest)
    }

    #[test]
    fn the_lower_of_two_most_and_the_higher_of_two_least_is_the_tighter() {
        let most = |limit| compared("5 L", limit, false);
        assert_eq!(marked(most("20 L"), most("10 L")), [false, true]);
        assert_eq!(marked(most("10 L"), most("10 L")), [true, true]);
        let least = |limit| compared("5 m", limit, true);
        assert_eq!(marked(least("3 m"), least("4 m")), [false, true]);
        assert_eq!(marked(least("9 m"), least("4 m")), [true, false]);
    }

    #[test]
    fn days_are_not_compared_with_liters_nor_a_most_with_a_least() {
        let days = compared("5 days", "7 days", false);
        let liters = compared("5 L", "6 L", false);
        assert_eq!(marked(days, liters), [false, false]);
        let most = compared("5 m", "7 m", false);
        let least = compared("5 m", "4 m", true);
        assert_eq!(marked(most, least), [false, false]);
    }

    #[test]
    fn one_pack_alone_is_not_compared_with_itself() {
        let trade = trade();
        let both = ["10 L", "20 L"].map(|limit| compared("5 L", limit, false));
        let mut list = both.map(|compared| finding(&trade, "state", compared));
        mark_tightest(&mut list);
        assert_eq!(list.map(|finding| finding.tightest), [false, false]);
    }
}

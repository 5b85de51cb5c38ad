//! No single container is, or holds, more than.

use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, SelectorSection, option_words};
use super::reader::ClassLimits;
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::unit::for_shop;
use crate::quantity::{Amount, Dimension, Measure, Volume, in_unit, natural};
use crate::record::{ContainerId, Vessel};

pub(super) const KIND: CheckKind = CheckKind {
    name: "each-at-most",
    concern: Concern::OneContainer,
    asks: "Is each container within the limit for its class, by its size or by what it holds?",
    limit: &[Dimension::Volume],
    by_class: true,
    options: &[OptionKey::words::<ContainerSize>(KeyNeed::Optional)],
    selectors: &[(SelectorSection::Where, ContainerFilter::KEYS)],
    unknown: "when the size, the vessel or the class is unknown; a container within the smallest limit meets it whatever its \
              class",
    source: "29 CFR 1910.106(d)(2)(iii), Table H-12: sizes of containers, not contents",
    parse: |rule| {
        let (size, select) = (rule.option(), rule.containers(SelectorSection::Where));
        let select = select?;
        let limits = rule.class_limits(&select.content.class);
        Ok(Box::new(EachAtMost {
            size: size?.unwrap_or(ContainerSize::Capacity),
            select,
            limits: limits?,
        }))
    },
    ..CheckKind::PLAIN
};

option_words! {
    /// Which size of a container counts; without the option it is the capacity.
    enum ContainerSize: "measure" {
        Capacity = "capacity",
        Amount = "amount",
    }
}

struct EachAtMost {
    size: ContainerSize,
    select: ContainerFilter,
    limits: ClassLimits,
}

impl RuleCheck for EachAtMost {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for container in facts.containers() {
            let matched = self.select.meets(facts, container);
            let held = facts.contents(container).amount;
            if matched == Match::No || matches!(held, Some(Amount::Pieces(_))) {
                continue;
            }
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            let mut working = Working::new(facts.tables.shop.us);
            let outcome = self.compare(facts, container, matched, &mut working);
            let detail = match self.size {
                ContainerSize::Capacity => Detail::Size,
                ContainerSize::Amount => Detail::Content,
            };
            judged.push(Judged::new(subject, outcome, working).seeing(detail));
        }
        judged
    }

    fn largest_container(&self, class: usize, vessel: Vessel) -> Option<Measure> {
        match self.size {
            ContainerSize::Capacity if self.select.content.may_mean(class, vessel) => {
                self.limits.for_class(Some(class)).copied()
            }
            ContainerSize::Capacity | ContainerSize::Amount => None,
        }
    }
}

impl EachAtMost {
    fn compare(
        &self,
        facts: &Facts<'_>,
        container: ContainerId,
        matched: Match,
        working: &mut Working,
    ) -> Known<Compared> {
        let row = || vec![facts.row(container)];
        let size = match self.size(facts, container) {
            Known::Yes(fact) => fact,
            Known::No(gap) => return Known::No(gap),
        };
        let class = facts.class(container);
        let of_class = self.limits.for_class(class.value().copied());
        let measure = match (matched, of_class) {
            (Match::Yes, Some(measure)) => measure,
            (Match::Unknown(why), of_class) => {
                // Whether it is meant or not, it is within the limit; whatever the class, within the smallest.
                let (least, which) = match of_class.filter(|_| class.value().is_some()) {
                    Some(of_class) => (Some(of_class), "the limit of its class"),
                    None => (self.limits.smallest(), "the smallest limit of any class"),
                };
                let Some(least) = least.filter(|least| size.value.base() <= least.base) else {
                    return Known::gap(why, row());
                };
                working.say(format!("{why} It is within {which}."));
                least
            }
            (Match::Yes | Match::No, _) => {
                return Known::gap(
                    "Ask your authority about this liquid. The rule has no limit for its class.",
                    row(),
                );
            }
        };
        let shown = natural(Amount::Volume(size.value), working.us());
        let limit = shop_limit(measure, working.us());
        working.say(match facts.class_title(container) {
            Some(class) => format!("{class}: {shown} against {limit}"),
            None => format!("{shown} against {limit}"),
        });
        let mut evidence = size.evidence;
        if let Known::Yes(class) = class {
            evidence.join(&class.evidence);
        }
        let compared = Compared::at_most(size.value.base(), measure.base, measure.unit);
        Known::yes(compared, evidence)
    }

    fn size(&self, facts: &Facts<'_>, container: ContainerId) -> Known<Volume> {
        match self.size {
            ContainerSize::Capacity => capacity(facts, container),
            ContainerSize::Amount => match facts.volume(container) {
                Known::Yes(fact) => match fact.value {
                    Some(volume) => Known::yes(volume, fact.evidence),
                    None => Known::gap(
                        "Record the amount by volume in inventory.csv. It is not recorded by volume.",
                        vec![facts.row(container)],
                    ),
                },
                Known::No(gap) => Known::No(gap),
            },
        }
    }
}

impl ClassLimits {
    fn for_class(&self, class: Option<usize>) -> Option<&Measure> {
        match self {
            ClassLimits::All(limit) => Some(limit),
            ClassLimits::ByClass(list) => {
                let mut list = list.iter();
                list.find(|(at, _)| Some(*at) == class)
                    .map(|(_, limit)| limit)
            }
        }
    }

    fn smallest(&self) -> Option<&Measure> {
        match self {
            ClassLimits::All(limit) => Some(limit),
            ClassLimits::ByClass(list) => list
                .iter()
                .map(|(_, limit)| limit)
                .min_by_key(|limit| limit.base),
        }
    }
}

fn capacity(facts: &Facts<'_>, container: ContainerId) -> Known<Volume> {
    let row = &facts.tables[container];
    let why = match row.capacity {
        Some(Amount::Volume(volume)) => return Known::yes(volume, Evidence::at(row.at)),
        Some(Amount::Mass(_) | Amount::Pieces(_)) => "It is recorded by weight.",
        None => "It is unknown.",
    };
    let why = format!(
        "Record the size of {} by volume in inventory.csv. {why}",
        row.id
    );
    Known::gap(why, vec![row.at])
}

/// The limit as the rule states it, or in the units of a metric shop.
fn shop_limit(measure: &Measure, us: bool) -> String {
    let unit = for_shop(measure.unit, us);
    if unit == measure.unit {
        return measure.text();
    }
    in_unit(measure.base, unit)
}

//! What is stored together is within a limit.

use super::adjustment::{Adjustment, adjusted, adjustments};
use super::floor_unit::{FOR_EACH, FloorUnit};
use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::{KeyNeed, OptionKey, SelectorSection, option_words};
use crate::fact::{ContainerFilter, Evidence, Facts, Gap, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::pack::{Seen, WithSpan};
use crate::quantity::unit::for_shop;
use crate::quantity::{Amount, Dimension, Exact, Measure, TooFine, Volume, in_unit};
use crate::record::{ContainerId, Level};
use std::collections::BTreeMap;

pub(super) const KIND: CheckKind = CheckKind {
    name: "total-at-most",
    concern: Concern::StoredTotal,
    asks: "Is the total stored here (in a place, a room, on a floor, in the shop) at most the limit?",
    limit: &[Dimension::Volume],
    options: &[OptionKey::words::<TotalPer>(KeyNeed::Always), FOR_EACH],
    selectors: &[(SelectorSection::Where, ContainerFilter::KEYS)],
    adjusts: true,
    unknown: "when the amount, the class or the place of one container that may count is unknown, unless the known total is already \
              over the limit",
    source: "sums of contents, as 29 CFR 1910.106(d)(3) and the 2018 model fire code table 5003.1.1(1) state them; \
             units by NIST Handbook 44, appendix C",
    parse: |rule| {
        let (per, select) = (rule.must(), rule.containers(SelectorSection::Where));
        let (limit, steps) = (rule.number(), adjustments(rule));
        let (per, for_each) = (per?, FloorUnit::read(rule));
        let for_each = for_each?;
        if for_each.is_some() && !matches!(per, TotalPer::Room) {
            return Err(rule.demand("per = \"room\" for \"floor\"", rule.at()));
        }
        Ok(Box::new(TotalAtMost {
            per,
            for_each,
            select: select?,
            limit: limit?,
            steps: steps?,
        }))
    },
    ..CheckKind::PLAIN
};

option_words! {
    /// What is summed together.
    enum TotalPer: "per" {
        Place = "place",
        Room = "room",
        Storey = "storey",
        Shop = "shop",
    }
}

struct TotalAtMost {
    per: TotalPer,
    /// The limit is for each so much of the floor of the room.
    for_each: Option<FloorUnit>,
    select: ContainerFilter,
    limit: Measure,
    steps: Vec<Adjustment>,
}

/// Most litres that a kilogram of a finishing liquid takes up: the lightest, hexane, has 0.66 kg/L (NIOSH Pocket Guide,
/// specific gravity). What is given by weight counts with that, and never against the shop.
const MOST_LITRES_PER_KG: Exact = Exact::constant(16, 1);

/// Containers that are summed together.
#[derive(Default)]
struct StoredTogether {
    parts: Vec<(String, Amount)>,
    /// Those of which nothing is from memory: where they are over the limit alone, the others take nothing away from that.
    confirmed: Vec<Exact>,
    /// The weakest way in which a part of these was seen.
    confirmed_seen: Option<Seen>,
    /// What may count, at most so much: its class is unknown, or it is given by weight.
    perhaps: Vec<(String, Amount)>,
    containers: Vec<ContainerId>,
    evidence: Option<Evidence>,
    /// Why what is in `perhaps` is not sure.
    unsure: Option<Gap>,
    /// An amount is unknown at all.
    gap: Option<Gap>,
}

impl RuleCheck for TotalAtMost {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut groups: BTreeMap<Subject, StoredTogether> = BTreeMap::new();
        // What may stand anywhere may stand in every group.
        let mut astray: Vec<(ContainerId, Match)> = Vec::new();
        for container in facts.containers() {
            let held = facts.contents(container).amount;
            if matches!(held, Some(Amount::Pieces(_))) {
                continue;
            }
            let matched = self.select.meets(facts, container);
            if matched == Match::No {
                continue;
            }
            match self.subject(facts, container) {
                Ok(subject) => groups
                    .entry(subject)
                    .or_default()
                    .collect(facts, container, matched),
                Err(why) => astray.push((container, Match::Unknown(why))),
            }
        }
        for group in groups.values_mut() {
            for (container, may) in &astray {
                group.collect(facts, *container, may.clone());
            }
        }
        let mut together = StoredTogether::default();
        for (container, may) in astray {
            together.collect(facts, container, may);
        }
        if !together.containers.is_empty() {
            let subject = Subject::new(SubjectKind::Shop, "places not recorded");
            groups.insert(subject, together);
        }
        groups
            .into_iter()
            .map(|(subject, group)| self.judge(facts, subject, group))
            .collect()
    }

    fn question(&self) -> Option<&WithSpan<String>> {
        self.steps.iter().find_map(Adjustment::question)
    }
}

impl TotalAtMost {
    /// Where a container is counted, or why that is unknown.
    fn subject(&self, facts: &Facts<'_>, container: ContainerId) -> Result<Subject, String> {
        let location = facts.location(container);
        let place = location.place.map(|place| &facts.tables[place]);
        let room = location.room.map(|room| &facts.tables[room]);
        let id = facts.id(container);
        match (self.per, place, room) {
            (TotalPer::Place, Some(place), _) => {
                Ok(Subject::new(SubjectKind::Place, place.id.clone()))
            }
            (TotalPer::Place, None, _) => Err(format!(
                "Record where {id} is stored. Its place is unknown."
            )),
            (TotalPer::Room, _, Some(room)) => Ok(Subject::new(SubjectKind::Room, room.id.clone())),
            (TotalPer::Storey, _, Some(room)) => match room.level {
                Some(level @ Level::Basement(_)) => {
                    Ok(Subject::new(SubjectKind::Shop, level.word()))
                }
                Some(Level::Ground) => Ok(Subject::new(SubjectKind::Shop, "ground floor")),
                Some(Level::Storey(n)) => {
                    Ok(Subject::new(SubjectKind::Shop, format!("storey {n}")))
                }
                None => Err(format!(
                    "Record the level of the room {} in rooms.csv. It is unknown.",
                    room.id
                )),
            },
            (TotalPer::Room | TotalPer::Storey, _, None) => Err(format!(
                "Record which room {id} is in. Its room is unknown."
            )),
            (TotalPer::Shop, _, _) => Ok(Subject::new(
                SubjectKind::Shop,
                facts.tables.shop.name.clone(),
            )),
        }
    }

    fn judge(&self, facts: &Facts<'_>, subject: Subject, group: StoredTogether) -> Judged {
        let mut working = Working::new(facts.tables.shop.us);
        let rows = group.containers.iter().map(|c| facts.row(*c));
        let rows = rows.collect();
        let outcome = match self.limit_for(facts, &subject, &mut working) {
            Known::Yes(limit) => self.compare(facts, group, limit.value, &mut working),
            Known::No(gap) => Ok(Known::No(gap)),
        };
        let outcome = outcome.unwrap_or_else(|TooFine| Known::too_fine(rows));
        let us = facts.tables.shop.us;
        let advice = outcome.value().and_then(|compared| surplus(compared, us));
        Judged {
            advice,
            detail: Detail::Total,
            ..Judged::new(subject, outcome, working)
        }
    }

    /// The limit of these containers before `[[adjust]]`: as written, or for all the floor of their room.
    fn limit_for(
        &self,
        facts: &Facts<'_>,
        subject: &Subject,
        working: &mut Working,
    ) -> Known<Measure> {
        match &self.for_each {
            None => Known::yes(self.limit, Evidence::none()),
            Some(each) => each.limit_of_room(facts, &subject.id, &self.limit, working),
        }
    }

    /// Over the most that may be allowed with what is sure is over. Within the least with all that may count is within.
    /// Between the two it is unknown.
    fn compare(
        &self,
        facts: &Facts<'_>,
        group: StoredTogether,
        limit: Measure,
        working: &mut Working,
    ) -> Result<Known<Compared>, TooFine> {
        let zero = Amount::Volume(Volume::ZERO);
        let sure = working.sum("stored here", &group.parts, zero)?;
        let perhaps = match group.perhaps.as_slice() {
            [] => Exact::ZERO,
            perhaps => working.sum("may count as well", perhaps, zero)?,
        };
        let limits = adjusted(facts, &group.containers, &self.steps, &limit, working)?;
        let all = sure.plus(perhaps)?;
        let within = all <= limits.least;
        let mut evidence = group.evidence.unwrap_or_else(Evidence::none);
        let mut confirmed = group.confirmed.into_iter();
        let confirmed = confirmed.try_fold(Exact::ZERO, Exact::plus)?;
        if confirmed > limits.most {
            evidence.seen = group.confirmed_seen.unwrap_or(evidence.seen);
        }
        if sure <= limits.most {
            let unsure = group.unsure.clone().filter(|_| !within);
            let share = limits.why.filter(|_| !within).map(|because| Gap {
                because,
                look: Vec::new(),
            });
            if let Some(gap) = group.gap.or(unsure).or(share) {
                return Ok(Known::No(gap));
            }
            if let Some(unsure) = group.unsure {
                evidence.said.push(
                    format!("{} It is counted here as if it belonged.", unsure.because).into(),
                );
                evidence.places.extend(unsure.look);
            }
        }
        let (observed, allowed) = if within {
            (all, limits.least)
        } else {
            (sure, limits.most)
        };
        let compared = Compared::at_most(observed, allowed, self.limit.unit);
        Ok(Known::yes(compared, evidence))
    }
}

impl StoredTogether {
    fn collect(&mut self, facts: &Facts<'_>, container: ContainerId, matched: Match) {
        let id = facts.id(container).to_string();
        let held = facts.contents(container).amount;
        let because = match (matched, facts.volume(container)) {
            (Match::No, _) => return,
            (Match::Yes, Known::Yes(fact)) => {
                let mut own = fact.evidence;
                if let Known::Yes(class) = facts.class(container) {
                    own.join(&class.evidence);
                }
                if own.seen != Seen::Memory {
                    self.confirmed.extend(fact.value.map(Volume::base));
                    self.confirmed_seen = self.confirmed_seen.max(Some(own.seen));
                }
                let volume = fact.value.map(|volume| (id, Amount::Volume(volume)));
                self.parts.extend(volume);
                self.containers.push(container);
                let evidence = self.evidence.get_or_insert_with(Evidence::none);
                evidence.join(&own);
                return;
            }
            (Match::Unknown(why), _) => why,
            (Match::Yes, Known::No(gap)) => gap.because,
        };
        self.containers.push(container);
        let most = match held {
            Some(Amount::Volume(volume)) => Some((id, volume)),
            Some(Amount::Mass(mass)) => {
                // A mass too fine to convert is an amount that is unknown.
                let most = mass.base().times(MOST_LITRES_PER_KG).ok();
                most.map(|most| (format!("{id} at most"), Volume::from_base(most)))
            }
            Some(Amount::Pieces(_)) | None => None,
        };
        let slot = match most {
            Some((label, volume)) => {
                self.perhaps.push((label, Amount::Volume(volume)));
                &mut self.unsure
            }
            None => &mut self.gap,
        };
        let gap = slot.get_or_insert_with(|| Gap {
            because: because.clone(),
            look: Vec::new(),
        });
        gap.look.push(facts.row(container));
        if gap.look.len() > 1 && gap.look.len() < 5 && !gap.because.contains(&because) {
            gap.because = format!("{} {because}", gap.because);
        }
    }
}

/// Over the limit, the first thing to know is by how much.
fn surplus(compared: &Compared, us: bool) -> Option<String> {
    let Compared::AtMost { observed, limit } = compared else {
        return None;
    };
    let over = observed.base.minus(limit.base).ok()?;
    (over > Exact::ZERO).then(|| {
        format!(
            "Take at least {} away from here. Use it, move it, or dispose of it.",
            in_unit(over, for_shop(limit.unit, us))
        )
    })
}

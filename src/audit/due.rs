//! What falls due in a shop, and on which day: finishes to test or to use up, checks, acceptances, actions.

use super::Audit;
use crate::finding::{Compared, Finding};
use crate::quantity::{Day, Period};
use crate::record::{Action, Container, ContainerId, ProductKind};
use crate::trade::{Asked, NEXT_ROUND};
use std::collections::BTreeSet;

/// One thing that falls due.
#[derive(Clone, Debug)]
pub struct Due<'a> {
    /// The day; one that is past stays as it was.
    pub day: Day,
    pub what: DueThing<'a>,
}

#[derive(Clone, Debug)]
pub enum DueThing<'a> {
    /// From this day on a finish is to be tested before use.
    Test(&'a Finding),
    /// The last day of a finish.
    UseBy(&'a Finding),
    /// The last day of something else that a rule counts in days.
    Turns(&'a Finding),
    /// The maker's day of a container; of waste, the day for it to go.
    BestBefore {
        container: &'a Container,
        /// It holds waste.
        is_waste: bool,
    },
    /// The acceptance of a finding ends.
    Acceptance(&'a Finding),
    /// A question that is asked less often than monthly.
    Question(&'a Asked<'a>),
    /// The questions that are asked equally often, the first to fall due first.
    Round {
        every: Period,
        asked: Vec<&'a Asked<'a>>,
    },
    /// An open action of actions.csv.
    Action(&'a Action),
}

impl Audit<'_> {
    /// All that falls due, the earliest first.
    pub fn dues(&self) -> Vec<Due<'_>> {
        let mut list: Vec<Due<'_>> = Vec::new();
        for finding in self.findings() {
            self.turning(finding, &mut list);
        }
        self.best_before(&mut list);
        self.acceptances(&mut list);
        rounds(&self.checked.round, &mut list);
        let open = self.shop.tables.actions.iter();
        let open = open.filter(|action| !action.is_done(self.stock.on));
        list.extend(open.filter_map(|action| {
            let what = DueThing::Action(action);
            Some(Due {
                day: action.by?,
                what,
            })
        }));
        list.sort_by_key(|due| due.day);
        list
    }

    /// The days of a finding that counts days. Those that wait for an answer of the round come with the round.
    fn turning<'a>(&'a self, finding: &'a Finding, list: &mut Vec<Due<'a>>) {
        let on = self.stock.on;
        let Some(turns) = finding.turns(on).filter(|_| finding.rule.asks.is_none()) else {
            return;
        };
        // A test that is due is not named again once the thing is past its last day.
        let not_past = turns.limit.is_none_or(|last| last >= on);
        if let Some(day) = turns.warn.filter(|_| not_past) {
            let what = DueThing::Test(finding);
            list.push(Due { day, what });
        }
        if let Some(day) = turns.limit {
            let is_kept = matches!(finding.compared, Some(Compared::Staged { .. }));
            let what = match is_kept {
                true => DueThing::UseBy(finding),
                false => DueThing::Turns(finding),
            };
            list.push(Due { day, what });
        }
    }

    fn best_before<'a>(&'a self, list: &mut Vec<Due<'a>>) {
        let tables = &self.shop.tables;
        for (at, container) in ContainerId::each(&tables.containers) {
            if let Some(day) = container.best_before
                && self.stock.present(tables, at)
            {
                let is_waste = tables.kind_of(&container.product) == Some(ProductKind::Waste);
                let what = DueThing::BestBefore {
                    container,
                    is_waste,
                };
                list.push(Due { day, what });
            }
        }
    }

    fn acceptances<'a>(&'a self, list: &mut Vec<Due<'a>>) {
        let mut seen = BTreeSet::new();
        for finding in self.findings().iter().filter(|f| f.is_accepted()) {
            let subject = (&finding.rule.pack, &finding.rule.id, &finding.subject.id);
            if let Some(accepted) = &finding.accepted
                && seen.insert(subject)
            {
                let what = DueThing::Acceptance(finding);
                let day = accepted.until;
                list.push(Due { day, what });
            }
        }
    }
}

/// Questions asked less often than monthly fall due alone; the others together, by how often they are asked.
fn is_alone(span: Period) -> bool {
    match span {
        Period::Months(months) => months > 1,
        Period::Days(days) => Period::Days(days) != NEXT_ROUND && days > 31,
        Period::Hours(_) | Period::Minutes(_) => false,
    }
}

fn rounds<'a>(round: &'a [Asked<'a>], list: &mut Vec<Due<'a>>) {
    let mut together: Vec<(Period, Vec<&Asked<'_>>)> = Vec::new();
    for asked in round {
        if is_alone(asked.every) {
            let what = DueThing::Question(asked);
            let day = asked.due;
            list.push(Due { day, what });
            continue;
        }
        let known = together.iter_mut().find(|(every, _)| *every == asked.every);
        match known {
            Some((_, group)) => group.push(asked),
            None => together.push((asked.every, vec![asked])),
        }
    }
    for (every, mut asked) in together {
        asked.sort_by_key(|asked| asked.due);
        if let Some(first) = asked.first() {
            list.push(Due {
                day: first.due,
                what: DueThing::Round { every, asked },
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::DueThing;
    use crate::audit::Shop;
    use crate::quantity::Day;

    #[test]
    fn an_audit_tells_what_falls_due() {
        let shop = Shop::demo().unwrap();
        let audit = shop.audit(Day::parse("2026-10-31").unwrap()).unwrap();
        let dues = audit.dues();
        assert!(dues.is_sorted_by_key(|due| due.day));
        let day_of = |wanted: &dyn Fn(&DueThing<'_>) -> bool| {
            let found = dues.iter().find(|due| wanted(&due.what));
            found.map(|due| due.day.to_string())
        };
        let is_j3 =
            |what: &DueThing<'_>| matches!(what, DueThing::Test(f) if f.subject.id == "J-3");
        assert_eq!(day_of(&is_j3).as_deref(), Some("2026-10-08"));
        let is_fan = |what: &DueThing<'_>| matches!(what, DueThing::Action(action) if action.what.contains("fan"));
        assert_eq!(day_of(&is_fan).as_deref(), Some("2026-10-15"));
        let closed =
            |what: &DueThing<'_>| matches!(what, DueThing::Action(a) if a.closed.is_some());
        assert_eq!(day_of(&closed), None, "what is done falls due no more");
        let round =
            |what: &DueThing<'_>| matches!(what, DueThing::Round { asked, .. } if asked.len() > 1);
        assert!(day_of(&round).is_some());
    }
}

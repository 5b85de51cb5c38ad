//! What multiplies the limit of a total: increases and shares whose conditions hold for all that is counted.

use super::reader::{RuleReader, RuleRefused};
use crate::fact::{Facts, Match, Working, levels};
use crate::pack::StoredIn;
use crate::quantity::unit::for_shop;
use crate::quantity::{Exact, Measure, TooFine, in_unit};
use crate::record::{ContainerId, Level, PlaceKind, Vessel};
use crate::text::the;

/// Multiplies the limit when all its conditions hold.
pub(super) struct Adjustment {
    sprinklered: bool,
    stored: Option<StoredIn>,
    levels: Vec<Level>,
    times: Exact,
    clause: String,
}

/// Reads every `[[adjust]]`; each needs a condition.
pub(super) fn adjustments(rule: &mut RuleReader<'_, '_>) -> Result<Vec<Adjustment>, RuleRefused> {
    let mut list = Vec::new();
    for step in rule.adjust() {
        if !step.sprinklered && step.stored.is_none() && step.levels.is_empty() {
            let needs = "a condition in [[adjust]]: sprinklered, stored or level";
            return Err(rule.demand(needs, step.at));
        }
        list.push(Adjustment {
            sprinklered: step.sprinklered,
            stored: step.stored,
            levels: levels(&step.levels, rule.problems()),
            times: step.times,
            clause: step.clause.clone(),
        });
    }
    Ok(list)
}

/// What is allowed once increases and shares are taken, at least and at most, where one is not known to hold.
pub(super) struct AdjustedLimit {
    pub(super) least: Exact,
    pub(super) most: Exact,
    /// Why the two differ.
    pub(super) why: Option<String>,
}

/// Multiplies the limit by every increase and share whose conditions hold for all that is counted.
pub(super) fn adjusted(
    facts: &Facts<'_>,
    containers: &[ContainerId],
    steps: &[Adjustment],
    limit: &Measure,
    working: &mut Working,
) -> Result<AdjustedLimit, TooFine> {
    let (mut allowed, unit) = (limit.base, for_shop(limit.unit, working.us()));
    let mut open: Vec<(&Adjustment, String)> = Vec::new();
    for step in steps {
        match step.all_hold(facts, containers) {
            Match::No => {}
            Match::Unknown(why) => open.push((step, why)),
            Match::Yes => {
                allowed = allowed.times(step.times)?;
                working.say(format!(
                    "limit × {} ({}) = {}",
                    step.times.digits(),
                    step.clause,
                    in_unit(allowed, unit)
                ));
            }
        }
    }
    let (mut least, mut most) = (allowed, allowed);
    // Of several shares that may hold, such as one for each level, only one can.
    let share = open.iter().map(|(step, _)| step.times).min();
    if let Some(share) = share.filter(|share| *share < Exact::ONE) {
        least = allowed.times(share)?;
    }
    for (step, _) in open.iter().filter(|(step, _)| step.times > Exact::ONE) {
        most = most.times(step.times)?;
    }
    if least != most {
        working.say(format!(
            "limit at least {}, at most {}",
            in_unit(least, unit),
            in_unit(most, unit)
        ));
    }
    let mut why: Vec<String> = open.into_iter().map(|(_, why)| why).collect();
    why.dedup();
    let why = (!why.is_empty()).then(|| why.join("; "));
    Ok(AdjustedLimit { least, most, why })
}

impl Adjustment {
    /// Do the conditions hold for all of these? One that does not decides; else one that is not known does.
    fn all_hold(&self, facts: &Facts<'_>, containers: &[ContainerId]) -> Match {
        if containers.is_empty() {
            return Match::No;
        }
        let mut all = Match::Yes;
        for container in containers {
            match self.holds(facts, *container) {
                Match::Yes => {}
                Match::No => return Match::No,
                unknown @ Match::Unknown(_) => all = unknown,
            }
        }
        all
    }

    fn holds(&self, facts: &Facts<'_>, container: ContainerId) -> Match {
        let location = facts.location(container);
        let id = facts.id(container);
        let room = location.room.map(|room| &facts.tables[room]);
        let place = location.place.map(|place| &facts.tables[place]);
        let named = |what: &str, column: &str| match room {
            Some(room) => format!(
                "Record {column} for the room {} in rooms.csv. {what} the room is unknown.",
                room.id
            ),
            None => format!("Record which room {id} is in. Its room is unknown."),
        };
        let mut all = Match::Yes;
        let mut ask = |is: Option<bool>, why: &dyn Fn() -> String| {
            if is.is_none() {
                all = Match::Unknown(why());
            }
            is != Some(false)
        };
        let in_cabinet = place.map(|place| place.kind == PlaceKind::Cabinet);
        let listed = match (in_cabinet, place.and_then(|s| s.listed)) {
            (Some(true), listed) => listed,
            (other, _) => other,
        };
        let stored = match (self.stored, facts.tables[container].vessel) {
            (None, _) | (Some(StoredIn::ListedCabinetOrSafetyCan), Some(Vessel::SafetyCan)) => {
                Some(true)
            }
            (Some(StoredIn::ListedCabinetOrSafetyCan), None) if listed != Some(true) => None,
            (Some(_), _) => listed,
        };
        let level = room.and_then(|r| r.level);
        let here = level.map(|level| self.levels.contains(&level));
        let held = (!self.sprinklered
            || ask(room.and_then(|r| r.sprinklered), &|| {
                named("Whether sprinklers protect", "sprinklered")
            }))
            && ask(stored, &|| match place {
                Some(place) if listed.is_none() => format!(
                    "Record in places.csv whether {} is listed. It is unknown.",
                    the(&place.id)
                ),
                Some(_) => format!("Record the vessel of {id} in inventory.csv. It is unknown."),
                None => format!("Record where {id} is stored. Its place is unknown."),
            })
            && (self.levels.is_empty() || ask(here, &|| named("The level of", "level")));
        if held { all } else { Match::No }
    }
}

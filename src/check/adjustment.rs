//! What multiplies the limit of a total: increases and shares whose conditions hold for all that is counted.

use super::applies::AskedThing;
use super::reader::{RuleReader, RuleRefused};
use super::sign::{answered, in_date};
use crate::fact::{Facts, Match, Working, levels};
use crate::finding::{Compared, Stage};
use crate::pack::{StoredIn, WithSpan};
use crate::quantity::unit::for_shop;
use crate::quantity::{Exact, Measure, TooFine, in_unit};
use crate::record::{ContainerId, Level, PlaceKind, Room, RoomId, Vessel};
use crate::text::the;

/// Multiplies the limit when all its conditions hold.
pub(super) struct Adjustment {
    sprinklered: bool,
    stored: Option<StoredIn>,
    levels: Vec<Level>,
    answered: Option<(WithSpan<String>, bool)>,
    floor_over: Option<Measure>,
    times: Exact,
    clause: String,
}

/// Reads every `[[adjust]]`; each needs a condition.
pub(super) fn adjustments(rule: &mut RuleReader<'_, '_>) -> Result<Vec<Adjustment>, RuleRefused> {
    let mut list = Vec::new();
    for step in rule.adjust() {
        let by_stock = step.sprinklered || step.stored.is_some() || !step.levels.is_empty();
        if !by_stock && step.answered.is_none() && step.floor_over.is_none() {
            let needs =
                "a condition in [[adjust]]: sprinklered, stored, level, answer or floor_over";
            return Err(rule.demand(needs, step.at));
        }
        let adjustment = Adjustment {
            sprinklered: step.sprinklered,
            stored: step.stored,
            levels: levels(&step.levels, rule.problems()),
            answered: step.answered.clone(),
            floor_over: step.floor_over,
            times: step.times,
            clause: step.clause.clone(),
        };
        if list.iter().any(|other| adjustment.is_same(other)) {
            let needs = "conditions in each [[adjust]] that no other [[adjust]] has: both would multiply the limit";
            return Err(rule.demand(needs, step.at));
        }
        list.push(adjustment);
    }
    Ok(list)
}

/// The least that shares which may hold come to. Those for different levels exclude each other; all others may hold together.
fn least_share(open: &[&Adjustment]) -> Result<Exact, TooFine> {
    let shares = open.iter().filter(|step| step.times < Exact::ONE);
    let mut levels: Vec<Option<Level>> = vec![None];
    levels.extend(
        shares
            .clone()
            .flat_map(|step| &step.levels)
            .map(|level| Some(*level)),
    );
    let mut least = Exact::ONE;
    for level in levels {
        let mut product = Exact::ONE;
        for step in shares.clone() {
            if step.levels.is_empty() || level.is_some_and(|level| step.levels.contains(&level)) {
                product = product.times(step.times)?;
            }
        }
        least = least.min(product);
    }
    Ok(least)
}

/// What is allowed once increases and shares are taken, at least and at most, where one is unknown to hold.
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
    let steps: Vec<&Adjustment> = open.iter().map(|(step, _)| *step).collect();
    least = least.times(least_share(&steps)?)?;
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
    /// Has it the same conditions as another one?
    fn is_same(&self, other: &Adjustment) -> bool {
        let sorted = |levels: &[Level]| {
            let mut levels = levels.to_vec();
            levels.sort();
            levels.dedup();
            levels
        };
        let question = |step: &Adjustment| {
            let (told, yes) = step.answered.as_ref()?;
            Some((told.value.clone(), *yes))
        };
        let floor = |step: &Adjustment| step.floor_over.map(|floor| floor.base);
        (self.sprinklered, self.stored) == (other.sprinklered, other.stored)
            && sorted(&self.levels) == sorted(&other.levels)
            && question(self) == question(other)
            && floor(self) == floor(other)
    }

    /// Do the conditions hold for all of these? One that does not decides; else one that is unknown does.
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

    /// The question of the round that it waits for.
    pub(super) fn question(&self) -> Option<&WithSpan<String>> {
        self.answered.as_ref().map(|(question, _)| question)
    }

    /// Is the question about this room answered so? `None` while that is unknown.
    fn is_answered(&self, facts: &Facts<'_>, at: Option<RoomId>) -> Option<bool> {
        let Some((question, wanted)) = &self.answered else {
            return Some(true);
        };
        let room = &facts.tables[at?];
        let thing = AskedThing {
            name: &room.id,
            room: at,
        };
        let given = answered(facts, &question.value, thing, room.at);
        let yes = |compared: &Compared| {
            matches!(
                compared,
                Compared::Plain {
                    stage: Stage::Holds,
                    ..
                }
            )
        };
        let holds = given.value().map(|compared| yes(compared) == *wanted)?;
        // An old "no" may keep a limit low, and never makes it higher than it would be otherwise.
        let is_higher = holds == (self.times > Exact::ONE);
        (!is_higher || in_date(facts, &question.value, thing)).then_some(holds)
    }

    /// Is the floor of this room larger? `None` while its measures are not known.
    fn is_larger(&self, room: Option<&Room>) -> Option<bool> {
        let Some(least) = self.floor_over else {
            return Some(true);
        };
        let room = room?;
        let floor = room.length?.by(room.width?).ok()?;
        Some(floor.base() > least.base)
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
            && (self.levels.is_empty() || ask(here, &|| named("The level of", "level")))
            && ask(self.is_larger(room), &|| {
                named("The floor of", "length and width")
            })
            && ask(self.is_answered(facts, location.room), &|| {
                let check = self.question().map_or("", |told| told.value.as_str());
                let asked = facts.reference.round.find(check);
                let question = asked.map_or(check, |asked| asked.question.as_str());
                let room = room.map_or_else(|| the(id), |room| the(&room.id));
                format!(
                    "Answer \"{question}\" in the round for {room}. No valid answer is on record."
                )
            });
        if held { all } else { Match::No }
    }
}

//! A rule that begins above an amount: what its `[with]` selects, added up in one room or in the shop.

use super::options::{KeyNeed, OptionKey, SelectorSection};
use super::reader::{RuleReader, RuleRefused};
use crate::fact::{ContainerFilter, Facts, Known, Match};
use crate::pack::PackFault;
use crate::quantity::{Dimension, Exact, Measure};
use crate::record::{ContainerId, RoomId};

/// What kinds that read it list among their options.
pub(super) const ABOVE: OptionKey = OptionKey::text(
    "above",
    "an amount, such as \"1 gal\": the rule applies only above this amount of what [with] selects, in the room or the shop",
    KeyNeed::Optional,
);

/// The amount above which a rule applies, and what counts toward it.
pub(super) struct Above {
    limit: Measure,
    counted: ContainerFilter,
}

impl Above {
    /// Reads `above` and the `[with]` that belongs to it, if the rule has them.
    pub(super) fn read(rule: &mut RuleReader<'_, '_>) -> Result<Option<Above>, RuleRefused> {
        let Some(limit) = least_amount(rule)? else {
            return Ok(None);
        };
        let counted = rule.containers(SelectorSection::With)?;
        Ok(Some(Above { limit, counted }))
    }

    /// Does the rule apply in this room, or (without one) in the shop?
    pub(super) fn meets(&self, facts: &Facts<'_>, room: Option<RoomId>) -> Match {
        more_than(&self.limit, &self.counted, facts, room)
    }
}

/// The amount of the option `above`, if the rule has it.
pub(super) fn least_amount(rule: &mut RuleReader<'_, '_>) -> Result<Option<Measure>, RuleRefused> {
    let Some(told) = rule.text("above") else {
        return Ok(None);
    };
    match Measure::parse_as(&told.value, Dimension::Volume) {
        Ok(limit) => Ok(Some(limit)),
        Err(_) => {
            let fault = PackFault::ValueWrong {
                key: "above".into(),
                wanted: "an amount of liquid as text, such as \"1 gal\"".into(),
            };
            Err(rule.refuse(fault, told.at))
        }
    }
}

/// What is in a room, or (without one) in the shop. What is in no known room may be in this one.
fn may_be_in(facts: &Facts<'_>, room: Option<RoomId>) -> Vec<ContainerId> {
    if room.is_none() {
        return facts.containers().collect();
    }
    let here = facts.containers_in(room).iter();
    let astray = facts.containers_in(None).iter();
    here.chain(astray).copied().collect()
}

/// Is more than this of what the filter means in the room, or (without one) in the shop?
pub(super) fn more_than(
    limit: &Measure,
    counted: &ContainerFilter,
    facts: &Facts<'_>,
    room: Option<RoomId>,
) -> Match {
    let (mut sure, mut perhaps) = (Exact::ZERO, Exact::ZERO);
    let mut unknown: Option<String> = None;
    let mut boundless = false;
    for container in may_be_in(facts, room) {
        let here = facts.location(container).room;
        let matched = counted.meets(facts, container);
        if matched == Match::No {
            continue;
        }
        let astray = room.is_some() && here.is_none();
        let volume = match facts.volume(container) {
            Known::Yes(fact) => match fact.value {
                Some(volume) => volume.base(),
                None => continue,
            },
            Known::No(gap) => {
                boundless = true;
                unknown = unknown.or(Some(gap.because));
                continue;
            }
        };
        let (sum, why) = match matched {
            Match::Yes if astray => {
                let id = facts.id(container);
                (
                    &mut perhaps,
                    Some(format!(
                        "Record which room {id} is in. Its room is unknown."
                    )),
                )
            }
            Match::Unknown(why) => (&mut perhaps, Some(why)),
            Match::Yes | Match::No => (&mut sure, None),
        };
        match sum.plus(volume) {
            Ok(total) => *sum = total,
            Err(_) => boundless = true,
        }
        unknown = unknown.or(why);
    }
    let most = sure.plus(perhaps);
    if sure > limit.base {
        return Match::Yes;
    }
    if !boundless && most.is_ok_and(|most| most <= limit.base) {
        return Match::No;
    }
    let why = unknown.unwrap_or_else(|| "the amounts have too many digits to add up".to_string());
    Match::Unknown(why)
}

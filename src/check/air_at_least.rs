//! The air that a room's fan moves is at least.

use super::applies::room_holds;
use super::kind::{CheckKind, Judged, RuleCheck};
use super::options::SelectorSection;
use crate::fact::{ContainerFilter, Evidence, Facts, Known, Match, Working};
use crate::finding::{Compared, Concern, Detail, Subject, SubjectKind};
use crate::quantity::unit::for_shop;
use crate::quantity::when::date;
use crate::quantity::{Dimension, Exact, Measure, TooFine, in_unit, unit};
use crate::record::{Room, RoomId};
use crate::text::the;

pub(super) const KIND: CheckKind = CheckKind {
    name: "air-at-least",
    concern: Concern::Other,
    asks: "Does the exhaust of the room move enough air: air changes per hour, per floor area, or in total?",
    limit: &[
        Dimension::AirChanges,
        Dimension::AirPerArea,
        Dimension::Airflow,
    ],
    selectors: &[(SelectorSection::Where, ContainerFilter::KEYS)],
    unknown: "when the exhaust is unknown, or the size of the room if the limit needs it",
    source: "29 CFR 1910.106(d)(4)(iv): six complete changes an hour; the needed airflow is volume × changes",
    parse: |rule| {
        let (select, limit) = (rule.containers(SelectorSection::Where), rule.positive());
        Ok(Box::new(AirAtLeast {
            select: select?,
            limit: limit?,
        }))
    },
    ..CheckKind::PLAIN
};

struct AirAtLeast {
    select: ContainerFilter,
    limit: Measure,
}

impl RuleCheck for AirAtLeast {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for (at, room) in RoomId::each(&facts.tables.rooms) {
            let matched = self.select.places.rooms.meets(facts, Some(at));
            if matched == Match::No || !room_holds(&self.select, facts, at) {
                continue;
            }
            let subject = Subject::new(SubjectKind::Room, room.id.clone());
            let mut working = Working::new(facts.tables.shop.us);
            let outcome = match matched {
                Match::Unknown(why) => Known::gap(why, vec![room.at]),
                Match::Yes | Match::No => self.compare(room, &mut working),
            };
            let mut new = Judged::new(subject, outcome, working).seeing(Detail::Exhaust);
            let compared = new.outcome.value();
            new.advice = compared.and_then(|it| advice(it, facts.tables.shop.us));
            judged.push(new);
        }
        judged
    }
}

fn advice(compared: &Compared, us: bool) -> Option<String> {
    let Compared::AtLeast { observed, limit } = compared else {
        return None;
    };
    (observed.base < limit.base).then(|| {
        format!(
            "Raise the exhaust to at least {}, and measure it.",
            in_unit(limit.base, for_shop(limit.unit, us))
        )
    })
}

impl AirAtLeast {
    fn compare(&self, room: &Room, working: &mut Working) -> Known<Compared> {
        let Some(exhaust) = room.exhaust else {
            let why = format!(
                "Measure the exhaust of {}, and record it in rooms.csv. It is unknown.",
                the(&room.id)
            );
            return Known::gap(why, vec![room.at]);
        };
        let symbol = if working.us() { "cfm" } else { "m3/h" };
        let Some(shown_in) = unit::find(symbol) else {
            return Known::gap("no unit", Vec::new());
        };
        let needed = match self.needed(room, working) {
            Ok(Some(needed)) => needed,
            Ok(None) => {
                let why = format!(
                    "Measure {}, and record its length, width and height in rooms.csv. They are unknown.",
                    the(&room.id)
                );
                return Known::gap(why, vec![room.at]);
            }
            Err(TooFine) => return Known::too_fine(vec![room.at]),
        };
        let needed_shown = in_unit(needed, shown_in);
        // An airflow in total is needed as it is written.
        if self.limit.unit.dimension != Dimension::Airflow {
            working.say(format!(
                "needed: {} × that = {needed_shown}",
                in_unit(self.limit.base, for_shop(self.limit.unit, working.us()))
            ));
        }
        let mut evidence = Evidence::at(room.at);
        match room.exhaust_measured {
            Some(day) => working.say(format!(
                "exhaust: {}, measured on {}",
                in_unit(exhaust.base(), shown_in),
                date(day)
            )),
            None => evidence.said.push(
                format!(
                    "The exhaust of {} is recorded without the date of a measurement.",
                    room.id
                )
                .into(),
            ),
        }
        let compared = Compared::at_least(exhaust.base(), needed, shown_in);
        Known::yes(compared, evidence)
    }

    /// The airflow that the limit comes to in this room; the unit of the limit says what it is counted for. `None` where a
    /// measure of the room is missing.
    fn needed(&self, room: &Room, working: &mut Working) -> Result<Option<Exact>, TooFine> {
        let us = working.us();
        let mut shown = |what: &str, base, [us_unit, metric]: [&str; 2]| {
            if let Some(unit) = unit::find(if us { us_unit } else { metric }) {
                working.say(format!("{what} of `{}`: {}", room.id, in_unit(base, unit)));
            }
        };
        let dimension = self.limit.unit.dimension;
        if dimension == Dimension::Airflow {
            return Ok(Some(self.limit.base));
        }
        let (Some(length), Some(width)) = (room.length, room.width) else {
            return Ok(None);
        };
        let area = length.by(width)?;
        if dimension == Dimension::AirPerArea {
            shown("floor", area.base(), ["ft2", "m2"]);
            return area.base().times(self.limit.base).map(Some);
        }
        let Some(height) = room.height else {
            return Ok(None);
        };
        let volume = area.times_height(height)?;
        shown("volume", volume.base(), ["ft3", "m3"]);
        volume
            .changed(self.limit.base)
            .map(|flow| Some(flow.base()))
    }
}

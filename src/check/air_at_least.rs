//! The air that a room's fan moves is at least.

use super::bind::Bound;
use super::{CheckKind, Judged, Limit, OptionKey};
use crate::fact::{Evidence, Fact, Facts, Known, Match, Working};
use crate::finding::{Compared, Quantity, Subject, SubjectKind};
use crate::quantity::{Dimension, Exact, in_unit, unit};
use crate::record::{Location, Room};

/// The kind.
pub(super) const KIND: CheckKind = CheckKind {
    name: "air-at-least",
    asks: "Does the exhaust of the room move at least so much air: changes an hour, for each area of floor, or in all?",
    limit: &[
        Dimension::AirChanges,
        Dimension::AirPerArea,
        Dimension::Airflow,
    ],
    by_class: false,
    options: &[OptionKey {
        key: "measure",
        words: &["air-changes", "per-area", "airflow"],
        must: true,
    }],
    needs: &[],
    unknown: "when the exhaust, or the measures of the room that the limit needs, are not known",
    source: "29 CFR 1910.106(d)(4)(iv): six complete changes an hour; the needed airflow is volume × changes",
    observe,
};

fn observe(bound: &Bound<'_>, facts: &Facts<'_>, limit: &Limit<'_>) -> Vec<Judged> {
    let mut judged = Vec::new();
    for (at, room) in facts.tables.rooms.iter().enumerate() {
        let location = Location {
            place: None,
            room: Some(at),
        };
        let by_room = crate::fact::Filter {
            place: Vec::new(),
            not_place: Vec::new(),
            ..bound.select.clone()
        };
        let place = by_room.location(facts, location);
        if place == Match::No || !super::must_have::room_holds(bound, facts, at) {
            continue;
        }
        let subject = Subject::new(SubjectKind::Room, room.id.clone());
        let mut working = Working::new(facts.tables.shop.us);
        let outcome = match place {
            Match::Unknown(why) => Known::gap(why, vec![room.at]),
            Match::Yes | Match::No => compare(bound, room, limit, &mut working),
        };
        let mut new = Judged::new(subject, outcome, working);
        new.advice = advice(&new.outcome);
        judged.push(new);
    }
    judged
}

fn advice(outcome: &Known<Compared>) -> Option<String> {
    let Known::Yes(Fact {
        value: Compared::AtLeast { observed, limit },
        ..
    }) = outcome
    else {
        return None;
    };
    (observed.base < limit.base).then(|| {
        format!(
            "Have the exhaust move at least {}, and measure it.",
            in_unit(limit.base, limit.unit)
        )
    })
}

fn compare(
    bound: &Bound<'_>,
    room: &Room,
    limit: &Limit<'_>,
    working: &mut Working,
) -> Known<Compared> {
    let Some(value) = limit.value else {
        return Known::gap("the rule has no limit", Vec::new());
    };
    let Some(exhaust) = room.exhaust else {
        let why = format!(
            "the exhaust of the room `{}` is not known; measure it and give it in rooms.csv",
            room.id
        );
        return Known::gap(why, vec![room.at]);
    };
    let symbol = if working.us() { "cfm" } else { "m3/h" };
    let Some(shown_in) = unit::find(symbol) else {
        return Known::gap("no unit", Vec::new());
    };
    let needed = match bound.option("measure") {
        "air-changes" => by_volume(room, value.base, working),
        "per-area" => by_area(room, value.base, working),
        _ => Ok(Some(value.base)),
    };
    let needed = match needed {
        Ok(Some(needed)) => needed,
        Ok(None) => {
            let why = format!(
                "the length, width or height of the room `{}` is not known; give it in rooms.csv",
                room.id
            );
            return Known::gap(why, vec![room.at]);
        }
        Err(_) => {
            return Known::gap(
                "the measures have more digits than can be multiplied exactly",
                vec![room.at],
            );
        }
    };
    let needed_shown = in_unit(needed, shown_in);
    working.say(format!("needed: {} × that = {needed_shown}", value.text()));
    let mut evidence = Evidence::at(room.at);
    match room.exhaust_measured {
        Some(day) => working.say(format!(
            "exhaust: {}, measured on {day}",
            in_unit(exhaust.base(), shown_in)
        )),
        None => evidence.said.push(format!(
            "the exhaust of `{}` is as written, with no day on which it was measured",
            room.id
        )),
    }
    let quantity = |base| Quantity {
        base,
        unit: shown_in,
    };
    let compared = Compared::AtLeast {
        observed: quantity(exhaust.base()),
        limit: quantity(needed),
    };
    Known::Yes(Fact {
        value: compared,
        evidence,
    })
}

fn by_volume(
    room: &Room,
    changes: Exact,
    working: &mut Working,
) -> Result<Option<Exact>, crate::quantity::TooFine> {
    let (Some(length), Some(width), Some(height)) = (room.length, room.width, room.height) else {
        return Ok(None);
    };
    let volume = length.by(width)?.times_height(height)?;
    let symbol = if working.us() { "ft3" } else { "m3" };
    if let Some(shown) = unit::find(symbol) {
        working.say(format!(
            "volume of `{}`: {}",
            room.id,
            in_unit(volume.base(), shown)
        ));
    }
    volume.changed(changes).map(|flow| Some(flow.base()))
}

fn by_area(
    room: &Room,
    per_area: Exact,
    working: &mut Working,
) -> Result<Option<Exact>, crate::quantity::TooFine> {
    let (Some(length), Some(width)) = (room.length, room.width) else {
        return Ok(None);
    };
    let area = length.by(width)?;
    let symbol = if working.us() { "ft2" } else { "m2" };
    if let Some(shown) = unit::find(symbol) {
        working.say(format!(
            "floor of `{}`: {}",
            room.id,
            in_unit(area.base(), shown)
        ));
    }
    area.base().times(per_area).map(Some)
}

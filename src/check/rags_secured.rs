//! No rag that can self-heat is left loose. One is enough.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working, is_self_heating};
use crate::finding::{Compared, Concern, Detail, RagsAre, Stage, Subject, SubjectKind};
use crate::quantity::Exact;
use crate::quantity::when::{date, moment};
use crate::record::{Container, ContainerId, Vessel};
use crate::stock::{RagBatch, RagState, UnclearEntry, UnclearWhy, UnsecuredNight};

pub(super) const KIND: CheckKind = CheckKind {
    name: "rags-secured",
    concern: Concern::Other,
    asks: "Is every self-heating rag or pad flat outdoors, under water, or gone, and was it so every night?",
    always_judges: true,
    unknown: "never: a rag of which nothing is known counts as wet with a drying oil",
    source: "fire services' and fire-protection bodies' advice on rags with drying oil; no number of rags and no number of \
             hours is given as safe, and none is here",
    parse: |_| Ok(Box::new(RagsSecured)),
    ..CheckKind::PLAIN
};

struct RagsSecured;

impl RuleCheck for RagsSecured {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        for (container, row) in ContainerId::each(&facts.tables.containers) {
            if row.since.is_some_and(|since| since > facts.on()) {
                continue;
            }
            if !row.vessel.is_some_and(|v| v.is_cloth()) {
                judged.extend(not_followed(facts, container, row));
                continue;
            }
            let batches = facts.contents(container).cloth.iter();
            judged.extend(batches.filter_map(|batch| batch_now(facts, container, batch)));
        }
        judged.extend(nights(facts));
        judged.extend(
            facts
                .stock
                .unclear
                .iter()
                .map(|entry| unclear(facts, entry)),
        );
        judged
    }
}

/// A row that is called rags but has another vessel: no entry and no rule follows those rags, and they may be wet and loose. A
/// closed can or drum of metal is a way to keep them.
fn not_followed(facts: &Facts<'_>, container: ContainerId, row: &Container) -> Option<Judged> {
    let is_open = match row.vessel {
        None
        | Some(
            Vessel::Glass | Vessel::Plastic | Vessel::ApprovedPlastic | Vessel::Bag | Vessel::Box,
        ) => true,
        Some(
            Vessel::Metal
            | Vessel::SafetyCan
            | Vessel::Drum
            | Vessel::PortableTank
            | Vessel::Aerosol
            | Vessel::Rag
            | Vessel::Pad,
        ) => false,
    };
    let mut words = row.product.split(|c: char| !c.is_alphanumeric());
    let is_rags = words.any(|word| ["rag", "rags"].contains(&word.to_lowercase().as_str()));
    let is_clean = facts.tables.self_heating(&row.product) == Some(false);
    let is_gone = facts
        .contents(container)
        .amount
        .is_some_and(|amount| amount.base().is_zero());
    if !is_open || !is_rags || is_clean || is_gone {
        return None;
    }
    let id = facts.id(container);
    let because = format!(
        "Look at the rags {id} ({}) now. Their vessel in inventory.csv is not rag, so nothing follows what is on them and where \
         they are.",
        row.product
    );
    let outcome = Known::gap(because, vec![facts.row(container)]);
    let subject = Subject::new(SubjectKind::Rag, id);
    let mut judged = Judged::new(subject, outcome, Working::new(facts.tables.shop.us));
    judged.advice = Some(format!(
        "Look at the rags now. Then write rag as the vessel of {id} in inventory.csv, and their number as its amount."
    ));
    Some(judged)
}

fn batch_now(facts: &Facts<'_>, container: ContainerId, batch: &RagBatch) -> Option<Judged> {
    let (heats, mut evidence) = is_self_heating(facts.stock, facts.hazards, container, batch);
    let place = facts.at_place(batch.location);
    let close = facts.stock.close;
    let minutes = batch.since.map(|since| close.minutes_since(since));
    // A batch without a known start counts as one that lay there overnight.
    let nights = batch.since.map_or(1, |since| close.nights_since(since));
    let (stage, state) = secured(batch.state, heats, nights)?;
    let observed = format!(
        "{} {place} {}, {state}",
        pieces(batch.pieces),
        for_hours(minutes)
    );
    let row = facts.row(container);
    if !evidence.places.contains(&row) {
        evidence.add(row);
    }
    let wanted = "flat outdoors, under water, or gone";
    let outcome = Known::yes(Compared::plain(observed, wanted, stage), evidence);
    let subject = Subject::new(SubjectKind::Rag, facts.id(container));
    let mut judged = Judged::new(subject, outcome, Working::new(facts.tables.shop.us));
    judged.detail = Detail::Rags {
        how: how(batch.state, heats),
        pieces: batch.pieces,
        place: facts.place_name(batch.location),
        since: batch.since,
        minutes,
        nights,
    };
    judged.advice = advice(batch, heats, nights, &place);
    Some(judged)
}

/// How long something has been so.
fn for_hours(minutes: Option<i64>) -> String {
    match minutes.map(|minutes| minutes / 60) {
        None => "since an unknown time".to_string(),
        Some(1) => "for 1 hour".to_string(),
        Some(hours) if hours < 72 => format!("for {hours} hours"),
        Some(hours) => format!("for {} days", hours / 24),
    }
}

/// What to do about a batch of rags, where that depends on how it is kept.
fn advice(batch: &RagBatch, heats: bool, nights: i64, place: &str) -> Option<String> {
    match batch.state {
        RagState::Wet if heats => Some(format!(
            "Put {} {place} under water in a lidded metal can, or lay {} flat outdoors, away from the building. Do this now, then log it.",
            pieces(batch.pieces),
            if batch.pieces == Exact::ONE {
                "it"
            } else {
                "them"
            }
        )),
        RagState::InCan if nights > 0 => Some(format!(
            "Take the rags {place} out of the building today, and log it."
        )),
        RagState::InJar if heats => Some(
            "Keep the pad jar closed. Never let these pads dry in a heap or put them in the trash. Outside the jar, keep them \
             under water or flat outdoors."
            .to_string(),
        ),
        RagState::Clean
        | RagState::InJar
        | RagState::Wet
        | RagState::Flat
        | RagState::UnderWater
        | RagState::InCan
        | RagState::Dry => None,
    }
}

/// How a batch of rags is kept, as a stage and in words. Clean rags give none.
fn secured(state: RagState, heats: bool, nights: i64) -> Option<(Stage, String)> {
    let words = state.words();
    let is = words.state;
    Some(match state {
        RagState::Clean => return None,
        RagState::Wet if heats => (Stage::Broken, is.to_string()),
        RagState::Wet => (
            Stage::Warn,
            format!("{is} with a liquid that is not self-heating, but its vapor burns"),
        ),
        RagState::InCan if nights > 2 => (
            can_nights(nights),
            format!("{is} and not emptied for {nights} nights"),
        ),
        RagState::InCan if nights > 0 => (can_nights(nights), format!("{is} overnight")),
        RagState::InJar if heats => (Stage::Warn, words.with_caution()),
        RagState::InCan
        | RagState::Flat
        | RagState::UnderWater
        | RagState::InJar
        | RagState::Dry => (Stage::Holds, words.with_caution()),
    })
}

fn how(state: RagState, heats: bool) -> RagsAre {
    match state {
        RagState::Wet if heats => RagsAre::LooseSelfHeating,
        RagState::Wet => RagsAre::LooseSolvent,
        RagState::InCan => RagsAre::InCan,
        RagState::InJar => RagsAre::InJar,
        RagState::Clean | RagState::Flat | RagState::UnderWater | RagState::Dry => {
            RagsAre::Secured(state)
        }
    }
}

/// A can is to be emptied every day; a night or two may be a forgotten entry.
fn can_nights(nights: i64) -> Stage {
    if nights > 2 {
        Stage::Broken
    } else {
        Stage::Warn
    }
}

/// An entry that could mean one batch or another: the most dangerous counts as still there.
fn unclear(facts: &Facts<'_>, entry: &UnclearEntry) -> Judged {
    let mut places: Vec<String> = Vec::new();
    for batch in &entry.could_be {
        let place = facts.at_place(batch.location);
        if !places.contains(&place) {
            places.push(place);
        }
    }
    let which = match entry.why {
        UnclearWhy::UsedAgain => {
            "soils more rags than were unused: wet ones used again, or rags that are not recorded. Look"
        }
        UnclearWhy::TooEarly => {
            "finds rags dry on the day on which they were spread. Oil takes days, so they count as wet"
        }
        UnclearWhy::WhichRags => "does not say which rags it means: those",
    };
    let because = format!(
        "Look for the rags {} now. The entry \"{}\" of {} {which} {}. The most dangerous reading counts.",
        facts.id(entry.container),
        entry.what.word(),
        moment(entry.when, facts.tables.shop.us),
        places.join(" or ")
    );
    let outcome = Known::gap(because, vec![entry.at]);
    let subject = Subject::new(SubjectKind::Rag, facts.id(entry.container));
    let mut judged = Judged::new(subject, outcome, Working::new(facts.tables.shop.us));
    judged.advice = Some(match entry.why {
        UnclearWhy::TooEarly => {
            "Leave the rags flat outdoors, and test them again on another day.".into()
        }
        UnclearWhy::UsedAgain | UnclearWhy::WhichRags => {
            "Look for the rags now. Then write where they were taken from in the column \"from\" of the entry: a place, clean, or the \
             entry that soiled them, such as entry 57."
                .into()
        }
    });
    judged
}

fn pieces(count: Exact) -> String {
    let digits = count.digits();
    if digits == "1" {
        "1 rag".into()
    } else {
        format!("{digits} rags")
    }
}

/// Nights of the last month in which rags were loose or in the can, though they are put away by now.
fn nights(facts: &Facts<'_>) -> impl Iterator<Item = Judged> {
    let nights = facts.stock.nights.iter();
    nights.filter_map(|night| past_night(facts, night))
}

fn past_night(facts: &Facts<'_>, night: &UnsecuredNight) -> Option<Judged> {
    let us = facts.tables.shop.us;
    let batch = &night.batch;
    let (heats, mut evidence) = is_self_heating(facts.stock, facts.hazards, night.container, batch);
    if !heats {
        return None;
    }
    evidence.add(facts.row(night.container));
    if night.missing {
        return Some(missing(facts, night, evidence));
    }
    let in_can = batch.state == RagState::InCan;
    let (stage, lay, advice) = if in_can {
        (
            can_nights(night.nights),
            RagState::InCan.words().state,
            "Empty the rag can every day before closing, and log it.".to_string(),
        )
    } else {
        (
            Stage::Broken,
            RagState::Wet.words().state,
            format!(
                "Find out why rags were wet and loose in the night before {}. Agree who puts rags away at closing time.",
                date(night.until.day())
            ),
        )
    };
    let since = batch
        .since
        .map_or_else(String::new, |since| format!(" from {}", moment(since, us)));
    let observed = format!(
        "{} {} {lay} for {} {}{since} to {}",
        pieces(batch.pieces),
        facts.at_place(batch.location),
        night.nights,
        if night.nights == 1 { "night" } else { "nights" },
        moment(night.until, us)
    );
    let value = Compared::plain(observed, "no night", stage);
    let subject = Subject::new(SubjectKind::Rag, facts.id(night.container));
    let mut judged = Judged::new(subject, Known::yes(value, evidence), Working::new(us));
    judged.detail = Detail::PastNights {
        in_can,
        pieces: batch.pieces,
        place: facts.place_name(batch.location).to_string(),
        nights: night.nights,
        until: night.until,
    };
    judged.advice = Some(advice);
    Some(judged)
}

/// Soiled rags that a count did not find. Where they are now is unknown.
fn missing(facts: &Facts<'_>, night: &UnsecuredNight, evidence: Evidence) -> Judged {
    let observed = format!(
        "{} soiled {}, missing since the count of {}",
        pieces(night.batch.pieces),
        facts.at_place(night.batch.location),
        moment(night.until, facts.tables.shop.us)
    );
    let value = Compared::plain(observed, "every soiled rag accounted for", Stage::Broken);
    let subject = Subject::new(SubjectKind::Rag, facts.id(night.container));
    let outcome = Known::yes(value, evidence);
    let mut judged = Judged::new(subject, outcome, Working::new(facts.tables.shop.us));
    judged.detail = Detail::RagsMissing {
        pieces: night.batch.pieces,
        place: facts.place_name(night.batch.location),
        until: night.until,
    };
    judged.advice =
        Some("Find these rags now. Look in every trash can, and log what happened to them.".into());
    judged
}

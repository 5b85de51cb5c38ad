//! Rags that can self-heat do not go into the trash. One is enough.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Facts, Known, Working, is_self_heating};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::quantity::when::moment;
use crate::stock::WetDiscard;
use crate::text::the;

pub(super) const KIND: CheckKind = CheckKind {
    name: "rags-thrown-out",
    concern: Concern::ThrownOut,
    asks: "Were all discarded rags hard and dry, or collected as hazardous waste?",
    always_judges: true,
    unknown: "never: a rag with unknown finish on it counts as wet with a drying oil",
    source: "fire services' and fire-protection bodies' advice on rags with drying oil: they ignite in trash bins",
    parse: |_| Ok(Box::new(RagsThrownOut)),
    ..CheckKind::PLAIN
};

struct RagsThrownOut;

impl RuleCheck for RagsThrownOut {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let discards = facts.stock.wet_discards.iter();
        discards
            .filter_map(|discard| thrown_out(facts, discard))
            .collect()
    }
}

fn thrown_out(facts: &Facts<'_>, discard: &WetDiscard) -> Option<Judged> {
    let batch = &discard.batch;
    let (heats, mut evidence) =
        is_self_heating(facts.stock, facts.hazards, discard.container, batch);
    if !heats {
        return None;
    }
    evidence.add(facts.row(discard.container));
    evidence.add(discard.at);
    let observed = format!(
        "{} pcs from {} discarded on {}, before they were hard and dry",
        batch.pieces.digits(),
        the(&facts.place_name(batch.location)),
        moment(discard.when, facts.tables.shop.us)
    );
    let value = Compared::plain(
        observed,
        "hard and dry, or taken away as hazardous waste",
        Stage::Broken,
    );
    let subject = Subject::new(SubjectKind::Rag, facts.id(discard.container));
    let outcome = Known::yes(value, evidence);
    let mut judged = Judged::new(subject, outcome, Working::new(facts.tables.shop.us));
    judged.detail = Detail::RagsDiscarded {
        pieces: batch.pieces,
        place: facts.place_name(batch.location).to_string(),
        when: discard.when,
    };
    judged.advice = Some(
        "Find these rags now and take them out of the trash. Put them under water in a lidded metal can, or spread them flat \
         outdoors."
            .into(),
    );
    Some(judged)
}

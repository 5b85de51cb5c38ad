//! Whether what is on a rag can self-heat. What is unknown counts as yes, and one drying oil on it is enough.

use super::hazard::Hazard;
use super::known::Evidence;
use crate::stock::{RagBatch, RagState, Stock};

/// Can the content of a container self-heat on a rag? Of rags and pads, whatever is on any of them counts; of what is
/// poured together, any part.
pub fn heats(stock: &Stock, hazards: &[Hazard], container: usize) -> bool {
    let Some(contents) = stock.containers.get(container) else {
        return true;
    };
    let mut soiled = contents
        .cloth
        .iter()
        .filter(|p| p.state != RagState::Clean)
        .peekable();
    if soiled.peek().is_some() {
        return soiled.any(|batch| {
            batch.soiled_by_unknown || batch.soiled_by.iter().any(|by| on_it(stock, hazards, *by))
        });
    }
    let also = contents
        .also
        .iter()
        .filter_map(|product| hazards.get(*product));
    hazard(stock, hazards, container).is_none_or(|h| h.heats.value)
        || also.into_iter().any(|h| h.heats.value)
}

/// What soiled a rag; another rag may have anything on it.
fn on_it(stock: &Stock, hazards: &[Hazard], soiler: usize) -> bool {
    let cloth = stock
        .containers
        .get(soiler)
        .is_none_or(|contents| !contents.cloth.is_empty());
    cloth || heats(stock, hazards, soiler) || ever_held(stock, hazards, soiler)
}

/// Was anything that self-heats ever in it? A rag does not become harmless because the jar it met is filled again.
fn ever_held(stock: &Stock, hazards: &[Hazard], soiler: usize) -> bool {
    let ever = stock.containers.get(soiler).map(|contents| &contents.ever);
    let mut ever = ever
        .into_iter()
        .flatten()
        .filter_map(|product| hazards.get(*product));
    ever.any(|hazard| hazard.heats.value)
}

fn hazard<'h>(stock: &Stock, hazards: &'h [Hazard], container: usize) -> Option<&'h Hazard> {
    hazards.get(*stock.product_of.get(container)?)
}

/// Can what is on these rags self-heat? Not known is yes.
pub fn parcel_heats(
    stock: &Stock,
    hazards: &[Hazard],
    container: usize,
    batch: &RagBatch,
) -> (bool, Evidence) {
    let mut evidence = Evidence::at(batch.at);
    let mut heats = batch.soiled_by_unknown;
    if batch.soiled_by_unknown {
        let own = hazard(stock, hazards, container).is_none_or(|h| h.heats.value);
        heats = own || batch.state != RagState::Clean;
        evidence.said.push(
            "what is on these rags was not written down, so it counts as a drying oil".into(),
        );
    }
    for soiler in &batch.soiled_by {
        let fact = hazard(stock, hazards, *soiler).map(|h| &h.heats);
        heats |= fact.is_none_or(|fact| fact.value) || on_it(stock, hazards, *soiler);
        if let Some(fact) = fact {
            evidence.join(&fact.evidence);
        }
    }
    (heats, evidence)
}

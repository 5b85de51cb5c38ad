//! Whether what is on a rag can self-heat. What is unknown counts as yes, and one drying oil on it is enough.

use super::hazards::Hazards;
use super::known::Evidence;
use crate::pack::Seen;
use crate::record::{ContainerId, ProductId};
use crate::stock::{RagBatch, RagState, Stock};

/// Can the content of a container self-heat on a rag? Of rags and pads, whatever is on any of them counts; of what is
/// poured together, any part.
pub fn heats(stock: &Stock, hazards: &Hazards, container: ContainerId) -> bool {
    let contents = &stock[container];
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
    let own = hazards.of_container(stock, container);
    own.heats.value || any_heats(hazards, &contents.also)
}

fn any_heats(hazards: &Hazards, products: &[ProductId]) -> bool {
    products.iter().any(|product| hazards[*product].heats.value)
}

/// What soiled a rag; another rag may have anything on it.
fn on_it(stock: &Stock, hazards: &Hazards, soiler: ContainerId) -> bool {
    let is_cloth = !stock[soiler].cloth.is_empty();
    // A rag does not become harmless because the jar it met is filled again.
    let ever_held = any_heats(hazards, &stock[soiler].ever);
    is_cloth || heats(stock, hazards, soiler) || ever_held
}

/// Can what is on these rags self-heat? Not known is yes.
pub fn is_self_heating(
    stock: &Stock,
    hazards: &Hazards,
    container: ContainerId,
    batch: &RagBatch,
) -> (bool, Evidence) {
    let mut evidence = Evidence::at(batch.at);
    let mut heats = batch.soiled_by_unknown;
    if batch.soiled_by_unknown {
        let own = &hazards.of_container(stock, container).heats;
        heats = own.value || batch.state != RagState::Clean;
        evidence.said.push(
            "what is on these rags was not written down, so it counts as a drying oil".into(),
        );
    }
    for soiler in &batch.soiled_by {
        let fact = &hazards.of_container(stock, *soiler).heats;
        heats |= fact.value || on_it(stock, hazards, *soiler);
        evidence.join(&fact.evidence);
    }
    if heats {
        // What is unknown counts as a drying oil, so a weak source, or something harmless beside the oil, makes this no weaker.
        evidence.seen = Seen::Text;
    }
    (heats, evidence)
}

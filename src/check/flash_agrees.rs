//! The flash point of a product agrees with what it is made of.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Stage, Subject, SubjectKind};
use crate::record::ProductId;

pub(super) const KIND: CheckKind = CheckKind {
    name: "flash-agrees",
    concern: Concern::Other,
    asks: "Is no flash point in products.csv higher than what the product is made of allows?",
    always_judges: true,
    unknown: "never; a product without a flash point of its own, or without parts that settle it, is left out",
    source: "Raoult's law with the vapor pressures and flash points of data/materials.csv; liquids that do not mix ideally \
             flash lower than this",
    parse: |_| Ok(Box::new(FlashAgrees)),
    ..CheckKind::PLAIN
};

struct FlashAgrees;

impl RuleCheck for FlashAgrees {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut seen: Vec<ProductId> = Vec::new();
        let mut judged = Vec::new();
        for container in facts.containers() {
            let product = facts.stock.product(container);
            let Some(contradiction) = &facts.hazard(container).contradiction else {
                continue;
            };
            if seen.contains(&product) {
                continue;
            }
            seen.push(product);
            let mut evidence = Evidence::at(contradiction.at);
            evidence.add(facts.row(container));
            let stage = if contradiction.dated {
                Stage::Warn
            } else {
                Stage::Broken
            };
            let value = Compared::plain(
                format!("{} {}", contradiction.written, contradiction.by_parts),
                "a flash point that fits the parts",
                stage,
            );
            let subject = Subject::new(SubjectKind::Container, facts.id(container));
            let working = Working::new(facts.tables.shop.us);
            judged.push(Judged::new(subject, Known::yes(value, evidence), working));
        }
        judged
    }
}

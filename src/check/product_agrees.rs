//! What products.csv says of a product agrees with itself and with the built-in list.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Stage, Subject, SubjectKind};
use crate::record::HeatingClaim;

pub(super) const KIND: CheckKind = CheckKind {
    name: "product-agrees",
    concern: Concern::Other,
    asks: "Do the cells of products.csv and the built-in list agree on which products are self-heating on a rag?",
    always_judges: true,
    unknown: "never; where they contradict each other, the dangerous answer counts",
    source: "common practice, no source: of two records that contradict each other, one is wrong",
    parse: |_| Ok(Box::new(ProductAgrees)),
    ..CheckKind::PLAIN
};

struct ProductAgrees;

impl RuleCheck for ProductAgrees {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let mut judged = Vec::new();
        let mut seen: Vec<&str> = Vec::new();
        for container in &facts.tables.containers {
            if seen.contains(&container.product.as_str()) {
                continue;
            }
            seen.push(&container.product);
            let claims = facts.tables.heating_claims(&container.product);
            let yes = claims.iter().find(|claim| claim.heats);
            let no = claims.iter().find(|claim| !claim.heats);
            if let (Some(yes), Some(no)) = (yes, no) {
                judged.push(contradiction(
                    facts,
                    &container.id,
                    &container.product,
                    [no, yes],
                ));
            }
        }
        judged
    }
}

fn contradiction(
    facts: &Facts<'_>,
    container: &str,
    product: &str,
    [no, yes]: [&HeatingClaim<'_>; 2],
) -> Judged {
    let observed = format!(
        "The records of {product} disagree: {}, but {}. It counts as a drying oil.",
        no.words, yes.words
    );
    let value = Compared::plain(observed, "one answer", Stage::Broken);
    let mut evidence = Evidence::at(no.at);
    evidence.add(yes.at);
    let subject = Subject::new(SubjectKind::Container, container);
    let outcome = Known::yes(value, evidence);
    let mut judged = Judged::new(subject, outcome, Working::new(facts.tables.shop.us));
    judged.advice = Some(format!(
        "Check the data sheet of {product}, and correct products.csv. Until then its rags count as self-heating."
    ));
    judged
}

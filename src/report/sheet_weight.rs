//! Whether a question of the round is required of this shop: a rule that is only advice here makes its question advice too.

use super::view::View;
use crate::finding::{Compared, Finding, Stage, Verdict};
use crate::pack::Severity;
use crate::trade::Question;
use std::collections::HashMap;

/// The strongest word of the rules that rest on each question and apply to this shop.
pub(super) struct QuestionWeights<'a>(HashMap<&'a str, Severity>);

impl<'a> QuestionWeights<'a> {
    pub(super) fn new(view: &View<'a>) -> QuestionWeights<'a> {
        let mut strongest = HashMap::new();
        for finding in view.findings.iter().filter(|finding| applies(finding)) {
            if let Some(question) = finding.rule.asks.as_deref() {
                let known = strongest.entry(question).or_insert(finding.severity);
                *known = (*known).min(finding.severity);
            }
        }
        QuestionWeights(strongest)
    }

    /// Where no rule rests on the question, its own row in the round decides.
    pub(super) fn is_required(&self, question: &Question) -> bool {
        let severity = self.0.get(question.check.as_str());
        *severity.unwrap_or(&question.severity) == Severity::Must
    }
}

fn applies(finding: &Finding) -> bool {
    let idle = matches!(
        finding.compared,
        Some(Compared::Plain {
            stage: Stage::Idle,
            ..
        })
    );
    finding.verdict != Verdict::NotInForce && !idle
}

//! The questions of the round that rules wait for, what each is asked about, and how often it must be answered.

use super::bind::Bound;
use super::kind::RuleCheck;
use crate::fact::Facts;
use crate::finding::{Finding, SubjectKind};
use crate::trade::{AnswerInterval, Waited};

/// What the rules wait for an answer to.
#[derive(Default)]
pub(super) struct Waits(pub(super) Waited);

impl Waits {
    /// Notes the question that a rule reads, with what its findings are about.
    pub(super) fn note(&mut self, facts: &Facts<'_>, bound: &Bound<'_>, findings: &[Finding]) {
        let Some(question) = bound.question() else {
            return;
        };
        let question = &question.value;
        let intervals = intervals(facts, bound);
        let waited = self.0.entry(question.clone()).or_default();
        for finding in findings {
            let about = match finding.subject.kind {
                SubjectKind::Check => "",
                SubjectKind::Place | SubjectKind::Room => finding.subject.id.as_str(),
                // The rule is about nothing here, or is not in force.
                SubjectKind::Rag
                | SubjectKind::Container
                | SubjectKind::Person
                | SubjectKind::Shop => continue,
            };
            let known = waited.entry(about.to_string()).or_default();
            for interval in &intervals {
                if !known.contains(interval) {
                    known.push(interval.clone());
                }
            }
        }
    }
}

/// How often the rule, and the local authority in place of it, want the question answered.
fn intervals(facts: &Facts<'_>, bound: &Bound<'_>) -> Vec<AnswerInterval> {
    let on = facts.on();
    let Some((check, citation)) = bound.on(on) else {
        return Vec::new();
    };
    let every = |check: &dyn RuleCheck, source: String| {
        let every = check.interval()?.in_days();
        Some(AnswerInterval { every, source })
    };
    let source = format!(
        "{}, {}, {}",
        citation.document, citation.edition, citation.clause
    );
    let local = bound.local_limits(facts.tables, &facts.pack.id, on);
    let local = local.filter_map(|limit| {
        let check = bound.with_limit(limit)?;
        every(check.as_ref(), format!("word of {}", limit.by))
    });
    every(check, source).into_iter().chain(local).collect()
}

//! What a kind of check is: its description as data, and what the program can ask of one rule of that kind.

use super::options::{KeyNeed, OptionKey, SelectorSection};
use super::reach::RequiredReach;
use super::reader::{RuleReader, RuleRefused};
use crate::fact::{Facts, Known, Working};
use crate::finding::{Compared, Concern, Detail, Subject};
use crate::pack::WithSpan;
use crate::quantity::{Dimension, Measure, Period};
use crate::record::Vessel;

/// What a check found for one subject, before any verdict.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What it is about.
    pub subject: Subject,
    /// What is compared with what, or why it cannot be.
    pub outcome: Known<Compared>,
    /// What was seen besides the numbers.
    pub detail: Detail,
    pub working: Working,
    /// Something to do, more exact than the rule's own words.
    pub advice: Option<String>,
    /// A citation of its own, where the limit comes from a table and not from the rule.
    pub source: Option<(String, String)>,
}

impl Judged {
    /// A finding-to-be with the rule's own words.
    pub fn new(subject: Subject, outcome: Known<Compared>, working: Working) -> Judged {
        Judged {
            subject,
            outcome,
            detail: Detail::default(),
            working,
            advice: None,
            source: None,
        }
    }

    /// The same, with what was seen besides the numbers.
    pub fn seeing(self, detail: Detail) -> Judged {
        Judged { detail, ..self }
    }
}

/// The typed parameters of one rule, its limit among them, and the answers to what other parts ask of a rule.
pub(super) trait RuleCheck: Send + Sync {
    /// Holds the rule against the facts: something for each subject, nothing where the rule does not apply.
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged>;

    /// The question of the round that it reads.
    fn question(&self) -> Option<&WithSpan<String>> {
        None
    }

    /// How often that question must be answered, if the rule says so.
    fn interval(&self) -> Option<Period> {
        None
    }

    /// The largest container that it allows for a class of liquid, by its position in the scheme.
    fn largest_container(&self, _class: usize, _vessel: Vessel) -> Option<Measure> {
        None
    }

    /// The distance that it requires around places or fixtures.
    fn reach(&self) -> Option<RequiredReach> {
        None
    }
}

/// One kind of check.
pub struct CheckKind {
    /// The word of the rule files.
    pub name: &'static str,
    /// What its findings are concerned with.
    pub concern: Concern,
    /// The question it asks.
    pub asks: &'static str,
    /// What its limit must measure; empty if it compares no number.
    pub limit: &'static [Dimension],
    /// Whether the limit may differ by class.
    pub by_class: bool,
    /// Options it reads.
    pub options: &'static [OptionKey],
    /// Whether it reads the key `fixture`, and whether that must be there.
    pub fixture: Option<KeyNeed>,
    /// The selectors it reads, section by section.
    pub selectors: &'static [(SelectorSection, &'static [&'static str])],
    /// Whether `[[adjust]]` may change its limit.
    pub adjusts: bool,
    /// Whether it always comes to a judgment, so that no case can show a missing fact.
    pub always_judges: bool,
    /// Whether it reports answers to questions that there are none of, so that they are no reason to stop.
    pub reports_stray_answers: bool,
    /// When it cannot judge.
    pub unknown: &'static str,
    /// What its arithmetic follows, outside this project.
    pub source: &'static str,
    /// Reads the parameters of a rule.
    pub(super) parse: fn(&mut RuleReader<'_, '_>) -> Result<Box<dyn RuleCheck>, RuleRefused>,
}

impl CheckKind {
    /// A kind that compares no number and reads no key of its own: each kind adds what is special about it.
    pub(super) const PLAIN: CheckKind = CheckKind {
        name: "",
        concern: Concern::Other,
        asks: "",
        limit: &[],
        by_class: false,
        options: &[],
        fixture: None,
        selectors: &[],
        adjusts: false,
        always_judges: false,
        reports_stray_answers: false,
        unknown: "",
        source: "",
        parse: |rule| Err(rule.demand("a kind of check", rule.at())),
    };
}

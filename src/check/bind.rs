//! A rule and its kind to a bound rule, or problems at the rule's own lines.

use super::kind::{CheckKind, RuleCheck};
use super::kinds::KINDS;
use super::reader::{LimitText, RuleReader};
use crate::pack::{Citation, Dated, InForce, LimitValue, Pack, Rule, Scheme, WithSpan, word};
use crate::quantity::Day;
use crate::record::{LocalLimit, ShopTables};
use crate::text::{Problem, Problems};

/// A rule whose words are understood.
pub struct Bound<'r> {
    pub rule: &'r Rule,
    pub kind: &'static CheckKind,
    scheme: Option<&'r Scheme>,
    steps: Dated<(Box<dyn RuleCheck>, &'r Citation)>,
}

/// Binds a rule of a pack.
pub fn bind<'r>(rule: &'r Rule, pack: &'r Pack, problems: &mut Problems) -> Option<Bound<'r>> {
    let names: Vec<(&str, &'static CheckKind)> =
        KINDS.iter().map(|kind| (kind.name, *kind)).collect();
    let kind = word(&rule.check, "check", &names, problems)?;
    let scheme = pack.scheme.as_ref();
    let mut told: Vec<Problem> = Vec::new();
    let steps = rule.limit.try_map(|(value, citation)| {
        let mut found = Problems::new();
        let limit = LimitText {
            value,
            at: citation.at,
            adjust: &rule.adjust,
            local: false,
        };
        let check = parse(rule, kind, scheme, limit, &mut found);
        // Each value of a rule is read with the same options: their problems are reported once.
        for problem in found.sorted() {
            let same = |other: &Problem| {
                other.at == problem.at && other.fault.words() == problem.fault.words()
            };
            if !told.iter().any(same) {
                told.push(problem);
            }
        }
        check.map(|check| (check, citation))
    });
    for problem in told {
        problems.add(problem);
    }
    Some(Bound {
        rule,
        kind,
        scheme,
        steps: steps?,
    })
}

fn parse<'r>(
    rule: &'r Rule,
    kind: &'static CheckKind,
    scheme: Option<&'r Scheme>,
    limit: LimitText<'r>,
    problems: &mut Problems,
) -> Option<Box<dyn RuleCheck>> {
    let mut reader = RuleReader::new(rule, (kind.name, kind.limit), scheme, limit, problems);
    let check = (kind.parse)(&mut reader);
    // A kind that gave up has not asked for all that it reads.
    if check.is_ok() {
        reader.finish();
    }
    check.ok().filter(|_| problems.none())
}

impl<'r> Bound<'r> {
    /// The rule as it holds on a day.
    pub(super) fn step(&self, day: Day) -> InForce<'_, (Box<dyn RuleCheck>, &'r Citation)> {
        self.steps.on(day)
    }

    /// The rule as it holds on a day, if it is in force.
    pub(super) fn on(&self, day: Day) -> Option<(&dyn RuleCheck, &'r Citation)> {
        match self.step(day) {
            InForce::Now(_, (check, citation)) => Some((check.as_ref(), citation)),
            InForce::NotYet(_) | InForce::Ended(_) => None,
        }
    }

    /// The same rule with the limit of the local authority; `None` if the rule cannot compare that.
    pub(super) fn with_limit(&self, limit: &LocalLimit) -> Option<Box<dyn RuleCheck>> {
        let value = LimitValue::One(WithSpan {
            value: limit.value,
            at: limit.at,
        });
        let limit = LimitText {
            value: &value,
            at: limit.at,
            adjust: &[],
            local: true,
        };
        let problems = &mut Problems::new();
        parse(self.rule, self.kind, self.scheme, limit, problems)
    }

    /// What the local authority says in place of it, as of a day.
    pub(super) fn local_limits<'t>(
        &self,
        tables: &'t ShopTables,
        pack: &str,
        on: Day,
    ) -> impl Iterator<Item = &'t LocalLimit> {
        let names = [self.rule.id.clone(), format!("{pack}/{}", self.rule.id)];
        let limits = tables.shop.limits.iter();
        limits.filter(move |limit| limit.on <= on && names.contains(&limit.rule.value))
    }

    /// The question of the round that it reads, as the rule file writes it.
    pub fn question(&self) -> Option<&WithSpan<String>> {
        let (_, (check, _)) = self.steps.latest()?;
        check.question()
    }
}

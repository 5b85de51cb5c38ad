//! One rule, and what the authority says in place of it, held against the facts. Every rule yields at least one finding.

use super::bind::Bound;
use super::kind::Judged;
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Cited, Compared, Detail, Finding, Made, Ruled, Stage, Subject, SubjectKind};
use crate::pack::{Binds, Citation, InForce, Pack, Rule, Seen};
use crate::quantity::Day;
use crate::record::{LocalLimit, ShopSettings};
use std::sync::Arc;

/// What the findings of a rule have in common.
struct RuleFindings<'f> {
    facts: &'f Facts<'f>,
    ruled: Ruled<'f>,
    advisory: bool,
    list: Vec<Finding>,
}

/// The findings of one rule.
pub(super) fn findings_of_rule(bound: &Bound<'_>, facts: &Facts<'_>) -> Vec<Finding> {
    let question = bound.question().map(|told| told.value.as_str());
    let ruled = Ruled::new(bound.rule, &facts.pack.id, bound.kind.concern, question)
        .replacing(replaced_limit(bound.rule, facts.on()));
    let mut findings = RuleFindings {
        facts,
        ruled: match facts.tables.shop.us {
            true => ruled,
            false => ruled.metric(),
        },
        advisory: !binds(facts.pack, &facts.tables.shop),
        list: Vec::new(),
    };
    let latest = || bound.rule.limit.latest().map(|(_, (_, citation))| citation);
    match bound.step(facts.on()) {
        InForce::Now(since, (check, citation)) => {
            let cited = Cited::from_citation(citation, Some(since));
            findings.conclude(check.observe(facts), cited, false);
            for local in bound.local_limits(facts.tables, &facts.pack.id, facts.on()) {
                let judged = match bound.with_limit(local) {
                    Some(check) => check.observe(facts),
                    None => vec![not_comparable(bound, facts, local)],
                };
                findings.conclude(judged, local_citation(local, citation), true);
            }
        }
        InForce::NotYet(day) => findings.not_in_force(latest(), Some(day)),
        InForce::Ended(_) => findings.not_in_force(latest(), None),
    }
    findings.list
}

/// The adopted limit that a rule replaces on a day, for reports that show both.
fn replaced_limit(rule: &Rule, on: Day) -> Option<String> {
    let adopted = rule.adopted.as_ref()?;
    let replaced = adopted.replaced.as_ref().filter(|own| own.since <= on)?;
    let InForce::Now(_, (value, citation)) = replaced.limit.on(on) else {
        return None;
    };
    let value = value.to_string();
    let limit = if value.is_empty() {
        "the rule".to_string()
    } else {
        value
    };
    Some(format!(
        "This replaces {limit} in {} ({}, {}).",
        adopted.pack, citation.document, citation.clause
    ))
}

/// A shop that does not say whether it has employees or is a business counts as bound, because unknown is never a pass.
fn binds(pack: &Pack, shop: &ShopSettings) -> bool {
    match pack.about.binds {
        Binds::Everyone => true,
        Binds::Employers => shop.employees.is_none_or(|n| n > 0),
        Binds::Businesses => shop.business.unwrap_or(true),
    }
}

fn local_citation(local: &LocalLimit, replaced: &Citation) -> Cited {
    Cited {
        document: format!("word of {}", local.by),
        edition: local.on.to_string(),
        clause: format!("in place of {}", replaced.clause),
        in_force: Some(local.on),
        seen: Seen::Text,
        note: None,
    }
}

fn not_comparable(bound: &Bound<'_>, facts: &Facts<'_>, local: &LocalLimit) -> Judged {
    let why = format!(
        "Ask the authority what its limit of {} measures. It cannot be compared with the rule {}.",
        local.value.text(),
        bound.rule.id
    );
    let subject = Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone());
    Judged::new(subject, Known::gap(why, vec![local.at]), Working::default())
}

impl RuleFindings<'_> {
    fn conclude(&mut self, judged: Vec<Judged>, citation: Cited, local: bool) {
        let citation = Arc::new(match self.facts.tables.shop.us {
            true => citation,
            false => citation.metric(),
        });
        let judged = if judged.is_empty() {
            vec![self.nothing_here()]
        } else {
            judged
        };
        self.list.reserve_exact(judged.len());
        for judged in judged {
            let mut citation = Arc::clone(&citation);
            if let Some((document, clause)) = judged.source {
                let own = Arc::make_mut(&mut citation);
                (own.document, own.clause) = (document, clause);
            }
            self.list.push(Finding::conclude(Made {
                ruled: &self.ruled,
                advisory: self.advisory,
                local,
                subject: judged.subject,
                detail: judged.detail,
                outcome: Some(judged.outcome),
                working: judged.working,
                citation,
                advice: judged.advice,
            }));
        }
    }

    fn shop(&self) -> Subject {
        Subject::new(SubjectKind::Shop, self.facts.tables.shop.name.clone())
    }

    fn nothing_here(&self) -> Judged {
        let observed = "nothing here that this rule applies to";
        let compared = Compared::plain(observed, "", Stage::Idle);
        Judged::new(
            self.shop(),
            Known::yes(compared, Evidence::none()),
            Working::new(self.facts.tables.shop.us),
        )
    }

    fn not_in_force(&mut self, citation: Option<&Citation>, from: Option<Day>) {
        let Some(citation) = citation else { return };
        self.list.push(Finding::conclude(Made {
            ruled: &self.ruled,
            advisory: self.advisory,
            local: false,
            subject: self.shop(),
            detail: Detail::Numbers,
            outcome: None,
            working: Working::new(self.facts.tables.shop.us),
            citation: Arc::new(Cited::from_citation(citation, from)),
            advice: None,
        }));
    }
}

#[cfg(test)]
mod tests {
    use super::binds;
    use crate::pack::{Binds, Document, load_built_in};
    use crate::record::read_shop;
    use crate::text::{Files, Problems};

    /// A shop that does not say what it is, is bound; only one that says it is none is not.
    #[test]
    fn a_pack_binds_a_shop_that_does_not_say_what_it_is() {
        let (mut files, mut problems) = (Files::default(), Problems::new());
        let mut pack = load_built_in("trade", &mut files, &mut problems).unwrap();
        let mut bound = |whom, settings: &str| {
            let text = format!("name = \"A\"\nunits = \"us\"\npacks = []\n{settings}");
            let file = files.hold("shop.toml", text.into_bytes());
            let document = Document::parse(&files, file, &mut problems).unwrap();
            let shop = read_shop(&document, &mut problems).unwrap();
            pack.about.binds = whom;
            binds(&pack, &shop)
        };
        assert!(bound(Binds::Businesses, ""));
        assert!(bound(Binds::Businesses, "business = true\n"));
        assert!(!bound(Binds::Businesses, "business = false\n"));
        assert!(bound(Binds::Employers, ""));
        assert!(bound(Binds::Employers, "employees = 1\n"));
        assert!(!bound(Binds::Employers, "employees = 0\n"));
        assert!(bound(Binds::Everyone, "business = false\nemployees = 0\n"));
    }
}

//! Bound rules over the facts of a day: every rule yields at least one finding, and every exception that met nothing
//! is named.

use super::at_once::each_rule;
use super::{Bound, Judged, Limit};
use crate::fact::{Evidence, Fact, Facts, Hazard, Known, Working, hazards};
use crate::finding::{Cited, Compared, Finding, Made, Ruled, Stage, Subject, SubjectKind, accept};
use crate::pack::{Binds, Citation, InForce, LimitValue, Pack, Rule, Seen, TOPICS};
use crate::quantity::Exact;
use crate::quantity::Measure;
use crate::record::{Acceptance, LocalLimit, ShopTables};
use crate::stock::Stock;
use crate::trade::{Asked, ReferenceData};
use crate::vapour::session::{Sessions, sessions};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// All that an audit concluded.
pub struct Checked<'a> {
    /// Findings, most urgent first.
    pub findings: Vec<Finding>,
    /// Acceptances that met no finding.
    pub idle: Vec<&'a Acceptance>,
    /// For each pack, the title of each container's class, if it is known.
    pub classes: Vec<(String, Vec<Option<String>>)>,
    /// What each product is.
    pub hazards: Vec<Hazard>,
    /// The sessions of the last month, and what they did to the air.
    pub sessions: Sessions,
    /// The walk-round of this shop.
    pub round: Vec<Asked<'a>>,
}

/// Holds every bound rule against the facts.
pub fn check_rules<'a>(
    tables: &'a ShopTables,
    stock: &Stock,
    bound: &[(&Pack, Vec<Bound<'_>>)],
    reference: &'a ReferenceData,
) -> Checked<'a> {
    let hazards = hazards(tables, &stock.products);
    let sessions = sessions(tables, stock);
    let mut findings = Vec::new();
    let mut classes = Vec::new();
    let mut waits = Waits::default();
    let seen: Vec<Facts<'_>> = bound
        .iter()
        .map(|(pack, _)| Facts::new(tables, stock, pack, &hazards, reference, &sessions))
        .collect();
    let work: Vec<(&Facts<'_>, &Bound<'_>)> = seen
        .iter()
        .zip(bound)
        .flat_map(|(facts, (_, rules))| rules.iter().map(move |rule| (facts, rule)))
        .collect();
    let each = each_rule(&work);
    findings.reserve_exact(each.iter().map(Vec::len).sum());
    for ((_, rule), found) in work.iter().zip(each) {
        waits.note(rule.option("answer"), &found);
        findings.extend(found);
    }
    for facts in &seen {
        let titles = (0..tables.containers.len())
            .map(|c| facts.class_title(c).map(str::to_string))
            .collect();
        classes.push((facts.pack.id.clone(), titles));
    }
    mark_tightest(&mut findings);
    let idle = accept(&mut findings, &tables.accepted, stock.on);
    let findings = by_urgency(findings);
    Checked {
        findings,
        idle,
        classes,
        hazards,
        sessions,
        round: reference
            .round
            .asked(tables, stock.on, &waits.read, &waits.pairs),
    }
}

/// What the rules wait for an answer to.
#[derive(Default)]
struct Waits<'r> {
    /// Questions that some rule reads.
    read: HashSet<&'r str>,
    /// A question, and what it must be answered about; empty for the shop.
    pairs: HashSet<(String, String)>,
}

impl<'r> Waits<'r> {
    fn note(&mut self, check: &'r str, findings: &[Finding]) {
        if check.is_empty() {
            return;
        }
        self.read.insert(check);
        for finding in findings {
            let about = match finding.subject.kind {
                SubjectKind::Check => String::new(),
                SubjectKind::Place | SubjectKind::Room => finding.subject.id.clone(),
                // The rule is about nothing here, or is not in force.
                SubjectKind::Rag | SubjectKind::Container | SubjectKind::Shop => continue,
            };
            self.pairs.insert((check.to_string(), about));
        }
    }
}

/// Rags first among equals, then by how much the rule weighs, then by topic, rule and subject. Findings are large, so their
/// order is found first, and then each is moved once.
fn by_urgency(findings: Vec<Finding>) -> Vec<Finding> {
    let topic = |finding: &Finding| TOPICS.iter().position(|t| *t == finding.topic);
    let weight = |f: &Finding| (f.is_accepted(), f.verdict, f.severity, topic(f));
    // One number for each rule, so that its name is not compared again for each of its findings.
    let mut rules: Vec<(&str, &str)> = findings.iter().map(|f| (&*f.pack, &*f.rule)).collect();
    rules.dedup();
    rules.sort_unstable();
    rules.dedup();
    let rule = |f: &Finding| rules.binary_search(&(&*f.pack, &*f.rule));
    let mut order: Vec<_> = findings
        .chunk_by(|a, b| Arc::ptr_eq(&a.rule, &b.rule))
        .flat_map(|of_one| {
            let rule = of_one.first().map(rule);
            of_one
                .iter()
                .map(move |f| (weight(f), rule, &f.subject, f.local))
        })
        .zip(0..)
        .collect();
    order.sort_unstable();
    let order: Vec<usize> = order.into_iter().map(|(_, at)| at).collect();
    let mut slots: Vec<Option<Finding>> = findings.into_iter().map(Some).collect();
    order
        .into_iter()
        .filter_map(|at| slots.get_mut(at).and_then(Option::take))
        .collect()
}

/// A shop that does not say whether it employs anybody is held to be bound: unknown is never a pass.
fn binds(pack: &Pack, tables: &ShopTables) -> bool {
    match pack.about.binds {
        Binds::Everyone => true,
        Binds::Employers => tables.shop.employees.is_none_or(|n| n > 0),
        Binds::Businesses => tables.shop.business.unwrap_or(true),
    }
}

/// Holds one rule, and what the authority said of it, against the facts.
pub(super) fn run_rule(bound: &Bound<'_>, facts: &Facts<'_>, findings: &mut Vec<Finding>) {
    let advisory = !binds(facts.pack, facts.tables);
    let rule = bound.rule;
    match rule.limit.on(facts.on()) {
        InForce::Now(since, (value, citation)) => {
            let limit = limit_of(value, citation, since, rule, facts);
            let judged = (bound.kind.observe)(bound, facts, &limit);
            conclude(
                bound,
                facts,
                advisory,
                false,
                judged,
                &Arc::new(Cited::of(citation, Some(since))),
                findings,
            );
            for local in local_limits(rule, facts) {
                run_local(bound, facts, advisory, local, citation, findings);
            }
        }
        InForce::NotYet(day) => {
            let citation = rule
                .limit
                .latest()
                .map(|(_, (_, citation))| Cited::of(citation, Some(day)));
            idle(bound, facts, advisory, citation, findings);
        }
        InForce::Ended(_) => {
            let citation = rule
                .limit
                .latest()
                .map(|(_, (_, citation))| Cited::of(citation, None));
            idle(bound, facts, advisory, citation, findings);
        }
    }
}

fn limit_of<'r>(
    value: &'r LimitValue,
    citation: &'r Citation,
    since: crate::quantity::Day,
    rule: &'r Rule,
    facts: &Facts<'_>,
) -> Limit<'r> {
    let position = |name: &str| {
        facts
            .pack
            .scheme
            .as_ref()
            .and_then(|s| s.classes.iter().position(|class| class.name == name))
    };
    let (value, by_class) = match value {
        LimitValue::None => (None, Vec::new()),
        LimitValue::One(told) => (Some(&told.value), Vec::new()),
        LimitValue::ByClass(list) => {
            let list = list
                .iter()
                .filter_map(|(class, told)| Some((position(&class.value)?, &told.value)));
            (None, list.collect())
        }
    };
    Limit {
        value,
        by_class,
        adjust: &rule.adjust,
        citation,
        since,
    }
}

fn local_limits<'f>(rule: &'f Rule, facts: &'f Facts<'_>) -> impl Iterator<Item = &'f LocalLimit> {
    facts.tables.shop.limits.iter().filter(move |local| {
        let named = local.rule.value == rule.id
            || local.rule.value == format!("{}/{}", facts.pack.id, rule.id);
        named && local.on <= facts.on()
    })
}

/// The authority's own word: another finding beside the one it replaces.
fn run_local(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    advisory: bool,
    local: &LocalLimit,
    citation: &Citation,
    findings: &mut Vec<Finding>,
) {
    let fits = bound.kind.limit.contains(&local.value.unit.dimension);
    let value: Option<&Measure> = fits.then_some(&local.value);
    let said = Citation {
        document: format!("word of {}", local.by),
        edition: local.on.to_string(),
        clause: format!("in place of {}", citation.clause),
        read: local.on.month(),
        seen: Seen::Text,
        note: None,
        at: local.at,
    };
    let cited = Arc::new(Cited::of(&said, Some(local.on)));
    let judged = match value {
        Some(value) => {
            let limit = Limit {
                value: Some(value),
                by_class: Vec::new(),
                adjust: &[],
                citation: &said,
                since: local.on,
            };
            (bound.kind.observe)(bound, facts, &limit)
        }
        None => {
            let why = format!(
                "the local limit {} does not measure what `{}` compares",
                local.value.text(),
                bound.rule.id
            );
            let subject = Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone());
            vec![Judged::new(
                subject,
                Known::gap(why, vec![local.at]),
                Working::default(),
            )]
        }
    };
    conclude(bound, facts, advisory, true, judged, &cited, findings);
}

fn conclude(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    advisory: bool,
    local: bool,
    judged: Vec<Judged>,
    citation: &Arc<Cited>,
    findings: &mut Vec<Finding>,
) {
    let judged = if judged.is_empty() {
        vec![nothing_here(facts)]
    } else {
        judged
    };
    let ruled = Ruled::of(bound.rule, &facts.pack.id);
    for judged in judged {
        let mut citation = Arc::clone(citation);
        if let Some((document, clause)) = judged.source {
            let own = Arc::make_mut(&mut citation);
            (own.document, own.clause) = (document, clause);
        }
        findings.push(Finding::of(Made {
            ruled: &ruled,
            advisory,
            local,
            subject: judged.subject,
            outcome: Some(judged.outcome),
            working: judged.working,
            citation,
            advice: judged.advice,
        }));
    }
}

fn nothing_here(facts: &Facts<'_>) -> Judged {
    let compared = Compared::Plain {
        observed: "nothing here that this rule is about".into(),
        wanted: String::new(),
        stage: Stage::Idle,
    };
    let subject = Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone());
    Judged::new(
        subject,
        Known::Yes(Fact {
            value: compared,
            evidence: Evidence::none(),
        }),
        Working::new(facts.tables.shop.us),
    )
}

fn idle(
    bound: &Bound<'_>,
    facts: &Facts<'_>,
    advisory: bool,
    citation: Option<Cited>,
    findings: &mut Vec<Finding>,
) {
    let Some(citation) = citation else { return };
    findings.push(Finding::of(Made {
        ruled: &Ruled::of(bound.rule, &facts.pack.id),
        advisory,
        local: false,
        subject: Subject::new(SubjectKind::Shop, facts.tables.shop.name.clone()),
        outcome: None,
        working: Working::new(facts.tables.shop.us),
        citation: Arc::new(citation),
        advice: None,
    }));
}

/// Where several packs put a number to the same question about the same subject, marks the one with least to spare.
fn mark_tightest(findings: &mut [Finding]) {
    let mut groups: HashMap<(&'static str, Exact, &Subject), Vec<usize>> = HashMap::new();
    for (at, finding) in findings.iter().enumerate() {
        if let Some(Compared::AtMost { observed, .. } | Compared::AtLeast { observed, .. }) =
            &finding.compared
        {
            let key = (finding.topic, observed.base, &finding.subject);
            groups.entry(key).or_default().push(at);
        }
    }
    let mut tightest = Vec::new();
    for group in groups.into_values() {
        let packs: std::collections::BTreeSet<&str> = group
            .iter()
            .filter_map(|at| findings.get(*at))
            .map(|f| &*f.pack)
            .collect();
        if packs.len() < 2 {
            continue;
        }
        let spare = |finding: &Finding| match &finding.compared {
            Some(Compared::AtMost { observed, limit }) => limit.base.minus(observed.base).ok(),
            Some(Compared::AtLeast { observed, limit }) => observed.base.minus(limit.base).ok(),
            Some(Compared::Staged { .. } | Compared::Estimated { .. } | Compared::Plain { .. })
            | None => None,
        };
        let least = group
            .iter()
            .filter_map(|at| findings.get(*at))
            .filter_map(spare)
            .min();
        tightest.extend(
            group
                .into_iter()
                .filter(|at| findings.get(*at).and_then(spare) == least),
        );
    }
    for at in tightest {
        if let Some(finding) = findings.get_mut(at) {
            finding.tightest = true;
        }
    }
}

//! Bound rules over the facts of a day: every rule yields at least one finding, and every exception that met nothing
//! is named.

use super::bind::Bound;
use super::one_rule::findings_of_rule;
use super::tightest::mark_tightest;
use super::waits::Waits;
use crate::fact::{Facts, Hazards, ShopOnDay, hazards};
use crate::finding::{Finding, Verdict, accept};
use crate::pack::{Pack, TOPICS};
use crate::parallel::{cores, take_each};
use crate::record::{Acceptance, ContainerId, ShopTables};
use crate::stock::Stock;
use crate::trade::{Asked, ReferenceData};
use crate::vapour::month::sessions;
use crate::vapour::session::Sessions;
use std::collections::HashSet;
use std::sync::Arc;

/// From so many containers on, several rules are held against the facts at once.
const SIDE_BY_SIDE: usize = 256;
/// More threads than this would wait for memory.
const MOST_THREADS: usize = 4;

/// How many findings a large shop has for each container.
const FOR_EACH_CONTAINER: usize = 6;

/// All that an audit concluded.
pub struct Checked<'a> {
    /// Findings, most urgent first.
    pub findings: Vec<Finding>,
    /// Acceptances that met no finding.
    pub idle: Vec<&'a Acceptance>,
    /// For each pack, the title of each container's class, if it is known.
    pub classes: Vec<(String, Vec<Option<String>>)>,
    /// What each product is.
    pub hazards: Hazards,
    /// The sessions of the last month, and what they did to the air.
    pub sessions: Sessions,
    /// The round of this shop.
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
    let rules = bound.iter().flat_map(|(_, rules)| rules);
    let questions_read = rules
        .filter_map(|rule| rule.question().map(|told| told.value.as_str()))
        .collect();
    let day = ShopOnDay {
        tables,
        stock,
        reference,
        sessions: &sessions,
        hazards: &hazards,
        questions_read: &questions_read,
    };
    let facts = bound.iter().map(|(pack, _)| Facts::new(day, pack));
    let facts: Vec<Facts<'_>> = facts.collect();
    let pairs = facts.iter().zip(bound);
    let work = pairs.flat_map(|(facts, (_, rules))| rules.iter().map(move |rule| (facts, rule)));
    let (mut findings, waits) = hold(&work.collect::<Vec<_>>());
    mark_tightest(&mut findings);
    let idle = accept(&mut findings, &tables.accepted, stock.on);
    let findings = by_urgency(findings);
    let round = round(tables, stock, reference, &waits, &findings);
    Checked {
        findings,
        idle,
        classes: facts.iter().map(class_titles).collect(),
        hazards,
        sessions,
        round,
    }
}

/// What every rule finds against the facts of its pack, and the questions that wait for an answer. No rule knows of another. In a
/// small shop a thread costs more than it saves.
fn hold(work: &[(&Facts<'_>, &Bound<'_>)]) -> (Vec<Finding>, Waits) {
    let containers = work
        .first()
        .map_or(0, |(facts, _)| facts.tables.containers.len());
    let threads = match containers {
        ..SIDE_BY_SIDE => 1,
        SIDE_BY_SIDE.. => cores().min(MOST_THREADS),
    };
    // Each goes into the one list at once, which has room for them from the start: a large shop has some ten thousand findings.
    let mut findings: Vec<Finding> = Vec::with_capacity(FOR_EACH_CONTAINER * containers);
    let mut ranges = vec![0..0; work.len()];
    let find = |(facts, rule): &(&Facts<'_>, &Bound<'_>)| findings_of_rule(rule, facts);
    take_each(work, threads, find, |at, found| {
        let start = findings.len();
        findings.extend(found);
        ranges[at] = start..findings.len();
    });
    let mut waits = Waits::default();
    for ((facts, rule), range) in work.iter().zip(ranges) {
        waits.note(facts, rule, &findings[range]);
    }
    (findings, waits)
}

/// A pack, with the title of each container's class.
fn class_titles(facts: &Facts<'_>) -> (String, Vec<Option<String>>) {
    let containers = ContainerId::each(&facts.tables.containers);
    let titles = containers.map(|(container, _)| facts.class_title(container).map(str::to_string));
    (facts.pack.id.clone(), titles.collect())
}

/// The questions of the round, without those that no rule waits for and that rules answer by themselves.
fn round<'a>(
    tables: &ShopTables,
    stock: &Stock,
    reference: &'a ReferenceData,
    waits: &Waits,
    findings: &[Finding],
) -> Vec<Asked<'a>> {
    let mut round = reference.round.asked(tables, stock.on, &waits.0);
    // Gathered once: a large shop has very many findings and questions.
    let judged: HashSet<&str> = findings
        .iter()
        .filter(|f| !matches!(f.verdict, Verdict::CannotJudge | Verdict::NotInForce))
        .map(|finding| &*finding.rule.id)
        .collect();
    let judged = |rule: &str| judged.contains(rule);
    round.retain(|asked| {
        waits.0.contains_key(&asked.question.check) || !reference.worked_out.answers(asked, judged)
    });
    round
}

/// Rags first among equals, then by how much the rule weighs, then by topic, rule and subject. Findings are large, so their
/// order is found first, and then each is moved once.
fn by_urgency(mut findings: Vec<Finding>) -> Vec<Finding> {
    let topic = |finding: &Finding| TOPICS.iter().position(|t| *t == finding.rule.topic);
    let weight = |f: &Finding| (f.is_accepted(), f.verdict, f.severity, topic(f));
    // One number for each rule, so that its name is not compared again for each of its findings.
    let mut rules: Vec<(&str, &str)> = findings
        .iter()
        .map(|f| (&*f.rule.pack, &*f.rule.id))
        .collect();
    rules.dedup();
    rules.sort_unstable();
    rules.dedup();
    let rule = |f: &Finding| rules.binary_search(&(&*f.rule.pack, &*f.rule.id));
    let mut order: Vec<_> = findings
        .chunk_by(|a, b| Arc::ptr_eq(&a.rule.id, &b.rule.id))
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
    put_in_order(&mut findings, &order);
    findings
}

/// Moves what stands at `order[n]` to `n`, for each n, without a second list.
fn put_in_order<T>(list: &mut [T], order: &[usize]) {
    for at in 0..list.len() {
        let mut from = order[at];
        // What stood there was swapped away when that place was filled.
        while from < at {
            from = order[from];
        }
        list.swap(at, from);
    }
}

#[cfg(test)]
mod tests {
    use super::put_in_order;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn each_comes_to_its_place(order in Just((0..40).collect::<Vec<usize>>()).prop_shuffle()) {
            let mut list: Vec<usize> = (0..40).collect();
            put_in_order(&mut list, &order);
            prop_assert_eq!(list, order);
        }
    }
}

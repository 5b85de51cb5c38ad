//! Every name that a shop or a rule writes (rules in local limits, acceptances and actions; questions; places in answers)
//! is one that there is.

use super::bind::{Bound, bind};
use super::fault::CheckFault;
use crate::finding::NEVER_ACCEPTED;
use crate::pack::{Pack, Rule};
use crate::record::ShopTables;
use crate::text::{CellFault, Problem, Problems, Span};
use crate::trade::ReferenceData;

/// Binds every rule of the packs that are wanted, and sees that local limits and acceptances name rules that there are.
pub fn bind_all<'r>(
    packs: &'r [Pack],
    only: impl Fn(&Pack) -> bool,
    tables: &ShopTables,
    reference: &ReferenceData,
    problems: &mut Problems,
) -> Vec<(&'r Pack, Vec<Bound<'r>>)> {
    let mut bound = Vec::new();
    for pack in packs.iter().filter(|pack| only(pack)) {
        let rules = pack.rules.iter();
        let rules: Vec<Bound<'r>> = rules
            .filter_map(|rule| bind(rule, pack, problems))
            .collect();
        questions_known(&rules, reference, problems);
        bound.push((pack, rules));
    }
    rules_known(packs, tables, problems);
    never_accepted(packs, tables, problems);
    let mut rules = bound.iter().flat_map(|(_, rules)| rules);
    let are_reported = rules.any(|rule| rule.kind.reports_stray_answers);
    answers_known(tables, reference, are_reported, problems);
    bound
}

/// A name in a sorted list, or a problem.
fn known(name: &str, list: &[&str], (kind, at): (&'static str, Span), problems: &mut Problems) {
    if list.binary_search(&name).is_err() {
        let near = problems.near(name, list.iter().copied());
        let read = name.to_string();
        problems.add(Problem::new(
            CellFault::NameUnknown { kind, read, near },
            at,
        ));
    }
}

fn sorted(mut list: Vec<&str>) -> Vec<&str> {
    list.sort_unstable();
    list
}

fn questions(reference: &ReferenceData) -> Vec<&str> {
    let questions = reference.round.questions.iter();
    sorted(questions.map(|q| q.check.as_str()).collect())
}

/// A rule waits for the answer to a question that is asked.
pub fn questions_known(rules: &[Bound<'_>], reference: &ReferenceData, problems: &mut Problems) {
    let questions = questions(reference);
    for told in rules.iter().filter_map(Bound::question) {
        let read = told.value.clone();
        if questions.binary_search(&read.as_str()).is_err() {
            let near = problems.near(&read, questions.iter().copied());
            problems.add(Problem::new(
                CheckFault::QuestionUnknown { read, near },
                told.at,
            ));
        }
    }
}

fn rules_known(packs: &[Pack], tables: &ShopTables, problems: &mut Problems) {
    let names: Vec<String> = packs
        .iter()
        .flat_map(|p| {
            let rules = p.rules.iter();
            rules.flat_map(|r| [r.id.clone(), format!("{}/{}", p.id, r.id)])
        })
        .collect();
    let names = sorted(names.iter().map(String::as_str).collect());
    let limits = tables.shop.limits.iter();
    let limits = limits.map(|limit| (limit.rule.value.as_str(), limit.rule.at));
    let accepted = tables.accepted.iter().map(|a| (a.rule.as_str(), a.rule_at));
    let actions = tables.actions.iter();
    let actions = actions.filter_map(|a| Some((a.rule.as_deref()?, a.rule_at)));
    for (rule, at) in limits.chain(accepted).chain(actions) {
        known(rule, &names, ("rule", at), problems);
    }
}

fn never_accepted(packs: &[Pack], tables: &ShopTables, problems: &mut Problems) {
    for acceptance in &tables.accepted {
        let named =
            |r: &Rule| acceptance.rule == r.id || acceptance.rule.ends_with(&format!("/{}", r.id));
        let rules = packs.iter().flat_map(|p| &p.rules);
        if rules
            .filter(|r| named(r))
            .any(|r| r.topic == NEVER_ACCEPTED)
        {
            let code = CheckFault::NotAcceptable {
                rule: acceptance.rule.clone(),
            };
            problems.add(Problem::new(code, acceptance.rule_at));
        }
    }
}

/// An answer names a question that there is, and a thing that there is: a slip would leave an older yes standing. Answers to
/// questions that no pack asks any more may be old and true; where a rule reports them, they are no reason to stop.
fn answers_known(
    tables: &ShopTables,
    reference: &ReferenceData,
    are_reported: bool,
    problems: &mut Problems,
) {
    let questions = questions(reference);
    let places = tables.places.iter().map(|s| s.id.as_str());
    let rooms = tables.rooms.iter().map(|r| r.id.as_str());
    let fixtures = tables.fixtures.iter().flatten().map(|f| f.id.as_str());
    let containers = tables.containers.iter().map(|c| c.id.as_str());
    let things = places.chain(rooms).chain(fixtures).chain(containers);
    let things = sorted(things.collect());
    for answer in &tables.answers {
        let kind = ("check", answer.check_at);
        if !are_reported {
            known(&answer.check, &questions, kind, problems);
        }
        if !answer.place.is_empty() {
            let kind = ("place, room or fixture", answer.place_at);
            known(&answer.place, &things, kind, problems);
        }
    }
}

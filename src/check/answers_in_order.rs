//! Questions of the round that no rule reads: a "no" to one of them is reported here, so that it is never lost. So are answers
//! to questions that no rule pack asks any more.

use super::kind::{CheckKind, Judged, RuleCheck};
use crate::fact::{Evidence, Facts, Known, Working};
use crate::finding::{Compared, Concern, Detail, Stage, Subject, SubjectKind};
use crate::quantity::when::date;
use crate::record::Answer;
use crate::text::{nearest, the};
use crate::trade::Question;
use std::collections::BTreeMap;

pub(super) const KIND: CheckKind = CheckKind {
    name: "answers-in-order",
    concern: Concern::Other,
    asks: "Is no question of the round that other rules leave alone answered with no?",
    reports_stray_answers: true,
    unknown: "when there are answers to a question that no rule pack of the shop asks",
    source: "common practice, no source: a fault that was seen is open until someone sees that it is gone",
    parse: |_| Ok(Box::new(AnswersInOrder)),
    ..CheckKind::PLAIN
};

struct AnswersInOrder;

impl RuleCheck for AnswersInOrder {
    fn observe(&self, facts: &Facts<'_>) -> Vec<Judged> {
        let asked = facts.reference.round.questions.iter();
        let in_order = asked
            .filter(|question| !facts.questions_read.contains(question.check.as_str()))
            .filter_map(|question| {
                let wanting = wanting(facts, question);
                let last = wanting.iter().max_by_key(|answer| answer.when)?;
                Some(judged(facts, question, &wanting, last))
            });
        in_order.chain(stray(facts)).collect()
    }
}

/// Answers that no question belongs to: its pack is no longer named, or its word is misspelled. They count for nothing.
fn stray<'f>(facts: &'f Facts<'_>) -> impl Iterator<Item = Judged> + 'f {
    let round = &facts.reference.round;
    let mut stray: BTreeMap<&str, Vec<&Answer>> = BTreeMap::new();
    let answers = facts.tables.answers.iter();
    for answer in answers.filter(|answer| answer.when < facts.stock.close) {
        if round.find(&answer.check).is_none() {
            stray.entry(&answer.check).or_default().push(answer);
        }
    }
    stray.into_iter().map(move |(check, answers)| {
        let names = round.questions.iter().map(|question| question.check.as_str());
        let near = nearest(check, names);
        let correct = match near {
            Some(near) => format!("Correct \"{check}\" in checks.csv if \"{near}\" was meant"),
            None => format!("Correct the question \"{check}\" in checks.csv"),
        };
        let last = answers.iter().max_by_key(|answer| answer.when);
        let last = last.map_or_else(String::new, |last| {
            let said = match last.answer {
                Some(true) => "yes",
                Some(false) => "no",
                None => "not present",
            };
            format!(" The last one was {said} on {}.", date(last.when.day()))
        });
        let why = format!(
            "{correct}, or name the rule pack that asks it in shop.toml. No rule pack of the shop asks it, so its answers do not count.{last}"
        );
        let outcome = Known::gap(why, answers.iter().map(|answer| answer.check_at).collect());
        let subject = Subject::new(SubjectKind::Check, check);
        Judged::new(subject, outcome, Working::new(facts.tables.shop.us))
    })
}

/// The last answer about each thing, where it is "no", or "not present" although that is no good answer.
fn wanting<'f>(facts: &Facts<'f>, question: &Question) -> Vec<&'f Answer> {
    let mut last: BTreeMap<&str, &Answer> = BTreeMap::new();
    let answers = facts.tables.answers.iter();
    for answer in answers.filter(|a| a.check == question.check && a.when < facts.stock.close) {
        let known = last.entry(&answer.place).or_insert(answer);
        if answer.when >= known.when {
            *known = answer;
        }
    }
    let is_wanting = |answer: &&Answer| !answer.answer.unwrap_or(question.may_be_absent);
    last.into_values().filter(is_wanting).collect()
}

fn judged(facts: &Facts<'_>, question: &Question, wanting: &[&Answer], last: &Answer) -> Judged {
    let mut evidence = Evidence::none();
    for answer in wanting {
        evidence.add(answer.at);
    }
    let things: Vec<String> = wanting
        .iter()
        .filter(|answer| !answer.place.is_empty())
        .map(|answer| the(&answer.place))
        .collect();
    let places = match things.as_slice() {
        [] => String::new(),
        things => format!(" for {}", things.join(", ")),
    };
    let said = match last.answer {
        Some(_) => "no",
        None => "not present",
    };
    let observed = format!("answered {said} on {}{places}", date(last.when.day()));
    let outcome = Known::yes(Compared::plain(observed, "yes", Stage::Broken), evidence);
    let subject = Subject::new(SubjectKind::Check, question.check.clone());
    let detail = Detail::Answered {
        question: question.check.clone(),
        day: last.when.day(),
    };
    let mut judged =
        Judged::new(subject, outcome, Working::new(facts.tables.shop.us)).seeing(detail);
    judged.advice = Some(format!(
        "Put this right{places}: \"{}\" A yes needs: {}.",
        question.question, question.pass
    ));
    judged
}

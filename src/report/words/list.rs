//! What to do, as lines of text: now, today, this week, and what to find out, the most dangerous first.

use super::Wording;
use super::combine::{ActionEntry, combine, find_out};
use super::law::laws;
use super::line::{ActionLine, ActionList};
use super::order::rank;
use super::when::count;
use crate::audit::{Audit, Thing};
use crate::finding::{Detail, Finding, RagsAre, SubjectKind, Verdict};
use crate::quantity::Day;
use crate::quantity::when::short_date;
use crate::record::Action;
use crate::report::statements::NOTHING_OPEN;

/// The list of an audit.
pub fn action_list(audit: &Audit<'_>) -> ActionList {
    let wording = Wording::of_audit(audit);
    let (to_do, findings) = (audit.to_do(), audit.findings());
    let lines = |things: &[Thing]| {
        let mut entries: Vec<ActionEntry<'_>> = things
            .iter()
            .filter_map(|thing| wording.entry(thing, findings))
            .collect();
        entries.sort_by_key(|entry| rank(entry.finding, entry.at));
        combine(entries, &wording)
    };
    let mut unknown: Vec<(usize, &Finding)> = findings
        .iter()
        .enumerate()
        .filter(|(_, f)| f.verdict == Verdict::CannotJudge && !f.is_accepted())
        .filter(|(_, f)| f.subject.kind != SubjectKind::Rag)
        .collect();
    unknown.sort_by_key(|(at, finding)| rank(finding, *at));
    let mut list = ActionList {
        headline: String::new(),
        now: lines(&to_do.now),
        today: lines(&to_do.today),
        this_week: lines(&to_do.this_week),
        find_out: find_out(&unknown, &wording),
    };
    list.headline = headline(&list, findings);
    list
}

fn headline(list: &ActionList, findings: &[Finding]) -> String {
    if let Some(worst) = list.now.first().or(list.today.first()) {
        let rags = worst.findings.iter().filter_map(|at| findings.get(*at));
        let loose = rags.filter(|f| is_loose(f)).count() > 0;
        let fact = if worst.fact.is_empty() {
            &worst.text
        } else {
            &worst.fact
        };
        return if loose {
            format!("{fact} One oily rag can start a fire.")
        } else if worst.subjects.len() > 1 && !worst.fact_of_all {
            worst.words()
        } else {
            fact.clone()
        };
    }
    match (list.this_week.len(), list.find_out.len()) {
        (0, 0) => NOTHING_OPEN.to_string(),
        (0, facts) => format!(
            "{} unknown, so this audit is incomplete.",
            if facts == 1 {
                "1 fact is".to_string()
            } else {
                format!("{facts} facts are")
            }
        ),
        (things, 0) => format!(
            "Nothing is due today. {} to do this week.",
            count_things(things)
        ),
        (things, facts) => format!(
            "Nothing is due today. {} to do this week, and {} to find out.",
            count_things(things),
            count_things(facts)
        ),
    }
}

fn count_things(things: usize) -> String {
    count(i64::try_from(things).unwrap_or(i64::MAX), "thing")
}

fn is_loose(finding: &Finding) -> bool {
    matches!(
        finding.detail,
        Detail::Rags {
            how: RagsAre::LooseSelfHeating,
            ..
        }
    )
}

impl Wording<'_> {
    /// One thing to do by its most dangerous finding.
    fn entry<'f>(&self, thing: &Thing, findings: &'f [Finding]) -> Option<ActionEntry<'f>> {
        let own = || {
            let own = thing.findings.iter();
            own.filter_map(|at| Some((*at, findings.get(*at)?)))
        };
        let judged = own().filter(|(_, finding)| finding.verdict != Verdict::CannotJudge);
        let worst = judged.min_by_key(|(at, finding)| rank(finding, *at));
        let (at, finding) = worst.or_else(|| own().next())?;
        let loose: Vec<&Finding> = own().map(|(_, f)| f).filter(|f| is_loose(f)).collect();
        let (text, fact) = if loose.is_empty() {
            (self.task(finding), self.short_fact(finding))
        } else {
            (self.rag_task(&loose), self.loose_rags(&loose))
        };
        let all: Vec<&Finding> = own().map(|(_, finding)| finding).collect();
        let shape = std::mem::discriminant(&finding.detail);
        let same = |other: &&&Finding| {
            std::mem::discriminant(&other.detail) == shape && other.verdict == finding.verdict
        };
        let mut alike = vec![finding];
        alike.extend(all.iter().filter(same).copied());
        let action = self.undertaken(thing, &all);
        let dated = matches!(finding.detail, Detail::LastDone { .. } | Detail::CanFilled);
        let due = action.and_then(|action| action.by);
        let due = due.or(thing.due.filter(|_| dated));
        let line = ActionLine {
            text,
            fact,
            says_all: matches!(finding.detail, Detail::Label | Detail::Located(_))
                || finding.verdict == Verdict::CannotJudge,
            fact_of_all: true,
            person: action.and_then(|action| action.who.clone()),
            due,
            deadline: due.map(|day| self.deadline(day)),
            law: laws(&alike),
            subjects: vec![thing.subject.clone()],
            findings: thing.findings.clone(),
        };
        Some(ActionEntry {
            at,
            finding,
            findings: thing.findings.clone(),
            line,
        })
    }

    fn deadline(&self, day: Day) -> String {
        match day.cmp(&self.on) {
            std::cmp::Ordering::Less => format!("overdue since {}", short_date(day, self.on)),
            std::cmp::Ordering::Equal => "due today".into(),
            std::cmp::Ordering::Greater => format!("by {}", short_date(day, self.on)),
        }
    }

    /// The open row of actions.csv that answers one of the findings about a thing.
    fn undertaken(&self, thing: &Thing, findings: &[&Finding]) -> Option<&Action> {
        let open = self.tables.actions.iter();
        let mut open = open.filter(|action| !action.is_done(self.on));
        open.find(|action| {
            let named = |rule: &str| findings.iter().any(|finding| finding.is_named(rule));
            let rule = action.rule.as_deref().is_none_or(named);
            let subject = match &action.subject {
                Some(subject) => *subject == thing.subject.id,
                None => action.rule.is_some(),
            };
            rule && subject
        })
    }
}

//! What is due, in words: for the calendar, the page and the bench.

use super::against::ActionRow;
use super::words::date;
use crate::audit::{Audit, Due, DueThing};
use crate::finding::Finding;
use crate::quantity::{Day, Period};
use crate::record::{Action, Container};
use crate::trade::Asked;

/// One thing that is due.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DueItem {
    /// The day; one that is past already stands here as it was.
    pub day: Day,
    /// The sort of thing, as the calendar's categories name it.
    pub kind: &'static str,
    /// What it is about, so that it is known again: with the kind and the shop's name this is its identity.
    pub subject: String,
    /// In a few words.
    pub title: String,
    /// What else a reader needs, paragraph by paragraph.
    pub text: Vec<String>,
}

/// All that is due in this shop, by day.
pub(super) fn due_items(audit: &Audit<'_>, actions: &[ActionRow<'_>]) -> Vec<DueItem> {
    let dues = audit.dues();
    let items = dues.iter().map(|due| in_words(audit, actions, due));
    let mut list: Vec<DueItem> = items.collect();
    list.sort();
    list
}

fn in_words(audit: &Audit<'_>, actions: &[ActionRow<'_>], due: &Due<'_>) -> DueItem {
    let item = |kind, subject, title, text| DueItem {
        day: due.day,
        kind,
        subject,
        title,
        text,
    };
    let of_finding =
        |kind, finding: &Finding, title| item(kind, subject(finding), title, vec![source(finding)]);
    match &due.what {
        DueThing::Test(finding) => {
            let title = format!("Test before use: {}", thing(audit, finding));
            of_finding("test", finding, title)
        }
        DueThing::UseBy(finding) => {
            let title = format!("Use by, or discard as waste: {}", thing(audit, finding));
            of_finding("use by", finding, title)
        }
        DueThing::Turns(finding) => {
            let title = format!("{}: {}", finding.rule.title, thing(audit, finding));
            of_finding("due", finding, title)
        }
        DueThing::BestBefore {
            container,
            is_waste,
        } => {
            let (kind, title) = best_before(container, *is_waste);
            let text = vec!["The date is `best_before` in inventory.csv.".into()];
            item(kind, format!("best_before: {}", container.id), title, text)
        }
        DueThing::Acceptance(finding) => {
            let title = format!(
                "Acceptance ends: {}, {}",
                finding.rule.title, finding.subject.id
            );
            let accepted = finding.accepted.iter();
            let accepted = accepted.map(|it| format!("Accepted by {}: {}", it.by, it.why));
            let text = accepted.chain([source(finding)]).collect();
            item("acceptance", subject(finding), title, text)
        }
        DueThing::Question(asked) => {
            let subject = format!("{}: {}", asked.question.check, asked.about);
            item("check", subject, named(asked), question(asked))
        }
        DueThing::Round { every, asked } => {
            let title = format!("Round, {}: {} checks", often(*every), asked.len());
            item("round", every.to_string(), title, round(*every, asked))
        }
        DueThing::Action(action) => {
            let who = action.who.as_deref().unwrap_or("person not recorded");
            let title = format!("{} ({who})", action.what);
            item(
                "action",
                action.id.clone(),
                title,
                promised(action, actions),
            )
        }
    }
}

fn subject(finding: &Finding) -> String {
    format!(
        "{}/{}: {}",
        finding.rule.pack, finding.rule.id, finding.subject.id
    )
}

/// What a finding is about, with the product in it.
fn thing(audit: &Audit<'_>, finding: &Finding) -> String {
    let (tables, id) = (&audit.shop.tables, finding.subject.id.as_str());
    let present = tables.container(id);
    let present = present.filter(|at| audit.stock.present(tables, *at));
    match present.map(|at| &tables[at]) {
        Some(container) => format!("{id}, {}", container.product),
        None => id.to_string(),
    }
}

fn source(finding: &Finding) -> String {
    let cited = &finding.citation;
    format!(
        "{} [{}/{}]. Source: {}, {}, {}.",
        finding.rule.title,
        finding.rule.pack,
        finding.rule.id,
        cited.document,
        cited.edition,
        cited.clause
    )
}

fn best_before(container: &Container, is_waste: bool) -> (&'static str, String) {
    let (kind, lead) = match is_waste {
        true => ("waste", "Waste to remove"),
        false => ("use by", "Use-by date of the maker"),
    };
    let title = format!("{lead}: {}, {}", container.id, container.product);
    (kind, title)
}

fn question(asked: &Asked<'_>) -> Vec<String> {
    vec![
        format!("Yes means: {}.", asked.question.pass),
        format!(
            "Due {}. Answer `{}` in checks.csv. Source: {}.",
            often(asked.every),
            asked.question.check,
            asked.source
        ),
    ]
}

fn round(every: Period, asked: &[&Asked<'_>]) -> Vec<String> {
    let lead = format!(
        "Print the round with `sandarac round`. These checks are due {}:",
        often(every)
    );
    let lines = asked.iter().map(|asked| {
        format!(
            "{}: {} [{}]",
            date(asked.due),
            named(asked),
            asked.question.check
        )
    });
    std::iter::once(lead).chain(lines).collect()
}

fn promised(action: &Action, rows: &[ActionRow<'_>]) -> Vec<String> {
    let row = rows.iter().find(|row| row.action.id == action.id);
    let close = "Close it in actions.csv with the day and your initials.";
    let words = row.map(ActionRow::words).into_iter();
    words.chain([close.to_string()]).collect()
}

/// `every day`, `every 31 days`.
pub(super) fn often(every: Period) -> String {
    let interval = every.to_string();
    format!("every {}", interval.strip_prefix("1 ").unwrap_or(&interval))
}

fn named(asked: &Asked<'_>) -> String {
    if asked.about.is_empty() {
        asked.question.question.clone()
    } else {
        format!("{} ({})", asked.question.question, asked.about)
    }
}

//! What is due, and on which day: finishes to test or throw out, checks, services, waste, acceptances, actions.

use super::against::{ActionRow, ActionState};
use super::shelf::StockRow;
use super::words::date;
use crate::check::Checked;
use crate::finding::{Compared, Finding};
use crate::quantity::{Day, Period};
use crate::record::{ProductKind, ShopTables};
use crate::trade::{Asked, NEXT_ROUND};
use std::collections::{BTreeMap, BTreeSet, HashMap};

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

/// Questions asked less often than monthly stand alone; the others are put together by how often they are asked.
fn alone(span: Period) -> bool {
    match span {
        Period::Months(months) => months > 1,
        Period::Days(days) => Period::Days(days) != NEXT_ROUND && days > 31,
        Period::Hours(_) | Period::Minutes(_) => false,
    }
}

/// All that is due in this shop, by day.
pub(super) fn dues(
    tables: &ShopTables,
    audit: &Checked<'_>,
    (on, stock, actions): (Day, &[StockRow], &[ActionRow<'_>]),
) -> Vec<DueItem> {
    let products: HashMap<&str, &str> = stock
        .iter()
        .map(|row| (row.container.as_str(), row.product.as_str()))
        .collect();
    let mut list = Vec::new();
    for finding in &audit.findings {
        let product = products.get(finding.subject.id.as_str());
        list.extend(turning(finding, on, product.copied()));
    }
    list.extend(stock.iter().filter_map(|row| best_before(tables, row)));
    acceptances(&audit.findings, &mut list);
    rounds(&audit.round, &mut list);
    list.extend(actions.iter().filter_map(promised));
    list.sort();
    list
}

fn source(finding: &Finding) -> String {
    let cited = &finding.citation;
    format!(
        "{} [{}/{}]. Source: {}, {}, {}.",
        finding.title, finding.pack, finding.rule, cited.document, cited.edition, cited.clause
    )
}

/// The days of a finding that counts days. Those that wait for an answer of the round come with the round.
fn turning(finding: &Finding, on: Day, product: Option<&str>) -> Vec<DueItem> {
    let Some(turns) = finding.turns(on).filter(|_| finding.asks.is_none()) else {
        return Vec::new();
    };
    let id = finding.subject.id.as_str();
    let what = product.map_or_else(|| id.to_string(), |product| format!("{id}, {product}"));
    let kept = matches!(finding.compared, Some(Compared::Staged { .. }));
    let due = |day, kind, title| DueItem {
        day,
        kind,
        subject: format!("{}/{}: {id}", finding.pack, finding.rule),
        title,
        text: vec![source(finding)],
    };
    // A test that is due is not said again once the thing is past its last day.
    let not_past = turns.limit.is_none_or(|last| last >= on);
    let warn = turns.warn.filter(|_| not_past);
    let warn = warn.map(|day| due(day, "test", format!("Test before use: {what}")));
    let last = turns.limit.map(|day| {
        if kept {
            let title = format!("Use by, or discard as waste: {what}");
            due(day, "use by", title)
        } else {
            due(day, "due", format!("{}: {what}", finding.title))
        }
    });
    warn.into_iter().chain(last).collect()
}

/// The maker's day; of a waste container, the day the shop wrote down for it to go.
fn best_before(tables: &ShopTables, row: &StockRow) -> Option<DueItem> {
    let day = row.best_before?;
    let waste = tables.kind_of(&row.product) == Some(ProductKind::Waste);
    let (kind, lead) = if waste {
        ("waste", "Waste to remove")
    } else {
        ("use by", "Use-by date of the maker")
    };
    Some(DueItem {
        day,
        kind,
        subject: format!("best_before: {}", row.container),
        title: format!("{lead}: {}, {}", row.container, row.product),
        text: vec!["The date is `best_before` in inventory.csv.".into()],
    })
}

/// An action that is not closed, and has a day.
fn promised(row: &ActionRow<'_>) -> Option<DueItem> {
    let day = row.action.by.filter(|_| row.state != ActionState::Closed)?;
    let who = row.action.who.as_deref().unwrap_or("person not recorded");
    Some(DueItem {
        day,
        kind: "action",
        subject: row.action.id.clone(),
        title: format!("{} ({who})", row.action.what),
        text: vec![
            row.words(),
            "Close it in actions.csv with the day and your initials.".into(),
        ],
    })
}

fn acceptances(findings: &[Finding], list: &mut Vec<DueItem>) {
    let mut seen = BTreeSet::new();
    for finding in findings.iter().filter(|f| f.is_accepted()) {
        let Some(accepted) = &finding.accepted else {
            continue;
        };
        let subject = format!("{}/{}: {}", finding.pack, finding.rule, finding.subject.id);
        if seen.insert(subject.clone()) {
            list.push(DueItem {
                day: accepted.until,
                kind: "acceptance",
                title: format!("Acceptance ends: {}, {}", finding.title, finding.subject.id),
                subject,
                text: vec![
                    format!("Accepted by {}: {}", accepted.by, accepted.why),
                    source(finding),
                ],
            });
        }
    }
}

/// The round: one day for all that is asked equally often; the rarer questions each for itself.
fn rounds(round: &[Asked<'_>], list: &mut Vec<DueItem>) {
    let mut together: BTreeMap<String, Vec<&Asked<'_>>> = BTreeMap::new();
    for asked in round {
        let question = asked.question;
        if alone(asked.every) {
            list.push(DueItem {
                day: asked.due,
                kind: "check",
                subject: format!("{}: {}", question.check, asked.about),
                title: named(asked),
                text: vec![
                    format!("Yes means: {}.", question.pass),
                    format!(
                        "Due {}. Answer `{}` in checks.csv. Source: {}.",
                        every(&asked.every.to_string()),
                        question.check,
                        asked.source
                    ),
                ],
            });
        } else {
            let key = asked.every.to_string();
            together.entry(key).or_default().push(asked);
        }
    }
    for (interval, mut group) in together {
        group.sort_by_key(|asked| asked.due);
        let Some(first) = group.first() else { continue };
        let lead = format!(
            "Print the round with `sandarac round`. These checks are due {}:",
            every(&interval)
        );
        let lines = group.iter().map(|asked| {
            format!(
                "{}: {} [{}]",
                date(asked.due),
                named(asked),
                asked.question.check
            )
        });
        list.push(DueItem {
            day: first.due,
            kind: "round",
            subject: interval.clone(),
            title: format!("Round, {}: {} checks", every(&interval), group.len()),
            text: std::iter::once(lead).chain(lines).collect(),
        });
    }
}

/// `every day`, `every 31 days`.
pub(super) fn every(interval: &str) -> String {
    format!("every {}", interval.strip_prefix("1 ").unwrap_or(interval))
}

fn named(asked: &Asked<'_>) -> String {
    if asked.about.is_empty() {
        asked.question.question.clone()
    } else {
        format!("{} ({})", asked.question.question, asked.about)
    }
}

//! What is on the shelf to be mixed, oldest first, and whether its age and its tests let it.
//!
//! The verdict is the audit's own: what is past its keeping time there is not mixed here.

use super::run::Checked;
use crate::finding::{Concern, Finding, SubjectKind, Verdict};
use crate::quantity::when::date;
use crate::quantity::{Amount, Day};
use crate::record::{ContainerId, ShopTables};
use crate::stock::{ContainerState, Stock, TrialResult};

/// Whether a thing may be mixed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fit {
    /// It may.
    Good,
    /// Only once it has passed a test; why.
    TestFirst(String),
    /// No; why.
    Unfit(String),
}

/// One container on the shelf.
#[derive(Clone, Debug)]
pub struct Standing<'a> {
    pub container: ContainerId,
    pub id: &'a str,
    pub product: &'a str,
    /// Lots of flakes that are in it.
    pub lots: &'a [String],
    /// What it holds; `None` is unknown.
    pub held: Option<Amount>,
    /// The day it was made, opened or got here.
    pub since: Option<Day>,
    /// May it be mixed?
    pub fit: Fit,
}

/// Every container that is there on the day and that `wanted` picks, oldest first.
pub fn standing<'a>(
    tables: &'a ShopTables,
    stock: &'a Stock,
    audit: &Checked<'_>,
    wanted: impl Fn(ContainerId) -> bool,
) -> Vec<Standing<'a>> {
    let mut list: Vec<Standing<'a>> = ContainerId::each(&tables.containers)
        .filter(|(container, _)| stock.present(tables, *container) && wanted(*container))
        .map(|(container, row)| {
            let contents = &stock[container];
            Standing {
                container,
                id: &row.id,
                product: &row.product,
                lots: &contents.lots,
                held: contents.amount,
                since: contents.made.or(contents.opened).or(row.since),
                fit: fit(contents, audit, &row.id),
            }
        })
        .collect();
    list.sort_by_key(|standing| (standing.since, standing.container));
    list
}

fn fit(contents: &ContainerState, audit: &Checked<'_>, id: &str) -> Fit {
    if let Some(trial) = contents
        .trial
        .filter(|trial| trial.result == TrialResult::Fail)
    {
        return Fit::Unfit(format!(
            "failed the {} test on {}",
            trial.test,
            date(trial.day)
        ));
    }
    let about = audit.findings.iter().find(|finding| {
        finding.rule.concern == Concern::ShelfLife
            && finding.subject.kind == SubjectKind::Container
            && finding.subject.id == id
    });
    let Some(finding) = about else {
        return Fit::Good;
    };
    match finding.verdict {
        Verdict::Breach => Fit::Unfit(past(finding)),
        Verdict::Near if finding.unconfirmed => Fit::Unfit(past(finding)),
        Verdict::Near => Fit::TestFirst(format!("due for a test: {}", against(finding))),
        Verdict::CannotJudge => Fit::TestFirst(finding.said.join("; ")),
        Verdict::Meets | Verdict::NotInForce => Fit::Good,
    }
}

fn past(finding: &Finding) -> String {
    format!("past its shelf life: {}", against(finding))
}

fn against(finding: &Finding) -> String {
    match finding.limit.is_empty() {
        true => finding.observed.clone(),
        false => format!("{}, limit {}", finding.observed, finding.limit),
    }
}

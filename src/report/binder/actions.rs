//! Tab 7: corrective actions, accepted findings, and what changed since the earlier audit.

use super::context::Binder;
use super::parts::MOST;
use crate::finding::{NEVER_ACCEPTED, Verdict};
use crate::quantity::Day;
use crate::record::Acceptance;
use crate::report::against::{ActionRow, ActionState, FindingChange};
use crate::report::columns::{Listing, TableCell};
use crate::report::earlier::Tally;
use crate::report::html::{name, nothing, on_day, prose, verdict};
use maud::{Markup, html};

/// Rows of the table of actions with those to write by hand, and the least of the latter.
const BY_HAND: usize = 14;
const BY_HAND_LEAST: usize = 4;

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let closed = binder
        .tables
        .actions
        .iter()
        .filter_map(|action| action.closed);
    let latest = closed.filter(|day| *day <= binder.view.on).max();
    let part = html! {
        h3 { "Undertaken" }
        (undertaken(binder))
        (by_hand(binder))
        h3 { "Accepted" }
        (accepted(binder))
        (against(binder))
    };
    (latest, part)
}

/// Every action; one that was closed longer ago than the audit remembers is closed.
fn every_action<'a>(binder: &Binder<'a>) -> Vec<ActionRow<'a>> {
    let known = &binder.view.actions;
    let actions = binder.tables.actions.iter();
    let rows = actions.map(|action| {
        let known = known.iter().find(|row| row.action.id == action.id);
        known.cloned().unwrap_or(ActionRow {
            action,
            state: ActionState::Closed,
            remark: None,
        })
    });
    let mut list: Vec<ActionRow<'a>> = rows.collect();
    list.sort_by_key(|row| (row.state, row.action.by.is_none(), row.action.by));
    list
}

fn undertaken(binder: &Binder<'_>) -> Markup {
    if binder.tables.actions.is_empty() {
        return nothing(if binder.has("actions.csv") {
            "actions.csv is empty. No action is on record."
        } else {
            "The shop has no actions.csv. No action is on record."
        });
    }
    let list = every_action(binder);
    let left = list.len().saturating_sub(MOST);
    let table = Listing::<ActionRow<'_>>::new("Actions")
.column("No.", |row| TableCell::Name(&row.action.id))
.column("Action", |row| TableCell::Name(&row.action.what))
.column("Rule and subject", |row| {
            html! {
                @if let Some(rule) = &row.action.rule { (name(rule)) }
                @if let Some(subject) = &row.action.subject { ", " (name(subject)) }
            }
        })
.column("Who", |row| TableCell::recorded(row.action.who.as_deref()))
.column("By", |row| match row.action.by {
            Some(day) => day.into(),
            None => TableCell::from("no date"),
        })
.column("State", |row| match row.state {
            ActionState::Late => html! { strong { "OVERDUE" } },
            ActionState::Open | ActionState::Closed => html! { (row.state.word()) },
        })
.column("Closed", |row| {
            html! {
                @if let Some(day) = row.action.closed { (on_day(day)) }
                @if let Some(initials) = &row.action.initials { ", " (name(initials)) }
            }
        })
.column("Remark", |row| {
            html! {
                @if let Some(note) = &row.action.note { (name(note)) @if row.remark.is_some() { "; " } }
                @if let Some(remark) = row.remark { (remark) }
            }
        })
.rows(|row| row.action.at)
        .mark("data-action", |row| Some(&row.action.id));
    html! {
        (binder.table(&table, list.iter().take(MOST)))
        @if left > 0 { p { strong { (left) " more are in tables/actions.csv." } } }
    }
}

/// Rows to write on, until the table has them.
fn by_hand(binder: &Binder<'_>) -> Markup {
    let rows = BY_HAND.saturating_sub(binder.tables.actions.len());
    html! {
        h3 { "To add by hand" }
        table.by-hand aria-label="To add by hand" {
            thead { tr { @for head in ["What", "Who", "By", "Closed, initials"] { th scope="col" { (head) } } } }
            tbody { @for _ in 0..rows.max(BY_HAND_LEAST) { tr { td {} td {} td {} td {} } } }
        }
    }
}

fn accepted(binder: &Binder<'_>) -> Markup {
    let table = Listing::<Acceptance>::new("Accepted")
        .column("Rule", |it| TableCell::Name(&it.rule))
        .column("About", |it| TableCell::Name(&it.subject))
        .column("Why", |it| TableCell::Name(&it.why))
        .column("By", |it| TableCell::Name(&it.by))
        .column("Until", |it| it.until)
        .column("State", |it| acceptance_state(binder, it))
        .rows(|it| it.at)
        .empty("No finding is accepted.");
    html! {
        (binder.table(&table, &binder.tables.accepted))
        @if !binder.tables.accepted.is_empty() {
            p.faint { "An accepted finding stays open in every count. A finding about " (NEVER_ACCEPTED) " cannot be accepted." }
        }
    }
}

fn acceptance_state(binder: &Binder<'_>, accepted: &Acceptance) -> &'static str {
    let met = binder.view.findings.iter().any(|finding| {
        let named = finding.is_named(&accepted.rule);
        named && accepted.subject == finding.subject.id && finding.accepted.is_some()
    });
    match (met, accepted.until < binder.view.on) {
        (true, false) => "holds",
        (true, true) => "EXPIRED, and the finding is still open",
        (false, _) => "matches no open finding",
    }
}

fn against(binder: &Binder<'_>) -> Markup {
    let against = &binder.view.against;
    html! {
        h3 { "Changes since the last audit" }
        @match &against.earlier {
            None => (nothing("The reports of this shop hold no earlier audit. Changes are therefore unknown.")),
            Some((file, day)) => {
                p { "Compared with the audit of " (on_day(*day)) ", " code { (prose(file)) } "." }
                div.changes {
                    (changes(binder, "New", &against.new))
                    (changes(binder, "Still open", &against.standing))
                    (changes(binder, "Cleared", &against.cleared))
                }
            }
        }
        @for (file, why) in &against.passed_over {
            p { "Skipped: " code { (prose(file)) } ", because " (prose(why)) "." }
        }
        @if against.trend.len() > 1 { (trend(binder)) }
    }
}

fn changes(binder: &Binder<'_>, title: &str, list: &[FindingChange]) -> Markup {
    let left = list.len().saturating_sub(MOST);
    let table = Listing::<FindingChange>::new(title)
        .column("About", |change| TableCell::Name(&change.key.subject))
        .column("Rule", |change| change.title.clone())
        .column(
            "Was",
            |change| html! { @if let Some(was) = change.was { (verdict(was)) } },
        )
        .column(
            "Is",
            |change| html! { @match change.is { Some(is) => (verdict(is)), None => "gone" } },
        )
        .column("Open since", |change| change.since);
    html! {
        h4 { (title) " " span.faint { (list.len()) } }
        @if !list.is_empty() {
            (binder.table(&table, list.iter().take(MOST)))
            @if left > 0 { p { strong { "And " (left) " more, in audit.json." } } }
        }
    }
}

fn trend(binder: &Binder<'_>) -> Markup {
    let title = "Counts of each audit";
    let count = |tally: &Tally, verdict: Verdict| {
        let count = tally.counts.get(verdict.word());
        count.map(usize::to_string)
    };
    let table = Listing::<Tally>::new(title)
        .column("Audit of", |tally| tally.on.clone())
        .number("Over the limit", move |tally| count(tally, Verdict::Breach))
        .number("Unknown", move |tally| count(tally, Verdict::CannotJudge))
        .number("Close or due", move |tally| count(tally, Verdict::Near));
    html! {
        h4 { (title) }
        (binder.table(&table, &binder.view.against.trend))
    }
}

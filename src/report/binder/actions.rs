//! Tab 7: corrective actions, accepted findings, and what changed since the earlier audit.

use super::context::Binder;
use super::parts::MOST;
use crate::finding::{NEVER_ACCEPTED, Verdict};
use crate::quantity::Day;
use crate::record::{Acceptance, Action};
use crate::report::against::{ActionState, FindingChange};
use crate::report::html::{dated, name, nothing, on_day, prose, table, verdict};
use maud::{Markup, html};

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
        h3 { "Accepted" }
        (accepted(binder))
        (against(binder))
    };
    (latest, part)
}

/// The state of an action; one that was closed longer ago than the audit remembers is closed.
fn state(binder: &Binder<'_>, action: &Action) -> (ActionState, Option<&'static str>) {
    let shown = binder
        .view
        .actions
        .iter()
        .find(|row| row.action.id == action.id);
    shown.map_or((ActionState::Closed, None), |row| (row.state, row.remark))
}

fn undertaken(binder: &Binder<'_>) -> Markup {
    if binder.tables.actions.is_empty() {
        return nothing(if binder.has("actions.csv") {
            "actions.csv is empty. No action is on record."
        } else {
            "The shop has no actions.csv. No action is on record."
        });
    }
    let mut list: Vec<(&Action, ActionState, Option<&str>)> = Vec::new();
    for action in &binder.tables.actions {
        let (state, remark) = state(binder, action);
        list.push((action, state, remark));
    }
    list.sort_by_key(|(action, state, _)| (*state, action.by.is_none(), action.by));
    let left = list.len().saturating_sub(MOST);
    let heads = [
        "No.",
        "Action",
        "Rule and subject",
        "Who",
        "By",
        "State",
        "Closed",
        "Remark",
        "Row",
    ];
    html! {
        (table("Actions", &heads, &html! { tbody {
            @for (action, state, remark) in list.iter().take(MOST) {
                tr data-action=(action.id) {
                    th scope="row" { (name(&action.id)) }
                    td { (name(&action.what)) }
                    td {
                        @if let Some(rule) = &action.rule { (name(rule)) }
                        @if let Some(subject) = &action.subject { ", " (name(subject)) }
                    }
                    td { @match &action.who { Some(who) => (name(who)), None => "not recorded" } }
                    td { @match action.by { Some(day) => (dated(day)), None => "no date" } }
                    td { @if *state == ActionState::Late { strong { "OVERDUE" } } @else { (state.word()) } }
                    td { @if let Some(day) = action.closed { (dated(day)) } @if let Some(initials) = &action.initials { ", " (name(initials)) } }
                    td {
                        @if let Some(note) = &action.note { (name(note)) @if remark.is_some() { "; " } }
                        @if let Some(remark) = remark { (remark) }
                    }
                    td.rows { (binder.row(action.at)) }
                }
            }
        } }))
        @if left > 0 { p { strong { (left) " more are in tables/actions.csv." } } }
    }
}

fn accepted(binder: &Binder<'_>) -> Markup {
    if binder.tables.accepted.is_empty() {
        return nothing("No finding is accepted.");
    }
    let heads = ["Rule", "About", "Why", "By", "Until", "State", "Row"];
    html! {
        (table("Accepted", &heads, &html! { tbody {
            @for accepted in &binder.tables.accepted {
                tr {
                    th scope="row" { (name(&accepted.rule)) }
                    td { (name(&accepted.subject)) }
                    td { (name(&accepted.why)) }
                    td { (name(&accepted.by)) }
                    td { (dated(accepted.until)) }
                    td { (location(binder, accepted)) }
                    td.rows { (binder.row(accepted.at)) }
                }
            }
        } }))
        p.faint { "An accepted finding stays open in every count. A finding about " (NEVER_ACCEPTED) " cannot be accepted." }
    }
}

fn location(binder: &Binder<'_>, accepted: &Acceptance) -> &'static str {
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
                (changes("New", &against.new))
                (changes("Still open", &against.standing))
                (changes("Cleared", &against.cleared))
            }
        }
        @for (file, why) in &against.passed_over {
            p { "Skipped: " code { (prose(file)) } ", because " (prose(why)) "." }
        }
        @if against.trend.len() > 1 { (trend(binder)) }
    }
}

fn changes(title: &str, list: &[FindingChange]) -> Markup {
    let left = list.len().saturating_sub(MOST);
    html! {
        h4 { (title) " " span.faint { (list.len()) } }
        @if !list.is_empty() {
            (table(title, &["About", "Rule", "Was", "Is", "Open since"], &html! { tbody {
                @for change in list.iter().take(MOST) {
                    tr {
                        th scope="row" { (name(&change.key.subject)) }
                        td { (prose(&change.title)) }
                        td { @if let Some(was) = change.was { (verdict(was)) } }
                        td { @match change.is { Some(is) => (verdict(is)), None => "gone" } }
                        td { (dated(change.since)) }
                    }
                }
            } }))
            @if left > 0 { p { strong { "And " (left) " more, in audit.json." } } }
        }
    }
}

fn trend(binder: &Binder<'_>) -> Markup {
    let words = [Verdict::Breach, Verdict::CannotJudge, Verdict::Near];
    html! {
        h4 { "Counts of each audit" }
        (table("Counts of each audit", &["Audit of", "#Over the limit", "#Unknown", "#Close or due"], &html! { tbody {
            @for tally in &binder.view.against.trend {
                tr {
                    th scope="row" { (prose(&tally.on)) }
                    @for verdict in words {
                        td.number { @match tally.counts.get(verdict.word()) { Some(count) => (count), None => "unknown" } }
                    }
                }
            }
        } }))
    }
}

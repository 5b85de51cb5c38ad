//! What an entry would do, on a page, before it is logged.

use super::sent::Sent;
use super::write::{Planned, against, broken};
use crate::audit::Shop;
use crate::record::What;
use crate::report::{EntryEffect, session_words};
use crate::stock::Stock;
use crate::vapour::month::sessions;
use maud::{Markup, html};

/// What the entry would do.
pub fn effect(planned: &Planned, sent: &Sent) -> Markup {
    let (before, plan) = (&planned.store.shop, &planned.plan);
    let problem = against(before, plan, sent);
    let entries: Vec<_> = sent.entries().collect();
    let effect = EntryEffect::find(before, plan, sent.what, &entries);
    html! {
        ul.effect {
            @for left in &effect.left {
                li {
                    bdi { (left.container) } ": " strong { (left.now) } " left"
                    @if let Some(was) = &left.was { ", was " (was) }
                    @if let Some(full) = &left.full { " (" (full) " full)" }
                }
            }
            @for rags in &effect.rags { li { (rags) } }
        }
        @if sent.what == Some(What::Use) {
            p { "Air of this session, estimated:" }
            ul { @for words in air(&plan.shop, &plan.after) { li { (words) } } }
        }
        @for warning in &effect.warnings { p.warning { (warning) } }
        @for finding in &plan.told { p.warning { "This breaks a rule: " (broken(plan, finding)) } }
        @if let Some(problem) = problem {
            div.problem role="alert" {
                p { strong { (problem.wrong) } }
                @for line in &problem.more { p { (line) } }
            }
        }
    }
}

/// The air of the session that the entry belongs to: the last one.
fn air(after: &Shop, stock: &Stock) -> Vec<String> {
    let sessions = sessions(&after.tables, stock);
    let last = sessions.list.iter().max_by_key(|session| session.began);
    last.map(session_words).unwrap_or_default()
}

//! What an entry would do, in words, before it is logged.

use super::sent::Sent;
use super::write::{Planned, against, broken};
use crate::audit::Shop;
use crate::quantity::{Amount, Exact, about_share, natural};
use crate::record::What;
use crate::report::session_words;
use crate::stock::{RagState, Stock};
use crate::text::clean;
use crate::vapour::month::sessions;
use maud::{Markup, html};

/// Said with every soiled rag. Times to a fire are in minutes and hours, and one rag has been enough.
const RAG: &str = "A rag wet with drying oil can set itself on fire, and one is enough. Put it under water or lay it flat \
                   outdoors before you leave.";

/// What the entry would do.
pub fn effect(planned: &Planned, sent: &Sent) -> Markup {
    let (before, plan) = (&planned.store.shop, &planned.plan);
    let problem = against(before, plan, sent);
    html! {
        ul.effect {
            @for name in touched(sent) {
                @if let Some(words) = left(before, plan, &name) { li { (words) } }
            }
            @for words in rags(&plan.shop, &plan.after, sent.cell("container")) { li { (words) } }
        }
        @if sent.what == Some(What::Use) {
            p { "Air of this session, estimated:" }
            ul { @for words in air(&plan.shop, &plan.after) { li { (words) } } }
        }
        @if sent.what == Some(What::Soil) { p.warning { (RAG) } }
        @for finding in &plan.told { p.warning { "This breaks a rule: " (broken(plan, finding)) } }
        @if let Some(problem) = problem {
            div.problem role="alert" {
                p { strong { (problem.wrong) } }
                @for line in &problem.more { p { (line) } }
            }
        }
    }
}

/// The containers that it changes.
fn touched(sent: &Sent) -> Vec<String> {
    let pours = matches!(sent.what, Some(What::Mix | What::Decant));
    let mut names: Vec<String> = Vec::new();
    for (column, name) in sent.entries().flatten() {
        let meant = *column == "container" || *column == "into" && pours;
        if meant && !name.is_empty() && !names.contains(name) {
            names.push(name.clone());
        }
    }
    names
}

fn held(shop: &Shop, stock: &Stock, name: &str) -> Option<Amount> {
    stock[shop.tables.container(name)?].amount
}

/// What is left in a container, and how full that is.
fn left(before: &Shop, plan: &crate::store::Plan, name: &str) -> Option<Markup> {
    let (after, us) = (&plan.shop, plan.shop.tables.shop.us);
    let row = &after.tables[after.tables.container(name)?];
    let now = held(after, &plan.after, name);
    let was = held(before, &plan.before, name).filter(|was| Some(*was) != now);
    let full = now
        .zip(row.capacity)
        .filter(|(now, capacity)| now.same_kind(*capacity));
    let full = full.and_then(|(now, capacity)| about_share(now.base(), capacity.base()));
    let shown = now.map_or_else(|| "an unknown amount".to_string(), |now| natural(now, us));
    Some(html! {
        bdi { (clean(&row.id)) } ": " strong { (shown) } " left"
        @if let Some(was) = was { ", was " (natural(was, us)) }
        @if let Some(full) = full { " (" (full) " full)" }
    })
}

/// Where the rags of a row would be that are not clean.
fn rags(after: &Shop, stock: &Stock, name: &str) -> Vec<String> {
    let contents = after.tables.container(name).map(|at| &stock[at]);
    let batches = contents.map_or(&[][..], |contents| &contents.cloth);
    let soiled = batches
        .iter()
        .filter(|batch| batch.state != RagState::Clean);
    soiled
        .map(|batch| {
            let place = after.tables.location_name(batch.location);
            let place = place.map_or_else(
                || "a place that is unknown".to_string(),
                |place| clean(&place),
            );
            let rags = match batch.pieces == Exact::ONE {
                true => "rag or pad",
                false => "rags or pads",
            };
            let (pieces, state) = (batch.pieces.digits(), batch.state.words());
            format!("{pieces} {rags} {state} at {place}")
        })
        .collect()
}

/// The air of the session that the entry belongs to: the last one.
fn air(after: &Shop, stock: &Stock) -> Vec<String> {
    let sessions = sessions(&after.tables, stock);
    let last = sessions.list.iter().max_by_key(|session| session.began);
    last.map(session_words).unwrap_or_default()
}

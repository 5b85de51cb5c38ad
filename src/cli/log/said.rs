//! What the program says when an entry is written: which, what is left, and what it brings.

use super::draft::Draft;
use super::held;
use crate::audit::Shop;
use crate::quantity::{Exact, natural};
use crate::record::{Vessel, What};
use crate::report::fill;
use crate::report::words::{Wording, moment};
use crate::stock::{RagState, Stock};
use crate::store::Plan;
use crate::text::{clean, the};

/// Said with every soiled rag. Times to a fire are in minutes and hours, and one rag has been enough.
const RAG: &str = "A rag wet with drying oil can set itself on fire, and one is enough. Before you leave, lay it flat outdoors, \
                   put it under water, or put it into the can.";

/// `wrote 207: use J-12 '6 fl oz'`
pub(super) fn written(draft: &Draft, entry: &str, when: &str, dry: bool, columns: usize) -> String {
    let command = draft.command();
    let words = command.strip_prefix("sandarac log ").unwrap_or(&command);
    let new = draft.new.as_ref().map_or_else(String::new, |_| {
        format!(
            ", and {} as a new row of inventory.csv",
            clean(draft.new_container())
        )
    });
    let did = if dry { "Would write" } else { "Wrote" };
    let words = format!("{did} {entry}: {} ({when}){new}", clean(words));
    format!("{}\n", fill(&words, columns, "", "  "))
}

/// What is left in every container that the entry touches.
pub(super) fn left(before: &Shop, plan: &Plan, draft: &Draft, columns: usize) -> String {
    let (stock, after, would) = (&plan.before, &plan.shop, &plan.after);
    let us = after.tables.shop.us;
    let mut text = String::new();
    let mut names = vec![draft.container.as_str()];
    if matches!(draft.what, What::Mix | What::Decant) {
        names.push(&draft.into);
    }
    for name in names.into_iter().filter(|name| !name.is_empty()) {
        let Some(row) = after.tables.container(name).map(|at| &after.tables[at]) else {
            continue;
        };
        let now = held(after, would, name);
        let was = held(before, stock, name).filter(|was| Some(*was) != now);
        let shown = now.map_or_else(|| "an unknown amount".into(), |now| natural(now, us));
        let was = was.map_or_else(String::new, |was| format!(", was {}", natural(was, us)));
        text.push_str(&format!(
            "{}: {shown} of {}{was}\n",
            clean(name),
            clean(&row.product)
        ));
    }
    text.push_str(&rags(after, would, &draft.container));
    let row = after.tables.container(&draft.container);
    let vessel = row.and_then(|at| after.tables[at].vessel);
    let is_cloth = vessel.is_some_and(Vessel::is_cloth);
    if draft.what == What::Soil || draft.what == What::Use && is_cloth {
        text.push_str(&fill(RAG, columns, "! ", "  "));
        text.push('\n');
    }
    if is_cloth && dries_none(draft, before, plan) {
        text.push_str(
            "! This test dries none. Only rags that lie flat outdoors can be found hard and dry.\n",
        );
    }
    text
}

/// Was a test of rags passed that found none of them dry?
fn dries_none(draft: &Draft, before: &Shop, plan: &Plan) -> bool {
    let dry = |shop: &Shop, stock: &Stock| {
        let contents = shop.tables.container(&draft.container).map(|at| &stock[at]);
        let cloth = contents.map_or(&[][..], |contents| &contents.cloth).iter();
        let dry = cloth.filter(|batch| batch.state == RagState::Dry);
        dry.map(|batch| batch.pieces)
            .try_fold(Exact::ZERO, Exact::plus)
    };
    let is_passed = draft.what == What::Test && draft.says.to_lowercase().starts_with("pass");
    let (was, is) = (dry(before, &plan.before), dry(&plan.shop, &plan.after));
    is_passed && plan.unclear.is_empty() && was == is
}

/// Where the soiled rags of a row are. Rags of unknown state count as wet.
fn rags(after: &Shop, would: &Stock, name: &str) -> String {
    let contents = after.tables.container(name).map(|at| &would[at]);
    let us = after.tables.shop.us;
    let mut text = String::new();
    for batch in contents.map_or(&[][..], |contents| &contents.cloth) {
        let state = match batch.state {
            RagState::Clean => continue,
            RagState::Wet => "wet and loose",
            RagState::Flat => "flat outdoors",
            RagState::UnderWater => "under water",
            RagState::InCan => "waiting",
            RagState::InJar => "kept moist",
            RagState::Dry => "hard and dry",
        };
        let place = batch.location.place.map(|place| &after.tables[place]);
        let at = place.map_or_else(String::new, |place| {
            format!(" {} {}", place.kind.preposition(), the(&clean(&place.id)))
        });
        let since = batch.since.map_or_else(String::new, |since| {
            format!(", since {}", moment(since, us))
        });
        text.push_str(&format!(
            "  {} pcs {state}{at}{since}\n",
            batch.pieces.digits()
        ));
    }
    text
}

/// Breaches that are new with it, or become worse, and did not stop it.
pub(in crate::cli) fn told(plan: &Plan, columns: usize) -> String {
    let mut text = String::new();
    let new = plan.told.iter().chain(&plan.against);
    let new = new.map(|finding| ("This breaks a rule", finding));
    let worse = plan.worse.iter();
    let worse = worse.map(|finding| ("This makes a broken rule worse", finding));
    let wording = Wording::of_shop(&plan.shop, plan.after.on);
    let mut facts: Vec<String> = Vec::new();
    for (what, finding) in new.chain(worse) {
        let mut told = wording.finding(finding);
        told.fact = wording.loose_now(finding).unwrap_or(told.fact);
        // Two packs may have a rule for the same fact.
        if facts.contains(&told.fact) {
            continue;
        }
        let words = format!("{what}: {} {} {}.", told.fact, told.task, told.law);
        text.push_str(&fill(&clean(&words), columns, "! ", "  "));
        text.push('\n');
        facts.push(told.fact);
    }
    for finding in &plan.cleared {
        let fact = wording.finding(finding).fact;
        let words = format!(
            "By this change, these rags no longer count as oily: {fact} If oil is on them they can still set themselves on fire. \
             Then take the change back."
        );
        text.push_str(&fill(&clean(&words), columns, "! ", "  "));
        text.push('\n');
    }
    text
}

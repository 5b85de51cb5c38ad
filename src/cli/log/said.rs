//! What the program says when an entry is written: which, what is left, and what it brings.

use super::draft::Draft;
use crate::audit::Shop;
use crate::report::words::Wording;
use crate::report::{EntryEffect, fill};
use crate::store::Plan;
use crate::text::clean;

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

/// What the entry does to what is in the shop, and what to mind.
pub(super) fn effect(before: &Shop, plan: &Plan, draft: &Draft, columns: usize) -> String {
    let cells = draft.cells("", "", "");
    let effect = EntryEffect::find(before, plan, Some(draft.what), &[&cells]);
    let mut text = String::new();
    for left in &effect.left {
        let was = left.was.as_ref();
        let was = was.map_or_else(String::new, |was| format!(", was {was}"));
        let (name, now) = (&left.container, &left.now);
        text.push_str(&format!("{name}: {now} of {}{was}\n", left.product));
    }
    for rags in &effect.rags {
        text.push_str(&format!("{}\n", fill(rags, columns, "  ", "    ")));
    }
    for warning in &effect.warnings {
        text.push_str(&format!("{}\n", fill(warning, columns, "! ", "  ")));
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

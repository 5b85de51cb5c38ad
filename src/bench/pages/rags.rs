//! Rags: what got soiled, where it was put, and how long each batch has been there.

use super::now::card;
use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use crate::bench::state::BenchNow;
use crate::check::{Account, ClosingLine, ClosingTopic};
use crate::record::{ContainerId, PlaceKind, Vessel, What};
use crate::text::clean;
use maud::{Markup, html};

/// How many rags a tap can mean.
const COUNTS: [u8; 4] = [1, 2, 3, 4];
/// Containers that are offered as what got on the rag.
const RECENT: usize = 8;

pub fn rags(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let about = |topic| {
        matches!(
            topic,
            ClosingTopic::OilyRag | ClosingTopic::Can | ClosingTopic::Rag
        )
    };
    let lines = || now.closing.lines.iter().filter(|line| about(line.about));
    let is_open = |line: &&ClosingLine| line.standing == Account::Open;
    let main = html! {
        @for line in lines().filter(is_open) { (card(call, &now, line)) }
        @if call.may_log() { (soiled(&now)) }
        h2 { "Accounted for" }
        @if !lines().any(|line| !is_open(&line)) { p.calm { "No other soiled rag and no other can is recorded." } }
        @for line in lines().filter(|line| !is_open(line)) { (card(call, &now, line)) }
    };
    Ok(Reply::page(page(call, &now, "Rags", &main)))
}

/// How many, then with what: the second tap shows what it does.
fn soiled(now: &BenchNow) -> Markup {
    let tables = &now.shop.tables;
    let rows = ContainerId::each(&tables.containers);
    let rags: Vec<&str> = rows
        .filter(|(at, row)| {
            row.vessel.is_some_and(Vessel::is_cloth) && now.stock.present(tables, *at)
        })
        .map(|(_, row)| row.id.as_str())
        .collect();
    let benches: Vec<&str> = tables
        .places
        .iter()
        .filter(|place| place.kind == PlaceKind::Bench)
        .map(|place| place.id.as_str())
        .collect();
    html! {
        section {
            h2 { "Soiled" }
            @if rags.is_empty() {
                p { "inventory.csv has no row of rags. Add one with the vessel \"rag\" and a number of pieces." }
            } @else {
                form.choose method="get" action="/entry" {
                    input type="hidden" name="what" value=(What::Soil.word());
                    input type="hidden" name="back" value="/rags";
                    (choice("container", "Which rags", &rags))
                    fieldset.row {
                        legend { "How many" }
                        @for count in COUNTS {
                            label { input type="radio" name="amount" value=(count) checked[count == 1]; span { (count) } }
                        }
                    }
                    @if !benches.is_empty() { (choice("place", "Where", &benches)) }
                    fieldset.acts {
                        legend { "Soiled with" }
                        @for (container, product) in now.last_used(RECENT) {
                            button type="submit" name="into" value=(container) {
                                span { bdi { (clean(container)) } " " small { bdi { (clean(product)) } } }
                            }
                        }
                        button.quiet type="submit" name="into" value="" { "Something else, or unknown" }
                    }
                }
            }
        }
    }
}

/// One of a few names; nothing to choose where there is only one.
fn choice(field: &str, words: &str, names: &[&str]) -> Markup {
    html! {
        @match names {
            [only] => input type="hidden" name=(field) value=(only);,
            names => label.field { span { (words) }
                select name=(field) { @for name in names { option value=(name) { (clean(name)) } } }
            },
        }
    }
}

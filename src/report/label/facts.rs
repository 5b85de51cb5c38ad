//! The label of a container: what it is, its hazards, and until when it is good.

use super::content::{Label, LabelSources};
use super::hazards::{
    cautions, contains, contents_of, hazard_lines, hazards_of, never, precaution_lines, substances,
};
use crate::fact::{Known, heats};
use crate::quantity::{Amount, Day, Exact, in_unit, unit};
use crate::record::{Container, ContainerId, ProductKind};
use crate::report::code::container_link;
use crate::report::words::date;
use crate::stock::{ContainerState, TrialResult};
use crate::text::clean;
use crate::trade::ShelfLife;
use crate::vapour::class::Flash;

/// A liquid waste that flashes below this is ignitable (40 CFR 261.21, 60 C).
const IGNITABLE: &str = "140 F";
/// Said first of what self-heats.
const RAGS: &str = "Rags wet with it can catch fire by themselves: put them into the listed can, under water, or flat outdoors at once.";
/// Where a date is written by hand.
const BY_HAND: &str = "__________";

/// The label of a container.
pub(super) fn container_label(sources: &LabelSources<'_>, at: ContainerId) -> Label {
    let (row, contents) = (&sources.tables[at], &sources.stock[at]);
    let kind = sources.tables.kind(at);
    let held = contents_of(sources, at);
    let labelled = hazards_of(sources, &held);
    let also = contents
        .also
        .iter()
        .map(|also| sources.stock.product_name(*also));
    let names: Vec<&str> = std::iter::once(row.product.as_str()).chain(also).collect();
    let mut label = Label {
        id: clean(&row.id),
        name: clean(&row.product),
        code: container_link(sources.tables.shop.bench.address.as_deref(), &row.id),
        lines: ["opened", "tested (ok / no)"],
        capacity: match row.capacity {
            Some(Amount::Volume(volume)) => Some(volume),
            _ => None,
        },
        ..Label::default()
    };
    substances(&held, &mut label);
    let everything = label.substances.clone();
    let everything: Vec<&str> = names
        .iter()
        .copied()
        .chain(everything.iter().map(String::as_str))
        .collect();
    never(&mut label, &everything);
    let is_dry = matches!(kind, Some(ProductKind::Flakes | ProductKind::Abrasive));
    if !is_dry && heats(sources.stock, sources.hazards, at) {
        label.say(RAGS);
    }
    hazard_lines(sources.ghs, &labelled, &mut label);
    contains(sources, &mut label);
    cautions(&mut label, is_dry);
    let poured = poured(sources, contents);
    if !poured.is_empty() {
        label.say(format!(
            "Poured together, by volume: {}.",
            clean(&poured.join(", "))
        ));
    }
    match use_of(row, kind) {
        ContainerUse::Stock => dates(sources, row, contents, kind, &mut label),
        used @ (ContainerUse::Waste | ContainerUse::BrushWash) => {
            waste(used, (row, contents), &held.flash, &mut label);
        }
    }
    precaution_lines(sources.ghs, &labelled, &mut label);
    label.say("Never put it into a food or drink container.");
    label
}

/// What a container is used for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum ContainerUse {
    Stock,
    Waste,
    BrushWash,
}

/// A jar for washing brushes is one that is named or noted so.
fn use_of(row: &Container, kind: Option<ProductKind>) -> ContainerUse {
    let named = format!("{} {}", row.product, row.note.as_deref().unwrap_or("")).to_lowercase();
    let mut words = ["brush wash", "brush-wash", "wash jar", "wash-jar"].iter();
    if words.any(|word| named.contains(word)) {
        ContainerUse::BrushWash
    } else if kind == Some(ProductKind::Waste) {
        ContainerUse::Waste
    } else {
        ContainerUse::Stock
    }
}

/// The band, the first day and the hazard in the words of the waste rules.
fn waste(
    used: ContainerUse,
    (row, contents): (&Container, &ContainerState),
    flash: &Known<Flash>,
    label: &mut Label,
) {
    let mut first = vec![ignitable(flash).to_string()];
    if used == ContainerUse::BrushWash {
        first.insert(
            0,
            "Brush wash: spent solvent. Lid on between brushes.".into(),
        );
        first.push(
            "When it is used up, it is hazardous waste. Mark it as such, with the date.".into(),
        );
    } else {
        label.signal = "HAZARDOUS WASTE".into();
        first.push(
            "Keep it closed except to add. Never pour it down a drain or leave it to evaporate."
                .into(),
        );
    }
    label.sentences.splice(0..0, first);
    label.lines = ["full on", "picked up"];
    label.before = "started".into();
    label.until = match (contents.filled, row.since) {
        (Some(day), _) => date(day),
        (None, Some(since)) => {
            label.before = "started on or before".into();
            date(since)
        }
        (None, None) => BY_HAND.into(),
    };
}

/// The hazard in the words of the waste rules.
fn ignitable(flash: &Known<Flash>) -> &'static str {
    let border = crate::quantity::Measure::parse(IGNITABLE).map(|m| m.temperature());
    match (flash.value(), border) {
        (Some(Flash::At(at)), Ok(border)) if *at < border => {
            "Ignitable: the flash point is below 140 °F (60 °C)."
        }
        (Some(_), Ok(_)) => {
            "Not ignitable by its flash point. For other hazards see the data sheet."
        }
        (None, _) | (_, Err(_)) => "Treat it as ignitable: its flash point is unknown.",
    }
}

/// What was poured together, each as the most it may be.
fn poured(sources: &LabelSources<'_>, contents: &ContainerState) -> Vec<String> {
    let percent = unit::find("%");
    let content = contents.content.iter().flat_map(|content| content.iter());
    let shown = content.filter_map(|portion| {
        let name = sources.stock.product_name(portion.product);
        let most = portion.share.most().times(Exact::whole(100)).ok()?;
        (!most.is_zero()).then_some(format!("up to {} {name}", in_unit(most, percent?)))
    });
    shown.collect()
}

/// When it was made, its lot, and the large date.
fn dates(
    sources: &LabelSources<'_>,
    row: &Container,
    contents: &ContainerState,
    kind: Option<ProductKind>,
    label: &mut Label,
) {
    let started = [
        ("made", contents.made),
        ("opened", contents.opened),
        ("received", row.since),
    ];
    let started = started
        .into_iter()
        .find_map(|(word, day)| Some(format!("{word} {}", date(day?))));
    let lot = match contents.lots.as_slice() {
        [] => None,
        lots => Some(format!("lot {}", clean(&lots.join(", ")))),
    };
    let known: Vec<String> = started.into_iter().chain(lot).collect();
    label.made = known.join(", ");
    (label.before, label.until) = last_day(sources, row, contents, kind);
}

/// The words before the large date, and the date.
fn last_day(
    sources: &LabelSources<'_>,
    row: &Container,
    contents: &ContainerState,
    kind: Option<ProductKind>,
) -> (String, String) {
    let on = sources.stock.on;
    let dated = |word: &str, day: Day| {
        let past = if on > day { " (past)" } else { "" };
        (format!("{word}{past}"), date(day))
    };
    if let Some(trial) = contents
        .trial
        .filter(|trial| trial.result == TrialResult::Fail)
    {
        return (
            format!("failed its test on {}", date(trial.day)),
            "DISCARD".into(),
        );
    }
    if let Some(last) = row.best_before {
        return dated("use by", last);
    }
    let unknown = || {
        (
            "no shelf life on record".to_string(),
            "TEST FIRST".to_string(),
        )
    };
    let Some(life) = ShelfLife::find(sources.tables, sources.reference, row, contents, kind) else {
        return unknown();
    };
    let Some(from) = life.from(row, contents) else {
        return (
            format!("the day it was {} is unknown", life.from_word()),
            "TEST FIRST".into(),
        );
    };
    let days = life.days(from, contents);
    match (days.discard_after, days.test_from) {
        (Some(last), _) => dated("use by", last),
        (None, Some(test)) => dated("test from", test),
        (None, None) => unknown(),
    }
}

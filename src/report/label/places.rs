//! Labels of places that hold what heats itself: the pad jar, the can for oily rags, the can with water.

use super::content::{Label, LabelPart, LabelSources, heading};
use super::facts::{ask, place_words};
use super::hazards::{contents_of, hazard_lines, hazards_of, precaution_lines};
use crate::fact::heats;
use crate::quantity::Exact;
use crate::record::{Location, PlaceKind, ShopTables};
use crate::stock::{RagBatch, RagState};
use crate::text::clean;
use crate::vapour::labelled::Labelled;

/// Does the place take a label of its own?
pub(super) fn is_labelled_place(tables: &ShopTables, at: usize) -> bool {
    tables.places.get(at).is_some_and(|place| {
        matches!(
            place.kind,
            PlaceKind::PadJar | PlaceKind::OilyWasteCan | PlaceKind::WaterCan
        )
    })
}

/// The label of a place.
pub(super) fn place_label(sources: &LabelSources<'_>, at: usize) -> Option<Label> {
    let place = sources.tables.places.get(at)?;
    let here = here(sources, at);
    let mut label = Label {
        id: clean(&place.id),
        ..Label::default()
    };
    match place.kind {
        PlaceKind::PadJar => pad_jar(sources, &here, &mut label),
        PlaceKind::OilyWasteCan => rag_can(sources, at, place.listed, &here, &mut label),
        PlaceKind::WaterCan => water_can(&here, &mut label),
        _ => return None,
    }
    label.heading = heading(&place.id, &label.heading);
    let location = Location {
        place: None,
        room: place.room,
    };
    label.fact("Place", place_words(sources, location));
    ask(sources, &mut label);
    Some(label)
}

/// Rows of rags and pads with what of them is here.
fn here<'a>(sources: &LabelSources<'a>, place: usize) -> Vec<(&'a str, &'a str, &'a RagBatch)> {
    let rows = sources
        .tables
        .containers
        .iter()
        .zip(&sources.stock.containers);
    rows.flat_map(|(row, contents)| {
        let batches = contents
            .cloth
            .iter()
            .filter(move |p| p.location.place == Some(place));
        batches.map(move |batch| (row.id.as_str(), row.product.as_str(), batch))
    })
    .collect()
}

fn contents(here: &[(&str, &str, &RagBatch)]) -> String {
    let words: Vec<String> = here
        .iter()
        .map(|(id, product, batch)| {
            let state = if batch.state == RagState::Clean {
                "clean"
            } else {
                "used"
            };
            format!("{} {product}, {state} ({id})", batch.pieces.digits())
        })
        .collect();
    if words.is_empty() {
        "nothing on record".into()
    } else {
        clean(&words.join("; "))
    }
}

fn pad_jar(sources: &LabelSources<'_>, here: &[(&str, &str, &RagBatch)], label: &mut Label) {
    label.heading = "pads for polishing".into();
    let mut labelled = Labelled::default();
    let (mut with, mut oily, mut unknown): (Vec<&str>, bool, bool) = (Vec::new(), false, false);
    for (_, _, batch) in here {
        unknown |= batch.soiled_by_unknown;
        for by in &batch.soiled_by {
            let held = contents_of(sources, *by);
            let (Some(held), Some(row)) = (held, sources.tables.containers.get(*by)) else {
                continue;
            };
            if !with.contains(&row.product.as_str()) {
                with.push(&row.product);
            }
            labelled.join(sources.ghs, hazards_of(sources, &held));
            oily |= heats(sources.stock, sources.hazards, *by);
        }
    }
    if unknown {
        labelled.gaps.push("what else is on the pads".into());
    } else if here.is_empty() {
        labelled.gaps.push("what the pads are charged with".into());
    }
    hazard_lines(sources.ghs, &labelled, label);
    let text = if oily {
        "A pad here saw drying oil, or something not known to be free of it: out of this jar it is an oily rag and can set \
         itself on fire. At once into the listed can, under water in a lidded metal can, or flat outdoors."
    } else if unknown || here.is_empty() {
        "Whether a pad here saw drying oil is not known, so it counts as yes: out of this jar it is an oily rag and can set \
         itself on fire."
    } else {
        "No drying oil is on record here. A pad that sees it becomes an oily rag the moment it leaves this jar, and can set \
         itself on fire."
    };
    label.caution(text);
    label.caution("Lid on. Never in a food or drink container.");
    label.fact("Contents", contents(here));
    let with = if with.is_empty() {
        "not known".to_string()
    } else {
        clean(&with.join("; "))
    };
    label.fact("Charged with", with);
    precaution_lines(sources.ghs, &labelled, label);
}

fn rag_can(
    sources: &LabelSources<'_>,
    at: usize,
    rated: Option<bool>,
    here: &[(&str, &str, &RagBatch)],
    label: &mut Label,
) {
    label.heading = "for oily rags".into();
    label.say(LabelPart::Band, "OILY WASTE: HEATS ITSELF, CAN CATCH FIRE");
    for text in [
        "Every rag, pad, glove, paper and filter with finish or oil on it goes in at once. One is enough for a fire.",
        "Lid shut. Emptied and out of the building at the end of every working day or shift.",
        "Nothing else in it: no solvent, no sawdust, no household waste. Never wash and reuse an oily rag.",
    ] {
        label.caution(text);
    }
    if rated != Some(true) {
        let text =
            "This can is not on record as one listed for oily waste: ask before you rely on it.";
        label.say(LabelPart::Hazard, text);
    }
    label.fact("In it", contents(here));
    let emptied = sources.stock.emptied.get(at).copied().flatten();
    let emptied = emptied.map_or_else(
        || "never on record".to_string(),
        |(when, _)| when.to_string(),
    );
    label.fact("Last emptied", emptied);
}

fn water_can(here: &[(&str, &str, &RagBatch)], label: &mut Label) {
    label.heading = "oily rags under water".into();
    label.say(LabelPart::Band, "OILY WASTE: HEATS ITSELF ONCE IT IS DRY");
    let total = here
        .iter()
        .filter(|(_, _, batch)| batch.state == RagState::UnderWater)
        .fold(Exact::ZERO, |sum, (_, _, batch)| {
            sum.plus(batch.pieces).unwrap_or(sum)
        });
    for text in [
        "Rags stay wholly under water, metal lid on, until they are collected. Top it up.",
        "Water only pauses it: a rag lifted out still holds uncured oil and can set itself on fire once it is dry.",
    ] {
        label.caution(text);
    }
    let words = if total.is_zero() {
        contents(&[])
    } else {
        contents(here)
    };
    label.fact("In it", words);
}

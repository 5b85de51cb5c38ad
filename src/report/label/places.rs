//! Labels of places that hold what self-heats: the pad jar, the can for oily rags, the can with water.

use super::content::{Label, LabelSources};
use super::hazards::{contents_of, hazard_lines, hazards_of};
use crate::fact::heats;
use crate::record::{Place, PlaceId, PlaceKind};
use crate::text::clean;
use crate::vapour::labelled::Labelled;

/// Does the place take a label of its own?
pub(super) fn is_labelled_place(place: &Place) -> bool {
    matches!(
        place.kind,
        PlaceKind::PadJar | PlaceKind::OilyWasteCan | PlaceKind::WaterCan
    )
}

/// The label of a place.
pub(super) fn place_label(sources: &LabelSources<'_>, at: PlaceId) -> Option<Label> {
    let place = &sources.tables[at];
    let mut label = Label {
        id: clean(&place.id),
        ..Label::default()
    };
    match place.kind {
        PlaceKind::PadJar => pad_jar(sources, at, &mut label),
        PlaceKind::OilyWasteCan => rag_can(place.listed, &mut label),
        PlaceKind::WaterCan => water_can(&mut label),
        PlaceKind::Cabinet
        | PlaceKind::StoreRoom
        | PlaceKind::Refrigerator
        | PlaceKind::Shelf
        | PlaceKind::Bench
        | PlaceKind::Floor
        | PlaceKind::Window
        | PlaceKind::Outdoors
        | PlaceKind::DryingLine => return None,
    }
    Some(label)
}

fn pad_jar(sources: &LabelSources<'_>, at: PlaceId, label: &mut Label) {
    label.name = "Polishing pads".into();
    label.lines = ["pads put in", "pads taken out"];
    let mut labelled = Labelled::default();
    let (mut with, mut oily, mut unknown): (Vec<&str>, bool, bool) = (Vec::new(), false, false);
    let here = sources
        .stock
        .containers
        .iter()
        .flat_map(|state| &state.cloth);
    let here: Vec<_> = here
        .filter(|batch| batch.location.place == Some(at))
        .collect();
    for batch in &here {
        unknown |= batch.soiled_by_unknown;
        for by in &batch.soiled_by {
            let (held, row) = (contents_of(sources, *by), &sources.tables[*by]);
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
    label.say(if oily {
        "A pad in here touched drying oil. Outside this jar it is an oily rag and can catch fire: put it under water or flat outdoors \
         at once, or into a listed can that is emptied the same day."
    } else if unknown || here.is_empty() {
        "Treat every pad in here as oily: whether one touched drying oil is unknown. Outside this jar it can catch fire."
    } else {
        "A pad that touches drying oil is an oily rag as soon as it leaves this jar, and can catch fire."
    });
    hazard_lines(sources.ghs, &labelled, label);
    label.say("Keep the lid on. Never use a food or drink container.");
    label.before = "charged with".into();
    label.until = match with.as_slice() {
        [] => "unknown".into(),
        [one] => clean(one),
        [first, rest @ ..] => format!("{} + {}", clean(first), rest.len()),
    };
}

fn rag_can(listed: Option<bool>, label: &mut Label) {
    label.name = "Oily rags only".into();
    label.signal = "CAN CATCH FIRE BY ITSELF".into();
    label.lines = ["emptied", "emptied"];
    if listed != Some(true) {
        label.say("This can is not on record as listed for oily waste: ask before you rely on it.");
    }
    for text in [
        "Every rag, pad, glove and paper with oil or finish on it goes in at once. One is enough for a fire.",
        "Keep the lid shut. Empty it and take it out of the building at the end of every working day.",
        "Put nothing else in it. Never wash and reuse an oily rag.",
    ] {
        label.say(text);
    }
    label.before = "empty".into();
    label.until = "EVERY DAY".into();
}

fn water_can(label: &mut Label) {
    label.name = "Oily rags under water".into();
    label.signal = "CAN CATCH FIRE ONCE DRY".into();
    label.lines = ["collected", "collected"];
    for text in [
        "Keep the rags fully under water, with the metal lid on, until they are collected. Top it up.",
        "Water only pauses it: a rag that is taken out still holds oil and can catch fire once it is dry.",
    ] {
        label.say(text);
    }
    label.before = "top up".into();
    label.until = "EVERY DAY".into();
}

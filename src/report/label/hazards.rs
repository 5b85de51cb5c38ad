//! The hazards on a label: signal word, pictograms, statements, what is not known, precautions.

use super::super::wrap::capital;
use super::content::{Label, LabelLine, LabelPart, LabelSources, NOT_KNOWN};
use crate::fact::Known;
use crate::record::ProductKind;
use crate::text::clean;
use crate::trade::Ghs;
use crate::vapour::labelled::{Labelled, by_makeup, fire_class};
use crate::vapour::makeup::makeup;

/// Precautions shown in full; the others by their codes, with the text on the notes. Six is the most that the EU asks
/// for on one label (Regulation (EC) 1272/2008, article 28(3), from memory).
const IN_FULL: usize = 6;
/// The classes of a product: of fire by its flash point, of health by what it is made of.
pub(super) fn hazards_of<'g>(sources: &LabelSources<'g>, product: usize) -> Labelled<'g> {
    let ghs = sources.ghs;
    let (Some(name), Some(hazard)) = (
        sources.stock.products.get(product),
        sources.hazards.get(product),
    ) else {
        return Labelled::default();
    };
    let mut labelled = by_makeup(ghs, &makeup(sources.tables, ghs, name));
    match &hazard.flash {
        Known::No(_) => labelled.gaps.push("whether and how easily it burns".into()),
        Known::Yes(fact) => {
            let boils = hazard.boils.as_ref().map(|boils| boils.value);
            if let Some((class, why)) = fire_class(ghs, fact.value, boils) {
                labelled.burns(ghs, class, fact.evidence.seen);
                labelled.said.extend(why.map(str::to_string));
            }
        }
    }
    labelled
}

/// The signal word, the hazard statements, and what is not known.
pub(super) fn hazard_lines(ghs: &Ghs, labelled: &Labelled<'_>, label: &mut Label) {
    label.signal = labelled.signal();
    label.pictograms = labelled.pictograms();
    if let Some(signal) = label.signal {
        label.say(LabelPart::Signal, signal.word());
    } else if !labelled.gaps.is_empty() {
        label.say(LabelPart::Signal, "HAZARDS NOT KNOWN");
    }
    for met in &labelled.met {
        let Some(statement) = ghs.statement(&met.class.code) else {
            continue;
        };
        label.lines.push(LabelLine {
            kind: LabelPart::Hazard,
            lead: None,
            text: format!("{} {}.", statement.code, statement.text),
            memory: met.seen.max(statement.seen) == crate::pack::Seen::Memory,
        });
    }
    if labelled.met.is_empty() && labelled.gaps.is_empty() {
        let text = "No hazard class is on record for what it is made of; that shows nothing to be harmless: see data sheet.";
        label.lines.push(LabelLine {
            memory: true,
            ..LabelLine::new(LabelPart::Hazard, text)
        });
    }
    if !labelled.gaps.is_empty() {
        let text = format!(
            "Hazards {NOT_KNOWN}. Missing: {}.",
            clean(&labelled.gaps.join("; ").replace('`', ""))
        );
        label.say(LabelPart::Hazard, text);
    }
    for said in &labelled.said {
        label.caution(format!("{}.", capital(&clean(said).replace('`', ""))));
    }
    label.gaps = labelled
        .gaps
        .iter()
        .map(|gap| gap.replace('`', ""))
        .collect();
}

pub(super) fn cautions(label: &mut Label, kind: Option<ProductKind>, heats: bool) {
    let dry = matches!(kind, Some(ProductKind::Flakes | ProductKind::Abrasive));
    let cautions = [
        (
            heats && !dry,
            "Rags, pads and paper wet with it heat themselves and can catch fire within hours: at once into the listed can, \
             under water in a lidded metal can, or flat outdoors. One is enough.",
        ),
        (dry, "Its dust can burn and is not for breathing."),
        (
            label.signal.is_none() && !label.gaps.is_empty(),
            "Until you know: keep it closed, away from flame, skin, eyes and drain, and treat it as poison.",
        ),
        (true, "Never in a food or drink container."),
    ];
    for (_, text) in cautions.into_iter().filter(|(meant, _)| *meant) {
        label.caution(text);
    }
}

/// The precautions: the first few in full, the others by code.
pub(super) fn precaution_lines(ghs: &Ghs, labelled: &Labelled<'_>, label: &mut Label) {
    let list = labelled.precautions(ghs);
    if list.is_empty() {
        return;
    }
    let (full, rest) = list.split_at(list.len().min(IN_FULL));
    let mut text: Vec<String> = full
        .iter()
        .map(|statement| format!("{} {}", statement.code, statement.text))
        .collect();
    label.by_code = rest.iter().map(|s| s.code.clone()).collect();
    if !rest.is_empty() {
        text.push(format!("Also {}.", label.by_code.join(", ")));
    }
    label.lines.push(LabelLine {
        memory: full.iter().any(|s| s.seen == crate::pack::Seen::Memory),
        ..LabelLine::new(LabelPart::Precaution, text.join(" "))
    });
}

pub(super) fn substances(
    sources: &LabelSources<'_>,
    product: usize,
    also: &[usize],
    label: &mut Label,
) {
    for product in std::iter::once(&product).chain(also) {
        let Some(name) = sources.stock.products.get(*product) else {
            continue;
        };
        for ingredient in makeup(sources.tables, sources.ghs, name).ingredients {
            if !label.substances.contains(&ingredient.name) {
                label.substances.push(ingredient.name);
            }
        }
    }
}

/// The substances that have a class, by name: what is poured in is named by its parts too.
pub(super) fn contains(sources: &LabelSources<'_>, label: &mut Label) {
    let classed = |name: &&String| {
        let classes = sources.ghs.substance(name).unwrap_or_default();
        classes.iter().any(|c| c.class != "none")
    };
    let names: Vec<&str> = label
        .substances
        .iter()
        .filter(classed)
        .map(String::as_str)
        .collect();
    if names.len() > 1
        || names
            .first()
            .is_some_and(|name| !label.heading.contains(name))
    {
        let text = clean(&names.join(", "));
        label.fact("Contains", text);
    }
}

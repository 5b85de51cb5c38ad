//! The hazards on a label: signal word, pictograms, statements, what is not known, precautions.

use super::super::wrap::capital;
use super::content::{Label, LabelLine, LabelPart, LabelSources, NOT_KNOWN};
use crate::fact::{Known, mixture_boils, mixture_flash};
use crate::quantity::Temperature;
use crate::record::ProductKind;
use crate::stock::Portion;
use crate::text::clean;
use crate::trade::Ghs;
use crate::vapour::class::Flash;
use crate::vapour::labelled::{Labelled, by_makeup, fire_class};
use crate::vapour::makeup::{Makeup, makeup, mixed_makeup};

/// Precautions shown in full; the others by their codes, with the text on the notes. Six is the most that the EU asks
/// for on one label (Regulation (EC) 1272/2008, article 28(3), from memory).
const IN_FULL: usize = 6;
/// What a container holds as a label counts it: substances with their shares, and where it flashes and boils.
pub(super) struct LabelHazards {
    makeup: Makeup,
    /// Whether and where it flashes.
    pub flash: Known<Flash>,
    boils: Option<Temperature>,
}

/// What a container holds: its product, or the mixture that was poured together in it.
pub(super) fn contents_of(sources: &LabelSources<'_>, at: usize) -> Option<LabelHazards> {
    let (tables, ghs, stock) = (sources.tables, sources.ghs, sources.stock);
    let name = |product: usize| stock.products.get(product).map_or("", String::as_str);
    let product = *stock.product_of.get(at)?;
    let contents = stock.containers.get(at)?;
    let Some(content) = &contents.content else {
        let hazard = sources.hazards.get(product)?;
        return Some(LabelHazards {
            makeup: makeup(tables, ghs, name(product)),
            flash: hazard.flash.clone(),
            boils: hazard.boils.as_ref().map(|boils| boils.value),
        });
    };
    let bounds = |p: &Portion| {
        let (least, most) = (p.share.least(), p.share.most());
        (name(p.product), least.estimate(), most.estimate())
    };
    let portions: Vec<_> = content.iter().map(bounds).collect();
    let boils = mixture_boils(sources.hazards, content);
    Some(LabelHazards {
        makeup: mixed_makeup(tables, ghs, &portions),
        flash: mixture_flash(tables, &stock.products, sources.hazards, content),
        boils: boils.map(|boils| boils.value),
    })
}

/// The classes of what a container holds: of fire by its flash point, of health by what it is made of.
pub(super) fn hazards_of<'g>(sources: &LabelSources<'g>, held: &LabelHazards) -> Labelled<'g> {
    let ghs = sources.ghs;
    let mut labelled = by_makeup(ghs, &held.makeup);
    match &held.flash {
        Known::No(_) => labelled.gaps.push("whether and how easily it burns".into()),
        Known::Yes(fact) => {
            if let Some((class, why)) = fire_class(ghs, fact.value, held.boils) {
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

/// The substances of what a container holds.
pub(super) fn substances(held: &LabelHazards, label: &mut Label) {
    let names = held.makeup.ingredients.iter().map(|i| i.name.clone());
    label.substances = names.collect();
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

//! The hazards on a label: signal word, pictograms and sentences. No codes: a person at the bench reads sentences.

use super::content::{Label, LabelSources};
use crate::fact::{Known, mixture_boils, mixture_flash};
use crate::pack::Seen;
use crate::quantity::Temperature;
use crate::record::ContainerId;
use crate::stock::Portion;
use crate::text::{capital, clean};
use crate::trade::Ghs;
use crate::vapour::class::Flash;
use crate::vapour::labelled::{Labelled, by_makeup, fire_class};
use crate::vapour::makeup::{Makeup, makeup, mixed_makeup};

/// Precautions on a label: the data sheet has the others. Six is the most that the EU requires on one label (Regulation (EC)
/// 1272/2008, article 28(3), from memory).
const PRECAUTIONS: usize = 6;

/// What a container holds as a label counts it: substances with their shares, and where it flashes and boils.
pub(super) struct LabelHazards {
    makeup: Makeup,
    /// Whether and where it flashes.
    pub flash: Known<Flash>,
    boils: Option<Temperature>,
}

/// What a container holds: its product, or the mixture that was poured together in it.
pub(super) fn contents_of(sources: &LabelSources<'_>, at: ContainerId) -> LabelHazards {
    let (tables, ghs, stock) = (sources.tables, sources.ghs, sources.stock);
    let Some(content) = &stock[at].content else {
        let hazard = sources.hazards.of_container(stock, at);
        return LabelHazards {
            makeup: makeup(tables, ghs, &tables[at].product),
            flash: hazard.flash.clone(),
            boils: hazard.boils.as_ref().map(|boils| boils.value),
        };
    };
    let bounds = |p: &Portion| {
        let (least, most) = (p.share.least(), p.share.most());
        (
            stock.product_name(p.product),
            least.estimate(),
            most.estimate(),
        )
    };
    let portions: Vec<_> = content.iter().map(bounds).collect();
    let boils = mixture_boils(sources.hazards, content);
    LabelHazards {
        makeup: mixed_makeup(tables, ghs, &portions),
        flash: mixture_flash(tables, stock, sources.hazards, content),
        boils: boils.map(|boils| boils.value),
    }
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

/// The signal word, the pictograms, and what is known and unknown of the hazards.
pub(super) fn hazard_lines(ghs: &Ghs, labelled: &Labelled<'_>, label: &mut Label) {
    label.pictograms = labelled.pictograms();
    if let Some(signal) = labelled.signal() {
        label.signal = signal.word().into();
    } else if !labelled.gaps.is_empty() {
        label.signal = "HAZARDS UNKNOWN".into();
    }
    if !labelled.gaps.is_empty() {
        let missing = clean(&labelled.gaps.join("; ").replace('`', ""));
        label.say(format!(
            "Hazards unknown: see the data sheet. Missing: {missing}."
        ));
    }
    for met in &labelled.met {
        let Some(statement) = ghs.statement(&met.class.code) else {
            continue;
        };
        let memory = met.seen.max(statement.seen) == Seen::Memory;
        label.say(format!(
            "{}.{}",
            statement.text,
            if memory { " †" } else { "" }
        ));
    }
    if labelled.met.is_empty() && labelled.gaps.is_empty() {
        label.say("No hazard class is on record. That does not show it to be harmless: see the data sheet.");
    }
    for said in &labelled.said {
        label.say(format!("{}.", capital(&clean(said).replace('`', ""))));
    }
    label.gaps = labelled
        .gaps
        .iter()
        .map(|gap| gap.replace('`', ""))
        .collect();
}

/// What a person must never do with it, before all else.
pub(super) fn never(label: &mut Label, products: &[&str]) {
    // Bleached shellac is no bleach.
    let words = || {
        products
            .iter()
            .flat_map(|name| name.split(|c: char| !c.is_alphanumeric()))
    };
    let any = |wanted: &str| words().any(|word| word.eq_ignore_ascii_case(wanted));
    if any("bleach") || any("hypochlorite") {
        label.say("Never mix with ammonia: the gas can kill.");
    }
    if any("ammonia") {
        label.say("Never mix with bleach: the gas can kill.");
    }
}

/// Words of caution of the trade.
pub(super) fn cautions(label: &mut Label, is_dry: bool) {
    if is_dry {
        label.say("Its dust can burn. Do not breathe it.");
    }
    if !label.gaps.is_empty() {
        label.say("Until you know: keep it closed and away from flame, skin, eyes and drain. Treat it as poison.");
    }
}

/// The precautions, in sentences.
pub(super) fn precaution_lines(ghs: &Ghs, labelled: &Labelled<'_>, label: &mut Label) {
    for statement in labelled.precautions(ghs).into_iter().take(PRECAUTIONS) {
        let mark = if statement.seen == Seen::Memory {
            " †"
        } else {
            ""
        };
        label.say(format!("{}{mark}", statement.text));
    }
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
    if names.iter().any(|name| !label.name.contains(name)) {
        label.say(format!("Contains {}.", clean(&names.join(", "))));
    }
}

//! The label of a container: what is in it, since when, until when, its hazards, and whom to ask.

use super::content::{Label, LabelPart, LabelSources, NOT_KNOWN, heading};
use super::hazards::{
    cautions, contains, contents_of, hazard_lines, hazards_of, precaution_lines, substances,
};
use crate::fact::Known;
use crate::quantity::{Amount, Day, Exact, ShareBasis, in_unit, natural, unit};
use crate::record::{Container, Location, Part, ProductKind, parse_parts};
use crate::stock::{ContainerState, TrialResult};
use crate::text::clean;
use crate::trade::{Flake, ShelfLife, cut_named, flake_named};
use crate::vapour::class::Flash;

/// What it says where no shelf life is in print.
const NO_TIME: &str = "no keeping time in print; test it before use";
/// A liquid waste that flashes below this is ignitable (40 CFR 261.21, 60 C).
const IGNITABLE: &str = "140 F";

/// The label of a container.
pub(super) fn container_label(sources: &LabelSources<'_>, at: usize) -> Option<Label> {
    let row = sources.tables.containers.get(at)?;
    let contents = sources.stock.containers.get(at)?;
    let product = *sources.stock.product_of.get(at)?;
    let kind = sources.tables.kinds.get(at).copied().flatten();
    let held = contents_of(sources, at)?;
    let labelled = hazards_of(sources, &held);
    let use_of = if is_brush_wash(row) {
        ContainerUse::BrushWash
    } else if kind == Some(ProductKind::Waste) {
        ContainerUse::Waste
    } else {
        ContainerUse::Stock
    };
    let mut label = Label {
        id: clean(&row.id),
        heading: heading(&row.id, &row.product),
        capacity: match row.capacity {
            Some(Amount::Volume(volume)) => Some(volume),
            _ => None,
        },
        ..Label::default()
    };
    band(&mut label, use_of, row, contents);
    hazard_lines(sources.ghs, &labelled, &mut label);
    let heats = std::iter::once(&product)
        .chain(&contents.also)
        .filter_map(|product| sources.hazards.get(*product))
        .any(|hazard| hazard.heats.value);
    cautions(&mut label, kind, heats);
    substances(&held, &mut label);
    contains(sources, &mut label);
    let facts = ContainerFacts {
        sources,
        row,
        contents,
        kind,
    };
    if use_of == ContainerUse::Stock {
        facts.of_stock(&mut label);
    } else {
        facts.of_waste(&mut label, use_of, &held.flash);
    }
    facts.of_place(&mut label);
    precaution_lines(sources.ghs, &labelled, &mut label);
    Some(label)
}

/// What a container is used for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum ContainerUse {
    Stock,
    Waste,
    BrushWash,
}

/// A jar for washing brushes is one that is named or noted so.
fn is_brush_wash(row: &Container) -> bool {
    let named = format!("{} {}", row.product, row.note.as_deref().unwrap_or("")).to_lowercase();
    ["brush wash", "brush-wash", "wash jar", "wash-jar"]
        .iter()
        .any(|word| named.contains(word))
}

fn band(label: &mut Label, use_of: ContainerUse, row: &Container, contents: &ContainerState) {
    let text = match use_of {
        ContainerUse::Stock => return,
        ContainerUse::Waste => "HAZARDOUS WASTE",
        ContainerUse::BrushWash => "BRUSH WASH, spent solvent",
    };
    let start = match (contents.filled, row.since) {
        (Some(day), _) => day.to_string(),
        (None, Some(since)) => {
            format!("{since} or earlier: it held some when the inventory began")
        }
        (None, None) => "not known: write the day of the first drop here ____________".into(),
    };
    label.say(LabelPart::Band, text);
    label.fact("Start date", start);
}

/// The hazard in the words of the waste rules.
fn ignitable(flash: &Known<Flash>) -> &'static str {
    let border = crate::quantity::Measure::parse(IGNITABLE).map(|m| m.temperature());
    match (flash.value(), border) {
        (Some(Flash::At(at)), Ok(border)) if *at < border => "ignitable: flash point below 60 C",
        (Some(_), Ok(_)) => "not ignitable by its flash point; others: see data sheet",
        (None, _) | (_, Err(_)) => "ignitable or not: not known; treat it as ignitable",
    }
}

/// A container and what is needed to speak of it.
struct ContainerFacts<'a, 's> {
    sources: &'a LabelSources<'s>,
    row: &'a Container,
    contents: &'a ContainerState,
    kind: Option<ProductKind>,
}

impl ContainerFacts<'_, '_> {
    fn of_stock(&self, label: &mut Label) {
        let (shellac, flakes) = (
            self.kind == Some(ProductKind::Shellac),
            self.kind == Some(ProductKind::Flakes),
        );
        let contents = self.contents;
        if shellac {
            label.fact("Cut", self.cut());
        }
        if shellac || flakes {
            label.fact("Flakes", self.flakes());
        } else if !contents.lots.is_empty() {
            label.fact("Lot", clean(&contents.lots.join(", ")));
        }
        if shellac {
            label.fact("Solvent", self.made_of(true));
        } else if !flakes {
            label.fact("Made of", self.made_of(false));
        }
        label.fact("Use by", self.use_by());
        let day = |day: Option<Day>| {
            day.map_or_else(|| "on a day not known".to_string(), |day| day.to_string())
        };
        let mut dates = Vec::new();
        if shellac || contents.made.is_some() {
            dates.push(format!("made {}", day(contents.made)));
        }
        // What nothing was ever taken from is sealed, as far as anybody wrote down.
        let opened = contents.opened.is_some() || contents.removed > Exact::ZERO;
        if opened && !(shellac && contents.opened.is_none()) && !flakes {
            dates.push(format!("opened {}", day(contents.opened)));
        }
        if let Some(since) = self.row.since.filter(|_| dates.is_empty()) {
            dates.push(format!("got here {since}"));
        }
        dates.push(format!("last test {}", self.last_test()));
        label.fact("Dates", dates.join("; "));
    }

    /// The trade's pound cut: pounds of flakes to a US gallon of alcohol, which is not a share of the whole.
    fn cut(&self) -> String {
        let cut = cut_named(&self.row.product).map(|cut| cut.digits());
        cut.map_or_else(
            || NOT_KNOWN.to_string(),
            |cut| format!("{cut} lb cut: {cut} lb of flakes to 1 US gallon of alcohol"),
        )
    }

    fn flakes(&self) -> String {
        let kind = flake_named(&self.row.product);
        let kind = kind.and_then(|flake| Flake::WORDS.iter().find(|(_, f)| *f == flake));
        let kind = kind.map_or("kind not known", |(word, _)| word);
        match self.contents.lots.as_slice() {
            [] => format!("{kind}, lot not known"),
            lots => format!("{kind}, lot {}", clean(&lots.join(", "))),
        }
    }

    /// What it is made of, as label, data sheet or the generic materials say; only solvents, if so asked.
    fn made_of(&self, solvents: bool) -> String {
        let tables = self.sources.tables;
        let is_solvent = |name: &str| tables.kind_of(name) == Some(ProductKind::Solvent);
        let parts = parts_of(self.sources, &self.row.product);
        let shown = parts.iter().filter(|p| !solvents || is_solvent(&p.name));
        let mut words: Vec<String> = shown.map(part_words).collect();
        if !solvents && parts.is_empty() {
            let generic = tables.materials.find(&self.row.product);
            words.extend(generic.map(|material| material.name.clone()));
        }
        let mut text = match words.as_slice() {
            [] => NOT_KNOWN.to_string(),
            words => words.join("; "),
        };
        let poured = self.poured(solvents);
        if !poured.is_empty() {
            text += &format!("; poured in: {}", poured.join(", "));
        }
        clean(&text)
    }

    /// What was poured together, each as the most it may be.
    fn poured(&self, solvents: bool) -> Vec<String> {
        let (tables, stock) = (self.sources.tables, self.sources.stock);
        let is_flakes = |name: &str| tables.kind_of(name) == Some(ProductKind::Flakes);
        let percent = unit::find("%");
        let content = self
            .contents
            .content
            .iter()
            .flat_map(|content| content.iter());
        let shown = content.filter_map(|portion| {
            let name = stock.products.get(portion.product)?;
            let most = portion.share.most().times(Exact::whole(100)).ok()?;
            let counts = !most.is_zero() && !(solvents && is_flakes(name));
            counts.then_some(format!(
                "{name} up to {} by volume",
                in_unit(most, percent?)
            ))
        });
        shown.collect()
    }

    fn use_by(&self) -> String {
        let (row, contents, on) = (self.row, self.contents, self.sources.stock.on);
        let failed = contents
            .trial
            .filter(|trial| trial.result == TrialResult::Fail);
        if let Some(trial) = failed {
            return format!(
                "FAILED its {} test on {}: throw out as waste",
                trial.test, trial.day
            );
        }
        if let Some(last) = row.best_before {
            let past = if on > last { "; PAST" } else { "" };
            return format!("{last}, the maker's day{past}");
        }
        let (tables, reference) = (self.sources.tables, self.sources.reference);
        let Some(life) = ShelfLife::of(tables, reference, row, contents, self.kind) else {
            return NO_TIME.into();
        };
        match life.from(row, contents) {
            Some(from) => self.days_of(&life, from),
            None => format!(
                "not known, since the day it was {} is not known: test it before use",
                life.from_word()
            ),
        }
    }

    /// The days of a shelf life that began on a day, with the rule behind it.
    fn days_of(&self, life: &ShelfLife, from: Day) -> String {
        let days = life.days(from, self.contents);
        let rule = if life.yours {
            life.says.clone()
        } else {
            let row = life.says.split(": ").next().unwrap_or_default();
            format!("{row}, grade {}", life.grade)
        };
        let passed = match days.passed {
            Some(_) => "after a passed test; ",
            None => "",
        };
        let on = self.sources.stock.on;
        let marked = |day: Day| format!("{day}{}", if on > day { ", PAST" } else { "" });
        let last = days.discard_after.map(marked);
        let test = days
            .test_from
            .filter(|test| days.discard_after.is_none_or(|last| *test < last))
            .map(|test| format!("test from {}", marked(test)));
        let days = match (last, test) {
            (Some(last), Some(test)) => format!("{last}; {test}"),
            (Some(last), None) => last,
            (None, Some(test)) => format!("no last day; {test}"),
            (None, None) => return NO_TIME.into(),
        };
        format!("{days} ({passed}{rule})")
    }

    fn last_test(&self) -> String {
        let Some(trial) = self.contents.trial else {
            return "none on record".into();
        };
        let result = match trial.result {
            TrialResult::Pass => "pass",
            TrialResult::Retest => "slow: jigs and sealing only, test again",
            TrialResult::Fail => "FAIL",
        };
        let minutes = trial.minutes.map(|m| format!(", dry in {m} min"));
        let minutes = minutes.unwrap_or_default();
        format!("{} on {}: {result}{minutes}", trial.test, trial.day)
    }

    /// Contents, and the hazard in the words of the waste rules.
    fn of_waste(&self, label: &mut Label, used: ContainerUse, flash: &Known<Flash>) {
        label.fact("Contents", self.made_of(false));
        label.fact("Waste hazard", ignitable(flash));
        label.caution(if used == ContainerUse::BrushWash {
            "Lid on between brushes. Once it is of no more use it is hazardous waste: mark it so, with the day."
        } else {
            "Keep closed but when adding. Not to the drain, not left to evaporate. Add only what the contents name."
        });
    }

    fn of_place(&self, label: &mut Label) {
        let (us, on) = (self.sources.tables.shop.us, self.sources.stock.on);
        let held = match self.contents.recorded() {
            Some(amount) if amount.base().is_zero() => "nothing".to_string(),
            Some(amount) => natural(amount, us),
            None => "amount not known".into(),
        };
        let size = match self.row.capacity {
            Some(size) => format!(" of {}", natural(size, us)),
            None => ", capacity not known".into(),
        };
        let place = place_words(self.sources, self.contents.location);
        label.fact("Holds", format!("{held}{size} on {on}; place: {place}"));
        ask(self.sources, label);
    }
}

/// Place and room.
pub(super) fn place_words(sources: &LabelSources<'_>, location: Location) -> String {
    let tables = sources.tables;
    let place = location.place.and_then(|at| tables.places.get(at));
    let room = location.room.and_then(|at| tables.rooms.get(at));
    let place = place.map(|place| place.id.as_str());
    let words: Vec<&str> = place
        .into_iter()
        .chain(room.map(|r| r.id.as_str()))
        .collect();
    match words.as_slice() {
        [] => "not known".into(),
        words => clean(&words.join(", ")),
    }
}

/// Whom to ask.
pub(super) fn ask(sources: &LabelSources<'_>, label: &mut Label) {
    let ask = sources.tables.shop.ask.as_deref();
    let ask = ask.map_or_else(|| "not known: give `ask` in shop.toml".into(), clean);
    label.fact("Ask", ask);
}

fn parts_of(sources: &LabelSources<'_>, product: &str) -> Vec<Part> {
    let tables = sources.tables;
    if let Some(described) = tables.product(product).filter(|p| !p.made_of.is_empty()) {
        return described.made_of.clone();
    }
    let stated = tables
        .materials
        .find(product)
        .and_then(|m| m.first("made_of"));
    stated
        .and_then(|stated| parse_parts(&stated.value))
        .unwrap_or_default()
}

fn part_words(part: &Part) -> String {
    let unit = match part.basis() {
        ShareBasis::Mass => "mass %",
        ShareBasis::Volume => "vol %",
        ShareBasis::NotSaid => "%",
    };
    let (low, high) = (part.low.percent, part.high.percent);
    if low == high {
        format!("{} {} {unit}", part.name, low.digits())
    } else {
        format!("{} {}-{} {unit}", part.name, low.digits(), high.digits())
    }
}

//! The label of a container: what is in it, since when, until when, its hazards, and whom to ask.

use super::hazards::{cautions, contains, hazard_lines, hazards_of, precaution_lines, substances};
use super::view::{Label, LabelLine, LabelPart, LabelSources, heading};
use crate::fact::Known;
use crate::quantity::{Amount, Day, ShareBasis, natural};
use crate::record::{Container, Part, ProductKind, parse_parts};
use crate::stock::{ContainerState, TrialResult};
use crate::text::clean;
use crate::trade::{ShelfLife, cut_named, flake_named};
use crate::vapour::class::Flash;

/// What a label says where a fact is missing.
pub(super) const NOT_KNOWN: &str = "not known: see data sheet";
/// A liquid waste that flashes below this is ignitable (40 CFR 261.21, 60 C).
const IGNITABLE: &str = "140 F";

/// The label of a container.
pub(super) fn container_label(sources: &LabelSources<'_>, at: usize) -> Option<Label> {
    let row = sources.tables.containers.get(at)?;
    let contents = sources.stock.containers.get(at)?;
    let product = *sources.stock.product_of.get(at)?;
    let kind = sources.tables.kinds.get(at).copied().flatten();
    let mut labelled = hazards_of(sources, product);
    let mut poured: Vec<&str> = Vec::new();
    for also in &contents.also {
        labelled.join(sources.ghs, hazards_of(sources, *also));
        poured.extend(sources.stock.products.get(*also).map(String::as_str));
    }
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
    substances(sources, product, &contents.also, &mut label);
    contains(sources, &mut label);
    let facts = ContainerFacts {
        sources,
        row,
        contents,
        kind,
        poured: &poured,
    };
    if use_of == ContainerUse::Stock {
        facts.of_stock(&mut label);
    } else {
        let products = std::iter::once(&product).chain(&contents.also);
        let flashes = products
            .filter_map(|at| sources.hazards.get(*at))
            .map(|h| &h.flash);
        facts.of_waste(&mut label, use_of, flashes);
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
    label.lines.push(LabelLine::of(LabelPart::Band, text));
    label.lines.push(LabelLine::fact("Start date", start));
}

/// The hazard in the words of the waste rules: ignitable as soon as anything in it is.
fn ignitable<'h>(flashes: impl Iterator<Item = &'h Known<Flash>>) -> &'static str {
    let border = crate::quantity::Measure::parse(IGNITABLE).map(|m| m.temperature());
    let mut known = border.is_ok();
    for flash in flashes {
        match (flash, &border) {
            (Known::Yes(fact), Ok(border)) => {
                if matches!(fact.value, Flash::At(at) if at < *border) {
                    return "ignitable: flash point below 60 C";
                }
            }
            _ => known = false,
        }
    }
    if known {
        "not ignitable by its flash point; others: see data sheet"
    } else {
        "ignitable or not: not known; treat it as ignitable"
    }
}

/// A container and what is needed to speak of it.
struct ContainerFacts<'a, 's> {
    sources: &'a LabelSources<'s>,
    row: &'a Container,
    contents: &'a ContainerState,
    kind: Option<ProductKind>,
    poured: &'a [&'a str],
}

impl ContainerFacts<'_, '_> {
    fn of_stock(&self, label: &mut Label) {
        let lines = &mut label.lines;
        let shellac = self.kind == Some(ProductKind::Shellac);
        if shellac {
            lines.push(LabelLine::fact("Cut", self.cut()));
        }
        if shellac || self.kind == Some(ProductKind::Flakes) {
            lines.push(LabelLine::fact("Flakes", self.flakes()));
        } else if !self.contents.lots.is_empty() {
            lines.push(LabelLine::fact(
                "Lot",
                clean(&self.contents.lots.join(", ")),
            ));
        }
        if shellac {
            lines.push(LabelLine::fact("Solvent", self.made_of(true)));
        } else if self.kind != Some(ProductKind::Flakes) {
            lines.push(LabelLine::fact("Made of", self.made_of(false)));
        }
        let day = |day: Option<Day>| {
            day.map_or_else(|| "on a day not known".to_string(), |day| day.to_string())
        };
        let mut dates = Vec::new();
        if shellac || self.contents.made.is_some() {
            dates.push(format!("made {}", day(self.contents.made)));
        }
        if self.contents.opened.is_some() || !shellac && self.kind != Some(ProductKind::Flakes) {
            dates.push(format!("opened {}", day(self.contents.opened)));
        }
        dates.extend(
            self.row
                .since
                .filter(|_| dates.is_empty())
                .map(|since| format!("got here {since}")),
        );
        lines.push(LabelLine::fact("Use by", self.use_by()));
        dates.push(format!("last test {}", self.last_test()));
        lines.push(LabelLine::fact("Dates", dates.join("; ")));
    }

    /// The trade's pound cut: pounds of flakes to a US gallon of alcohol, which is not a share of the whole.
    fn cut(&self) -> String {
        cut_named(&self.row.product).map_or_else(
            || NOT_KNOWN.to_string(),
            |cut| {
                let cut = cut.digits();
                format!("{cut} lb cut: {cut} lb of flakes to 1 US gallon of alcohol")
            },
        )
    }

    fn flakes(&self) -> String {
        let kind = flake_named(&self.row.product)
            .and_then(|flake| crate::trade::Flake::WORDS.iter().find(|(_, f)| *f == flake))
            .map_or("kind not known", |(word, _)| word);
        let lots = if self.contents.lots.is_empty() {
            "lot not known".to_string()
        } else {
            format!("lot {}", clean(&self.contents.lots.join(", ")))
        };
        format!("{kind}, {lots}")
    }

    /// What it is made of, as label, data sheet or the generic materials say; only solvents, if so asked.
    fn made_of(&self, solvents: bool) -> String {
        let tables = self.sources.tables;
        let mut words = Vec::new();
        let parts = parts_of(self.sources, &self.row.product);
        for part in &parts {
            let kind = tables.kind_of(&part.name);
            if !solvents || kind == Some(ProductKind::Solvent) {
                words.push(part_words(part));
            }
        }
        let named = tables
            .materials
            .find(&self.row.product)
            .filter(|_| parts.is_empty());
        words.extend(named.filter(|_| !solvents).map(|m| m.name.clone()));
        let mut text = if words.is_empty() {
            NOT_KNOWN.to_string()
        } else {
            words.join("; ")
        };
        let poured: Vec<&str> = self
            .poured
            .iter()
            .copied()
            .filter(|name| !solvents || tables.kind_of(name) != Some(ProductKind::Flakes))
            .collect();
        if !poured.is_empty() {
            text.push_str(&format!(
                "; poured in: {} (hazards as of it undiluted)",
                poured.join(", ")
            ));
        }
        clean(&text)
    }

    fn use_by(&self) -> String {
        let (row, contents, on) = (self.row, self.contents, self.sources.stock.on);
        if let Some(trial) = contents
            .trial
            .filter(|trial| trial.result == TrialResult::Fail)
        {
            return format!(
                "FAILED its {} test on {}: throw out as waste",
                trial.test, trial.day
            );
        }
        if let Some(last) = row.best_before {
            return format!(
                "{last}, the maker's day{}",
                if on > last { "; PAST" } else { "" }
            );
        }
        let Some(times) = ShelfLife::of(
            self.sources.tables,
            self.sources.reference,
            row,
            contents,
            self.kind,
        ) else {
            return "no keeping time in print; test it before use".into();
        };
        let Some(from) = times.from(row, contents) else {
            return format!(
                "not known, since the day it was {} is not known: test it before use",
                times.from_word()
            );
        };
        let days = times.days(from, contents);
        let rule = if times.yours {
            times.says.clone()
        } else {
            let row = times.says.split(": ").next().unwrap_or_default();
            format!("{row}, grade {}", times.grade)
        };
        let passed = if days.passed.is_some() {
            "after a passed test; "
        } else {
            ""
        };
        let past = |day: Day| if on > day { ", PAST" } else { "" };
        let test_from = days
            .test_from
            .filter(|test| days.discard_after.is_none_or(|last| *test < last));
        match (test_from, days.discard_after) {
            (Some(test), Some(last)) => {
                format!(
                    "{last}{}; test from {test}{} ({passed}{rule})",
                    past(last),
                    past(test)
                )
            }
            (None, Some(last)) => format!("{last}{} ({passed}{rule})", past(last)),
            (Some(test), None) => format!(
                "no last day; test from {test}{} ({passed}{rule})",
                past(test)
            ),
            (None, None) => "no keeping time in print; test it before use".into(),
        }
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
        let minutes = trial
            .minutes
            .map_or_else(String::new, |m| format!(", dry in {m} min"));
        format!("{} on {}: {result}{minutes}", trial.test, trial.day)
    }

    /// Contents, and the hazard in the words of the waste rules.
    fn of_waste<'h>(
        &self,
        label: &mut Label,
        use_of: ContainerUse,
        flashes: impl Iterator<Item = &'h Known<Flash>>,
    ) {
        label
            .lines
            .push(LabelLine::fact("Contents", self.made_of(false)));
        label
            .lines
            .push(LabelLine::fact("Waste hazard", ignitable(flashes)));
        let text = if use_of == ContainerUse::BrushWash {
            "Lid on between brushes. Once it is of no more use it is hazardous waste: mark it so, with the day."
        } else {
            "Keep closed but when adding. Not to the drain, not left to evaporate. Add only what the contents name."
        };
        label.lines.push(LabelLine::of(LabelPart::Caution, text));
    }

    fn of_place(&self, label: &mut Label) {
        let (us, on) = (self.sources.tables.shop.us, self.sources.stock.on);
        let shown = |amount: Option<Amount>| amount.map(|amount| natural(amount, us));
        let held = match self.contents.amount {
            Some(amount) if amount.base().is_zero() => Some("nothing".to_string()),
            amount => shown(amount),
        };
        let held = held.unwrap_or_else(|| "amount not known".into());
        let of = shown(self.row.capacity)
            .map_or_else(|| ", capacity not known".into(), |c| format!(" of {c}"));
        let place = place_words(self.sources, self.contents.location);
        let text = format!("{held}{of} on {on}; place: {place}");
        label.lines.push(LabelLine::fact("Holds", text));
        label.lines.push(ask(self.sources));
    }
}

/// Place and room.
pub(super) fn place_words(sources: &LabelSources<'_>, location: crate::record::Location) -> String {
    let tables = sources.tables;
    let place = location
        .place
        .and_then(|s| tables.places.get(s))
        .map(|s| s.id.as_str());
    let room = location
        .room
        .and_then(|r| tables.rooms.get(r))
        .map(|r| r.id.as_str());
    let words: Vec<&str> = place.into_iter().chain(room).collect();
    if words.is_empty() {
        "not known".into()
    } else {
        clean(&words.join(", "))
    }
}

/// Whom to ask.
pub(super) fn ask(sources: &LabelSources<'_>) -> LabelLine {
    let ask = sources.tables.shop.ask.as_deref();
    LabelLine::fact(
        "Ask",
        ask.map_or_else(|| "not known: give `ask` in shop.toml".into(), clean),
    )
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

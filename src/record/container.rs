//! `inventory.csv`: one vessel each row, and what it held on a day.

use super::row::Fields;
use crate::quantity::{Amount, Day, Dimension, Measure};
use crate::record::RecordFault;
use crate::text::{Problem, Shape, Span, words};

/// The columns of the inventory.
pub static INVENTORY: Shape = Shape {
    file: "inventory.csv",
    must: &["container", "product"],
    may: &[
        "lot",
        "vessel",
        "capacity",
        "place",
        "since",
        "amount",
        "opened",
        "made",
        "best_before",
        "labelled",
        "note",
    ],
};

words! {
    /// What a container is made as.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
    pub enum Vessel {
        Glass = "glass",
        Plastic = "plastic",
        ApprovedPlastic = "approved-plastic",
        Metal = "metal",
        SafetyCan = "safety-can",
        Drum = "drum",
        PortableTank = "portable-tank",
        Bag = "bag",
        Box = "box",
        Aerosol = "aerosol",
        Rag = "rag",
        Pad = "pad",
    }
}

/// What a word for a container says of its material.
enum Called {
    /// It is made as this.
    Known(Vessel),
    /// It may be any of these.
    Unclear(&'static str),
}

impl Vessel {
    /// What people call a container. A jar is taken for glass, which has the strictest limits.
    fn called(text: &str) -> Option<Called> {
        const EITHER: &str = "glass, plastic or approved-plastic";
        let name = text.to_lowercase().replace(' ', "-");
        if let Some(vessel) = Vessel::parse(&name) {
            return Some(Called::Known(vessel));
        }
        let shapes = [
            "can", "jar", "bottle", "pail", "bucket", "jug", "carboy", "tube", "tin",
        ];
        if let Some((material, shape)) = name.rsplit_once('-')
            && shapes.contains(&shape)
            && let Some(vessel) = Vessel::parse(material)
        {
            return Some(Called::Known(vessel));
        }
        Some(match name.as_str() {
            "can" | "tin" | "paint-can" => Called::Known(Vessel::Metal),
            "spray-can" | "spray" | "rattle-can" => Called::Known(Vessel::Aerosol),
            "metal-drum" | "steel-drum" => Called::Known(Vessel::Drum),
            "jar" | "mason-jar" => Called::Known(Vessel::Glass),
            "squeeze-bottle" => Called::Known(Vessel::Plastic),
            "bottle" | "jug" | "carboy" => Called::Unclear(EITHER),
            "pail" | "bucket" => Called::Unclear("metal, plastic or approved-plastic"),
            "tube" => Called::Unclear("metal or plastic"),
            _ => return None,
        })
    }

    /// Rags and pads are counted, not filled.
    pub fn is_cloth(self) -> bool {
        matches!(self, Vessel::Rag | Vessel::Pad)
    }
}

/// One container as written.
#[derive(Clone, Debug)]
pub struct Container {
    pub id: String,
    /// The product, as written.
    pub product: String,
    /// The maker's lot.
    pub lot: Option<String>,
    /// What it is made as.
    pub vessel: Option<Vessel>,
    /// What it holds when full.
    pub capacity: Option<Amount>,
    /// The place or room, as written.
    pub place: Option<String>,
    /// The day from which the inventory knows it.
    pub since: Option<Day>,
    /// What it held on that day; not given counts as full.
    pub amount: Option<Amount>,
    /// The day it was opened.
    pub opened: Option<Day>,
    /// The day it was mixed or manufactured.
    pub made: Option<Day>,
    /// The maker's last day.
    pub best_before: Option<Day>,
    /// Whether it bears a label.
    pub labelled: Option<bool>,
    /// What the shop notes of it.
    pub note: Option<String>,
    /// Where the row is.
    pub at: Span,
    /// Where the product is.
    pub product_at: Span,
    /// Where the place is.
    pub place_at: Span,
    /// Where the amount is.
    pub amount_at: Span,
    /// A size or an amount in ounces of weight, with its column: of a liquid it may be meant as fluid ounces.
    pub(super) by_ounces: Option<(&'static str, String, Span)>,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Container> {
    const AMOUNTS: [Dimension; 3] = [Dimension::Volume, Dimension::Mass, Dimension::Pieces];
    const DRY: [Dimension; 3] = [Dimension::Pieces, Dimension::Mass, Dimension::Volume];
    let (id, product) = (fields.name(0), fields.name(1));
    let vessel = vessel(fields);
    // A bare number of what is dry is most likely a number of pieces.
    let is_dry = matches!(vessel, Some(Vessel::Bag | Vessel::Box));
    let wanted = if is_dry { DRY } else { AMOUNTS };
    let capacity = fields.positive(4, &wanted);
    let amount = if vessel.is_some_and(Vessel::is_cloth) {
        pieces(fields)
    } else {
        fields.measure(7, &wanted)
    };
    if let (Some(held), Some(size)) = (amount, capacity)
        && held.unit.dimension == size.unit.dimension
        && held.base > size.base
    {
        let code = RecordFault::AmountOverCapacity {
            amount: held.text(),
            capacity: size.text(),
        };
        fields
            .problems
            .add(Problem::between(code, fields.span(7), fields.span(4)));
    }
    let container = Container {
        id: id?.to_string(),
        product: product?.to_string(),
        lot: fields.owned(2),
        vessel,
        capacity: capacity.and_then(|m| m.amount()),
        place: fields.owned(5),
        since: fields.day(6),
        amount: amount.and_then(|m| m.amount()),
        opened: fields.day(8),
        made: fields.day(9),
        best_before: fields.day(10),
        labelled: fields.yes_no(11),
        note: fields.owned(12),
        at: fields.row.span(),
        product_at: fields.span(1),
        place_at: fields.span(5),
        amount_at: fields.span(7),
        by_ounces: by_ounces(fields, &[("capacity", 4, capacity), ("amount", 7, amount)]),
    };
    Some(container)
}

/// What the container is made of, by the word of the files or by what people call such a container.
fn vessel(fields: &mut Fields<'_, '_>) -> Option<Vessel> {
    let text = fields.text(3)?;
    match Vessel::called(text) {
        Some(Called::Known(vessel)) => Some(vessel),
        Some(Called::Unclear(choices)) => {
            let read = text.to_string();
            let fault = RecordFault::VesselUnclear { read, choices };
            fields.problems.add(Problem::new(fault, fields.span(3)));
            None
        }
        None => fields.word(3, &Vessel::WORDS),
    }
}

/// The first of these that is in ounces of weight.
fn by_ounces(
    fields: &Fields<'_, '_>,
    cells: &[(&'static str, usize, Option<Measure>)],
) -> Option<(&'static str, String, Span)> {
    let is_ounces = |measure: &Option<Measure>| measure.is_some_and(|m| m.unit.symbol == "oz");
    let (name, column, measure) = cells.iter().find(|(_, _, measure)| is_ounces(measure))?;
    Some((name, measure.as_ref()?.text(), fields.span(*column)))
}

/// Rags and pads are counted: a row without a number of pieces would be no rag to any rule.
fn pieces(fields: &mut Fields<'_, '_>) -> Option<Measure> {
    fields.must(7)?;
    fields.measure(7, &[Dimension::Pieces])
}

#[cfg(test)]
mod tests {
    use super::{Called, Vessel};

    #[test]
    fn a_container_is_known_by_what_people_call_it() {
        let known = |text: &str| match Vessel::called(text) {
            Some(Called::Known(vessel)) => vessel.word(),
            Some(Called::Unclear(_)) => "unclear",
            None => "unknown",
        };
        for (text, word) in [
            ("glass", "glass"),
            ("Can", "metal"),
            ("tin", "metal"),
            ("spray can", "aerosol"),
            ("aerosol can", "aerosol"),
            ("steel drum", "drum"),
            ("jar", "glass"),
            ("plastic jar", "plastic"),
            ("glass bottle", "glass"),
            ("squeeze bottle", "plastic"),
            ("metal pail", "metal"),
            ("safety can", "safety-can"),
            ("Approved Plastic", "approved-plastic"),
            ("approved-plastic jug", "approved-plastic"),
            ("drum", "drum"),
            ("bottle", "unclear"),
            ("pail", "unclear"),
            ("bucket", "unclear"),
            ("carboy", "unclear"),
            ("tube", "unclear"),
            ("glas", "unknown"),
            ("crock", "unknown"),
        ] {
            assert_eq!(known(text), word, "{text}");
        }
    }
}

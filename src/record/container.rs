//! `inventory.csv`: one vessel each row, and what it held on a day.

use super::row::Fields;
use crate::quantity::{Amount, Day, Dimension, Measure};
use crate::record::RecordFault;
use crate::text::{Problem, Shape, Span};

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

/// What a container is made as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the words say it")]
pub enum Vessel {
    Glass,
    Plastic,
    ApprovedPlastic,
    Metal,
    SafetyCan,
    Drum,
    PortableTank,
    Bag,
    Box,
    Aerosol,
    Rag,
    Pad,
}

impl Vessel {
    /// The words of the files.
    pub const WORDS: [(&'static str, Vessel); 12] = [
        ("glass", Vessel::Glass),
        ("plastic", Vessel::Plastic),
        ("approved-plastic", Vessel::ApprovedPlastic),
        ("metal", Vessel::Metal),
        ("safety-can", Vessel::SafetyCan),
        ("drum", Vessel::Drum),
        ("portable-tank", Vessel::PortableTank),
        ("bag", Vessel::Bag),
        ("box", Vessel::Box),
        ("aerosol", Vessel::Aerosol),
        ("rag", Vessel::Rag),
        ("pad", Vessel::Pad),
    ];

    /// The word of the files.
    pub fn word(self) -> &'static str {
        Self::WORDS
            .iter()
            .find(|(_, vessel)| *vessel == self)
            .map_or("?", |(word, _)| word)
    }

    /// Rags and pads are counted, not filled.
    pub fn is_cloth(self) -> bool {
        matches!(self, Vessel::Rag | Vessel::Pad)
    }
}

/// One container as written.
#[derive(Clone, Debug)]
pub struct Container {
    /// Its name.
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
    /// Where the row stands.
    pub at: Span,
    /// Where the product stands.
    pub product_at: Span,
    /// Where the place stands.
    pub place_at: Span,
    /// Where the amount stands.
    pub amount_at: Span,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Container> {
    const AMOUNTS: [Dimension; 3] = [Dimension::Volume, Dimension::Mass, Dimension::Pieces];
    const DRY: [Dimension; 3] = [Dimension::Pieces, Dimension::Mass, Dimension::Volume];
    let (id, product) = (fields.name(0), fields.name(1));
    let vessel = fields.word(3, &Vessel::WORDS);
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
    };
    Some(container)
}

/// Rags and pads are counted: a row without a number of pieces would be no rag to any rule.
fn pieces(fields: &mut Fields<'_, '_>) -> Option<Measure> {
    fields.must(7)?;
    fields.measure(7, &[Dimension::Pieces])
}

//! `products.csv`: what the label and the data sheet say. What is not said here may come from the generic materials.

use super::minutes::read_minutes;
use super::row::Fields;
use crate::quantity::{
    Day, Density, Dimension, Exact, Measure, Period, Share, ShareBasis, Temperature,
};
use crate::record::RecordFault;
use crate::text::{CellFault, Problem, Shape, Span, words};

/// The columns.
pub(super) const SHAPE: Shape = Shape {
    file: "products.csv",
    must: &["product"],
    may: &[
        "kind",
        "made_of",
        "flash_point",
        "boiling_point",
        "density",
        "solids",
        "voc",
        "drying_oil",
        "keeps_sealed",
        "keeps_opened",
        "sheet_dated",
        "note",
        "sheet",
        "minutes",
    ],
};

words! {
    /// What sort of thing a product is.
    #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
    pub enum ProductKind {
        Solvent = "solvent",
        Shellac = "shellac",
        Flakes = "flakes",
        OilVarnish = "oil-varnish",
        DryingOil = "drying-oil",
        NonDryingOil = "non-drying-oil",
        Lacquer = "lacquer",
        Stain = "stain",
        Wax = "wax",
        Abrasive = "abrasive",
        Cleaner = "cleaner",
        Corrosive = "corrosive",
        Waste = "waste",
        Other = "other",
    }
}

impl ProductKind {
    /// Paint, varnish, oil and the like, as opposed to a solvent by itself.
    pub fn is_finish(self) -> bool {
        match self {
            ProductKind::Shellac
            | ProductKind::OilVarnish
            | ProductKind::DryingOil
            | ProductKind::NonDryingOil
            | ProductKind::Lacquer
            | ProductKind::Stain
            | ProductKind::Wax => true,
            ProductKind::Solvent
            | ProductKind::Flakes
            | ProductKind::Abrasive
            | ProductKind::Cleaner
            | ProductKind::Corrosive
            | ProductKind::Waste
            | ProductKind::Other => false,
        }
    }

    /// Is it a liquid, whatever the product? Wax, waste and what is none of these may be either.
    pub fn is_liquid(self) -> bool {
        match self {
            ProductKind::Solvent
            | ProductKind::Shellac
            | ProductKind::OilVarnish
            | ProductKind::DryingOil
            | ProductKind::NonDryingOil
            | ProductKind::Lacquer
            | ProductKind::Stain => true,
            ProductKind::Flakes
            | ProductKind::Wax
            | ProductKind::Abrasive
            | ProductKind::Cleaner
            | ProductKind::Corrosive
            | ProductKind::Waste
            | ProductKind::Other => false,
        }
    }
}

/// A part of a mixture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Name of the material.
    pub name: String,
    /// The least share of it.
    pub low: Share,
    pub high: Share,
}

/// One product as the shop describes it.
#[derive(Clone, Debug)]
pub struct Product {
    pub id: String,
    /// What sort of thing it is.
    pub kind: Option<ProductKind>,
    /// What it is made of.
    pub made_of: Vec<Part>,
    /// Its own flash point; `Some(None)` where the sheet says that it does not flash.
    pub flash_point: Option<Option<Temperature>>,
    /// Where it begins to boil.
    pub boiling_point: Option<Temperature>,
    pub density: Option<Density>,
    pub solids: Option<Share>,
    /// Solvent in a litre.
    pub voc: Option<Density>,
    /// Whether what is wet with it can self-heat.
    pub drying_oil: Option<bool>,
    /// How long it keeps, sealed: the user's own figure.
    pub keeps_sealed: Option<Period>,
    /// How long it keeps, opened: the user's own figure.
    pub keeps_opened: Option<Period>,
    /// The day that stands on its data sheet.
    pub sheet_dated: Option<Day>,
    /// What the shop notes of it.
    pub note: Option<String>,
    /// The path of its data sheet in the shop folder.
    pub sheet: Option<String>,
    /// products.csv says that there is no data sheet.
    pub lacks_sheet: bool,
    /// Whether its file is in the shop folder, if that was looked at.
    pub sheet_found: Option<bool>,
    /// Where that path is.
    pub sheet_at: Span,
    /// How many minutes of work a use of it mostly takes.
    pub minutes: Option<u32>,
    /// Where each cell is.
    pub at: Span,
    /// Where the flash point is.
    pub flash_at: Span,
}

pub(super) fn read(fields: &mut Fields<'_, '_>) -> Option<Product> {
    Some(Product {
        id: fields.name(0)?.to_string(),
        kind: fields.word(1, &ProductKind::WORDS),
        made_of: parts(fields),
        flash_point: flash_point(fields),
        boiling_point: fields
            .measure(4, &[Dimension::Temperature])
            .map(|m| m.temperature()),
        density: density(fields, 5),
        solids: fields.measure(6, &[Dimension::Share]).map(|m| m.share()),
        voc: density(fields, 7),
        drying_oil: fields.yes_no(8),
        keeps_sealed: fields.period(9),
        keeps_opened: fields.period(10),
        sheet_dated: fields.day(11),
        note: fields.owned(12),
        sheet: sheet(fields),
        lacks_sheet: lacks_sheet(fields),
        sheet_found: None,
        sheet_at: fields.span(SHEET),
        minutes: fields
            .text(MINUTES)
            .and_then(|text| read_minutes(fields, MINUTES, text)),
        at: fields.row.span(),
        flash_at: fields.span(3),
    })
}

/// The column of the data sheet.
const SHEET: usize = 13;
/// The column of the usual minutes.
const MINUTES: usize = 14;

/// Does the cell say that there is no data sheet to be had?
fn lacks_sheet(fields: &Fields<'_, '_>) -> bool {
    fields
        .text(SHEET)
        .is_some_and(|text| text.eq_ignore_ascii_case("none"))
}

/// A path inside the shop folder, with slashes on every system.
fn sheet(fields: &mut Fields<'_, '_>) -> Option<String> {
    let text = fields.text(SHEET).filter(|_| !lacks_sheet(fields))?;
    let inside = |part: &str| !matches!(part, "" | "." | "..");
    if text.split('/').all(inside) && !text.contains(['\\', ':']) {
        return Some(text.to_string());
    }
    let code = CellFault::Unfit {
        column: "sheet".into(),
        read: text.into(),
        wanted: "a path inside the shop folder, such as sheets/varnish.pdf, or none".into(),
    };
    fields.problems.add(Problem::new(code, fields.span(SHEET)));
    None
}

fn flash_point(fields: &mut Fields<'_, '_>) -> Option<Option<Temperature>> {
    if fields
        .text(3)
        .is_some_and(|text| text.eq_ignore_ascii_case("none"))
    {
        return Some(None);
    }
    fields
        .measure(3, &[Dimension::Temperature])
        .map(|m| Some(m.temperature()))
}

fn density(fields: &mut Fields<'_, '_>, column: usize) -> Option<Density> {
    let text = fields.text(column)?;
    match Density::parse(text) {
        Ok(density) => Some(density),
        Err(fault) => {
            fields.fault(column, fault, &[Dimension::Density]);
            None
        }
    }
}

fn parts(fields: &mut Fields<'_, '_>) -> Vec<Part> {
    let Some(text) = fields.text(2) else {
        return Vec::new();
    };
    let code = match parse_parts(text) {
        Some(parts) => match over(&parts) {
            None => return parts,
            Some(total) => RecordFault::PartsOver { total },
        },
        None => RecordFault::PartsWrong { read: text.into() },
    };
    fields.problems.add(Problem::new(code, fields.span(2)));
    Vec::new()
}

/// The total of the low ends, or a single part, if that is more than the whole.
fn over(parts: &[Part]) -> Option<String> {
    let whole = Exact::whole(100);
    let mut total = Exact::ZERO;
    for part in parts {
        if part.high.percent > whole {
            return Some(part.high.percent.digits());
        }
        total = total.plus(part.low.percent).ok()?;
    }
    (total > whole).then(|| total.digits())
}

/// The total of the high ends, if even they do not come to the whole (a hundredth is allowed for rounding).
pub fn short_of_whole(parts: &[Part]) -> Option<String> {
    let mut total = Exact::ZERO;
    for part in parts {
        total = total.plus(part.high.percent).ok()?;
    }
    (total < Exact::whole(99)).then(|| total.digits())
}

/// Reads `ethanol 90 vol %; methanol 5-10 vol %`; `None` if it is not such a list.
pub fn parse_parts(text: &str) -> Option<Vec<Part>> {
    text.split(';')
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(parse_part)
        .collect()
}

fn parse_part(text: &str) -> Option<Part> {
    let at = text
        .char_indices()
        .rev()
        .find(|(at, c)| c.is_ascii_digit() && text[..*at].ends_with(char::is_whitespace))
        .map(|(at, _)| at)?;
    let (name, share) = (text[..at].trim(), &text[at..]);
    let unit_at =
        share.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c.is_whitespace()))?;
    let (numbers, unit) = (share[..unit_at].trim(), &share[unit_at..]);
    let one = |number: &str| {
        Measure::parse_as(&format!("{} {unit}", number.trim()), Dimension::Share)
            .ok()
            .map(|m| m.share())
    };
    let (low, high) = match numbers.split_once('-') {
        Some((low, high)) => (one(low)?, one(high)?),
        None => (one(numbers)?, one(numbers)?),
    };
    let fits = !name.is_empty() && low.percent <= high.percent && low.basis == high.basis;
    fits.then(|| Part {
        name: name.to_string(),
        low,
        high,
    })
}

impl Part {
    /// How its share is meant.
    pub fn basis(&self) -> ShareBasis {
        self.low.basis
    }
}

#[cfg(test)]
mod tests {
    use super::parse_parts;

    #[test]
    fn parts_of_a_mixture() {
        let parts = parse_parts("ethanol 90 vol %; VM&P naphtha 5-10 vol %;").unwrap();
        assert_eq!(parts.len(), 2);
        assert_eq!(parts[1].name, "VM&P naphtha");
        assert_eq!(parts[1].low.percent.digits(), "5");
        assert_eq!(parts[1].high.percent.digits(), "10");
        for wrong in [
            "ethanol",
            "90 %",
            "ethanol 90",
            "ethanol 10-5 %",
            "ethanol 1,5 %",
        ] {
            assert!(parse_parts(wrong).is_none(), "{wrong}");
        }
    }
}

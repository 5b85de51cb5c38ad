//! `data/keeping.csv`: how long a thing keeps, sealed, opened or mixed, each figure with its grade and source.

use super::cut::Flake;
use crate::quantity::{Dimension, Exact, Period};
use crate::record::{Fields, ProductKind};
use crate::text::{FileId, Files, Problems, Shape, Span, Table};

const SHAPE: Shape = Shape {
    file: "keeping.csv",
    must: &[
        "item",
        "kind",
        "state",
        "clock",
        "test",
        "published",
        "grade",
        "source",
    ],
    may: &[
        "cut_from",
        "cut_to",
        "flake",
        "test_from",
        "discard_after",
        "pass_extends",
        "note",
    ],
};

/// The state whose time it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum KeepState {
    /// Never opened.
    Sealed,
    /// Opened.
    Opened,
    /// Mixed in the shop.
    Mixed,
}

/// The day from which a time runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ShelfClock {
    Made,
    Opened,
    Arrived,
    BestBefore,
    Inspected,
}

#[derive(Clone, Debug)]
pub struct KeepingRow {
    /// Its name; for most the material's, in lower case and with hyphens.
    pub item: String,
    /// The kind of product.
    pub kind: ProductKind,
    pub state: KeepState,
    /// Cuts it is for, from the first up to but not the second.
    pub cuts: Option<(Exact, Exact)>,
    /// The kind of flake it is for.
    pub flake: Option<Flake>,
    /// Age from which it is tested.
    pub test_from: Option<Period>,
    /// Age at which it is discarded.
    pub discard_after: Option<Period>,
    /// From which day the age runs.
    pub clock: ShelfClock,
    /// How long a passed test is good.
    pub pass_extends: Option<Period>,
    pub test: String,
    /// What is in print.
    pub published: String,
    /// How well the figure is supported: H, M, L, or judgment.
    pub grade: String,
    pub source: String,
    /// Where the row is.
    pub at: Span,
}

/// What a shelf life is looked up by.
#[derive(Clone, Copy, Debug)]
pub struct KeepingQuery<'q> {
    pub name: &'q str,
    pub kind: Option<ProductKind>,
    /// Its cut, if it is shellac.
    pub cut: Option<Exact>,
    /// Its flake, if that is known.
    pub flake: Option<Flake>,
    /// Sealed, opened or mixed.
    pub state: KeepState,
}

#[derive(Debug, Default)]
pub struct KeepingTable {
    pub rows: Vec<KeepingRow>,
}

impl KeepingTable {
    /// The row for a product by its name, and failing that by kind, cut and flake. Where the flake is unknown the
    /// shortest time is taken.
    pub fn find(&self, wanted: &KeepingQuery<'_>) -> Option<&KeepingRow> {
        let KeepingQuery {
            name,
            kind,
            cut,
            flake,
            state,
        } = *wanted;
        let item = name
            .to_lowercase()
            .replace([' ', ','], "-")
            .replace("--", "-");
        let named = |state| {
            self.rows
                .iter()
                .find(|row| row.item == item && row.state == state)
        };
        if let Some(row) = named(state) {
            return Some(row);
        }
        let kind = kind?;
        self.rows
            .iter()
            .filter(|row| {
                row.kind == kind && row.state == state && row.cuts.is_some() == cut.is_some()
            })
            .filter(|row| {
                row.cuts
                    .is_none_or(|(from, to)| cut.is_some_and(|cut| cut >= from && cut < to))
            })
            .filter(|row| row.flake.is_none() || flake.is_none() || row.flake == flake)
            .filter(|row| stands_for_its_kind(row))
            .min_by_key(|row| months(row.discard_after.or(row.test_from)))
    }
}

/// Rows that speak for every product of their kind, not only for the one they are named after.
fn stands_for_its_kind(row: &KeepingRow) -> bool {
    match row.kind {
        ProductKind::Shellac => !row.item.contains("undated"),
        ProductKind::Flakes | ProductKind::DryingOil | ProductKind::Lacquer => true,
        ProductKind::OilVarnish => row.item == "oil-varnish",
        ProductKind::Solvent
        | ProductKind::NonDryingOil
        | ProductKind::Stain
        | ProductKind::Wax
        | ProductKind::Abrasive
        | ProductKind::Cleaner
        | ProductKind::Corrosive
        | ProductKind::Waste
        | ProductKind::Other => false,
    }
}

fn months(span: Option<Period>) -> u32 {
    match span {
        Some(Period::Months(n)) => n,
        Some(Period::Days(n)) => n / 30,
        Some(Period::Hours(_) | Period::Minutes(_)) => 0,
        None => u32::MAX,
    }
}

pub fn read_keeping(files: &Files, file: FileId, problems: &mut Problems) -> KeepingTable {
    let mut keeping = KeepingTable::default();
    let Some(mut table) = Table::open(files, file, &SHAPE, problems) else {
        return keeping;
    };
    while let Some(row) = table.next(problems) {
        keeping.rows.extend(read_row(&mut Fields { row, problems }));
    }
    table.finish(problems);
    keeping
}

fn read_row(fields: &mut Fields<'_, '_>) -> Option<KeepingRow> {
    let states = [
        ("sealed", KeepState::Sealed),
        ("opened", KeepState::Opened),
        ("mixed", KeepState::Mixed),
    ];
    let clocks = [
        ("made", ShelfClock::Made),
        ("opened", ShelfClock::Opened),
        ("arrived", ShelfClock::Arrived),
        ("best_before", ShelfClock::BestBefore),
        ("inspected", ShelfClock::Inspected),
    ];
    let (item, kind) = (fields.must(0), fields.word(1, &ProductKind::WORDS));
    let (state, clock) = (fields.word(2, &states), fields.word(3, &clocks));
    let from = fields.measure(8, &[Dimension::Mass]).map(|m| m.written);
    let to = fields.measure(9, &[Dimension::Mass]).map(|m| m.written);
    Some(KeepingRow {
        item: item?.to_string(),
        kind: kind?,
        state: state?,
        cuts: from.zip(to),
        flake: fields.word(10, &Flake::WORDS),
        test_from: fields.period(11),
        discard_after: fields.period(12),
        clock: clock?,
        pass_extends: fields.period(13),
        test: fields.owned(4).unwrap_or_default(),
        published: fields.owned(5).unwrap_or_default(),
        grade: fields.owned(6).unwrap_or_default(),
        source: fields.owned(7).unwrap_or_default(),
        at: fields.row.span(),
    })
}

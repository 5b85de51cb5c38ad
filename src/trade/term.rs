//! How long a container keeps: from which day, tested when, discarded when, and who says so.

use super::ReferenceData;
use super::cut::{cut_named, keeping_flake};
use super::keeping::{KeepState, KeepingQuery, KeepingRow, ShelfClock};
use crate::quantity::{Day, Exact, Period};
use crate::record::{Container, ProductKind, ShopTables};
use crate::stock::{ContainerState, TrialResult};
use crate::text::Span;

/// The times that apply, and who says so.
#[derive(Clone, Debug)]
pub struct ShelfLife {
    /// Age from which it is tested.
    pub test_from: Option<Period>,
    /// Age at which it is discarded.
    pub discard_after: Option<Period>,
    /// How long a passed test is good.
    pub extends: Option<Period>,
    /// From which day the age runs.
    pub clock: ShelfClock,
    pub says: String,
    /// How well the figure is supported.
    pub grade: String,
    pub test: String,
    /// Where the figure is.
    pub at: Span,
    /// What a reader must be told.
    pub said: Vec<String>,
}

/// The days of a container, once its times and its first day are known.
#[derive(Clone, Copy, Debug)]
pub struct Days {
    /// Test it from this day on.
    pub test_from: Option<Day>,
    /// Discard it after this day.
    pub discard_after: Option<Day>,
    /// The passed test that moved them, and until when it is good.
    pub passed: Option<Day>,
}

impl ShelfLife {
    /// The times of a container: the user's own figure in products.csv wins, and is named; then the trade's. `None` for
    /// goods with no keeping time in print.
    pub fn find(
        tables: &ShopTables,
        reference: &ReferenceData,
        row: &Container,
        contents: &ContainerState,
        kind: Option<ProductKind>,
    ) -> Option<ShelfLife> {
        let state = state(row, contents, kind);
        if let Some(own) = own_figure(tables, row, state) {
            return Some(own);
        }
        let (cut, flake) = (cut_named(&row.product), keeping_flake(&row.product));
        let cut = cut.filter(|_| kind == Some(ProductKind::Shellac));
        let name = tables
            .materials
            .find(&row.product)
            .map_or(row.product.as_str(), |m| m.name.as_str());
        let found = reference.keeping.find(&KeepingQuery {
            name,
            kind,
            cut,
            flake,
            state,
        })?;
        (found.test_from.is_some() || found.discard_after.is_some())
            .then(|| of_row(found, flake.is_none(), kind))
    }

    /// The day from which the age of a container runs, if it is known.
    pub fn from(&self, row: &Container, contents: &ContainerState) -> Option<Day> {
        match self.clock {
            ShelfClock::Made => contents.made,
            ShelfClock::Opened => contents.opened,
            // Goods that were made long before they got here are as old as they are.
            ShelfClock::Arrived => row.since.into_iter().chain(contents.made).min(),
            ShelfClock::BestBefore => row.best_before,
            ShelfClock::Inspected => None,
        }
    }

    /// What happened on that day.
    pub fn from_word(&self) -> &'static str {
        match self.clock {
            ShelfClock::Made => "mixed or made",
            ShelfClock::Opened => "opened",
            ShelfClock::Arrived | ShelfClock::BestBefore | ShelfClock::Inspected => {
                "made or received"
            }
        }
    }

    /// The days, counted from `from`; a test passed since moves them.
    pub fn days(&self, from: Day, contents: &ContainerState) -> Days {
        let mut days = Days {
            test_from: self.test_from.map(|span| from.plus(span)),
            discard_after: self.discard_after.map(|span| from.plus(span)),
            passed: None,
        };
        if let Some(trial) = contents
            .trial
            .filter(|t| t.result == TrialResult::Pass && t.day >= from)
            && let Some(extends) = self.extends
        {
            let good = trial.day.plus(extends);
            days.test_from = days.test_from.map(|day| day.max(good));
            days.discard_after = days.discard_after.map(|day| day.max(good));
            days.passed = Some(good);
        }
        days
    }
}

fn of_row(row: &KeepingRow, flake_unknown: bool, kind: Option<ProductKind>) -> ShelfLife {
    let mut said = vec![format!("in print: {}", row.published)];
    if flake_unknown
        && matches!(kind, Some(ProductKind::Shellac | ProductKind::Flakes))
        && row.flake.is_some()
    {
        said.push("the kind of flake is not named, so the shortest time is taken".into());
    }
    ShelfLife {
        test_from: row.test_from,
        discard_after: row.discard_after,
        extends: row.pass_extends,
        clock: row.clock,
        says: format!(
            "shelf life of {}: {}",
            row.item.replace('-', " "),
            row.source
        ),
        grade: row.grade.clone(),
        test: row.test.clone(),
        at: row.at,
        said,
    }
}

fn own_figure(tables: &ShopTables, row: &Container, state: KeepState) -> Option<ShelfLife> {
    let product = tables.product(&row.product)?;
    let (span, column, clock) = match state {
        KeepState::Sealed => (product.keeps_sealed?, "keeps_sealed", ShelfClock::Arrived),
        KeepState::Opened => (product.keeps_opened?, "keeps_opened", ShelfClock::Opened),
        KeepState::Mixed => (product.keeps_opened?, "keeps_opened", ShelfClock::Made),
    };
    Some(ShelfLife {
        test_from: None,
        discard_after: Some(span),
        extends: Some(Period::Months(3)),
        clock,
        says: format!("your own figure, {column} in products.csv"),
        grade: "yours".into(),
        test: "glass".into(),
        at: product.at,
        said: Vec::new(),
    })
}

/// Mixed in the shop, opened, or sealed. A bag of flakes or powder ages alike open or shut.
fn state(row: &Container, contents: &ContainerState, kind: Option<ProductKind>) -> KeepState {
    let mixed = kind == Some(ProductKind::Shellac)
        && (cut_named(&row.product).is_some()
            || contents.made.is_some() && row.best_before.is_none());
    if mixed {
        KeepState::Mixed
    } else if contents.opened.is_some() || contents.removed > Exact::ZERO {
        KeepState::Opened
    } else {
        KeepState::Sealed
    }
}

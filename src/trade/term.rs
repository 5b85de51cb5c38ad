//! How long a container keeps: from which day, tested when, thrown out when, and who says so.

use super::Craft;
use super::cut::{cut_named, flake_named};
use super::keeping::{Clock, KeepState, KeepingRow};
use crate::quantity::{Day, Exact, Span};
use crate::record::{Book, Container, ProductKind};
use crate::stock::{Holding, TrialResult};
use crate::text::Place;

/// The times that apply, and who says so.
#[derive(Clone, Debug)]
pub struct Times {
    /// Age from which it is tested.
    pub test_from: Option<Span>,
    /// Age at which it is thrown out.
    pub discard_after: Option<Span>,
    /// How long a passed test is good.
    pub extends: Option<Span>,
    /// From which day the age runs.
    pub clock: Clock,
    /// Who says so.
    pub says: String,
    /// How well the figure is supported.
    pub grade: String,
    /// Which tests decide.
    pub test: String,
    /// Where the figure stands.
    pub at: Place,
    /// What a reader must be told.
    pub said: Vec<String>,
    /// The user's own figure.
    pub yours: bool,
}

/// The days of a container, once its times and its first day are known.
#[derive(Clone, Copy, Debug)]
pub struct Days {
    /// Test it from this day on.
    pub test_from: Option<Day>,
    /// Throw it out after this day.
    pub discard_after: Option<Day>,
    /// The passed test that moved them, and until when it is good.
    pub passed: Option<Day>,
}

impl Times {
    /// The times of a container: the user's own figure in products.csv wins, and is named; then the trade's. `None` for
    /// goods with no keeping time in print.
    pub fn of(
        book: &Book,
        craft: &Craft,
        row: &Container,
        holding: &Holding,
        kind: Option<ProductKind>,
    ) -> Option<Times> {
        let state = state(row, holding, kind);
        if let Some(own) = own_figure(book, row, state) {
            return Some(own);
        }
        let (cut, flake) = (cut_named(&row.product), flake_named(&row.product));
        let cut = cut.filter(|_| kind == Some(ProductKind::Shellac));
        let name = book
            .materials
            .find(&row.product)
            .map_or(row.product.as_str(), |m| m.name.as_str());
        let found = craft.keeping.find(name, kind, cut, flake, state)?;
        (found.test_from.is_some() || found.discard_after.is_some())
            .then(|| of_row(found, flake.is_none(), kind))
    }

    /// The day from which the age of a container runs, if it is known.
    pub fn from(&self, row: &Container, holding: &Holding) -> Option<Day> {
        match self.clock {
            Clock::Made => holding.made,
            Clock::Opened => holding.opened,
            Clock::Arrived => row.since.or(holding.made),
            Clock::BestBefore => row.best_before,
            Clock::Inspected => None,
        }
    }

    /// What happened on that day.
    pub fn from_word(&self) -> &'static str {
        match self.clock {
            Clock::Made => "mixed or made",
            Clock::Opened => "opened",
            Clock::Arrived | Clock::BestBefore | Clock::Inspected => "got here",
        }
    }

    /// The days, counted from `from`; a test passed since moves them.
    pub fn days(&self, from: Day, holding: &Holding) -> Days {
        let mut days = Days {
            test_from: self.test_from.map(|span| from.plus(span)),
            discard_after: self.discard_after.map(|span| from.plus(span)),
            passed: None,
        };
        if let Some(trial) = holding
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

fn of_row(row: &KeepingRow, flake_unknown: bool, kind: Option<ProductKind>) -> Times {
    let mut said = vec![format!("in print: {}", row.published)];
    if flake_unknown
        && matches!(kind, Some(ProductKind::Shellac | ProductKind::Flakes))
        && row.flake.is_some()
    {
        said.push("the kind of flake is not named, so the shortest time is taken".into());
    }
    Times {
        test_from: row.test_from,
        discard_after: row.discard_after,
        extends: row.pass_extends,
        clock: row.clock,
        says: format!("keeping times, {}: {}", row.item, row.source),
        grade: row.grade.clone(),
        test: row.test.clone(),
        at: row.at,
        said,
        yours: false,
    }
}

fn own_figure(book: &Book, row: &Container, state: KeepState) -> Option<Times> {
    let product = book.product(&row.product)?;
    let (span, column, clock) = match state {
        KeepState::Sealed => (product.keeps_sealed?, "keeps_sealed", Clock::Arrived),
        KeepState::Opened => (product.keeps_opened?, "keeps_opened", Clock::Opened),
        KeepState::Mixed => (product.keeps_opened?, "keeps_opened", Clock::Made),
    };
    Some(Times {
        test_from: None,
        discard_after: Some(span),
        extends: Some(Span::Months(3)),
        clock,
        says: format!("your own figure, {column} in products.csv"),
        grade: "yours".into(),
        test: "glass".into(),
        at: product.at,
        said: Vec::new(),
        yours: true,
    })
}

/// Mixed in the shop, opened, or sealed. A bag of flakes or powder ages alike open or shut.
fn state(row: &Container, holding: &Holding, kind: Option<ProductKind>) -> KeepState {
    let mixed = kind == Some(ProductKind::Shellac)
        && (cut_named(&row.product).is_some()
            || holding.made.is_some() && row.best_before.is_none());
    if mixed {
        KeepState::Mixed
    } else if holding.opened.is_some() || holding.went > Exact::ZERO {
        KeepState::Opened
    } else {
        KeepState::Sealed
    }
}

//! What failed its test goes on no work.

use super::{Stock, Trial, TrialResult};
use crate::record::{ProductKind, ShopTables, What};

/// The failed test of a container that is about to go on work. What goes to waste may go.
pub fn failed_test(
    tables: &ShopTables,
    stock: &Stock,
    what: What,
    container: &str,
    into: &str,
) -> Option<Trial> {
    if !matches!(what, What::Use | What::Mix | What::Decant) {
        return None;
    }
    let kind = |name: &str| tables.kind(tables.container(name)?);
    if kind(into) == Some(ProductKind::Waste) {
        return None;
    }
    let contents = &stock[tables.container(container)?];
    contents
        .trial
        .filter(|trial| trial.result == TrialResult::Fail)
}

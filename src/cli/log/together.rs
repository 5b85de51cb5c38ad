//! One or several entries of one moment that belong together, with the row of a new container.

use super::draft::Draft;
use super::taken::fresh_id;
use crate::quantity::Moment;
use crate::record::{INVENTORY, LOG};
use crate::store::{Clock, NewRow, NotWritten, Plan, Store, Submission};

/// Who did it, when, and what is remarked of each entry.
pub struct Together<'a> {
    pub when: Moment,
    pub clock: Clock,
    pub by: &'a str,
    pub note: &'a str,
    /// Show it, but write nothing.
    pub dry_run: bool,
    /// Another way out where it is refused, as a sentence.
    pub or: &'static str,
}

/// The entries as rows, checked against the stock.
pub(super) fn planned(
    store: &Store,
    drafts: &[Draft],
    with: &Together<'_>,
) -> Result<Plan, NotWritten> {
    let (when, day) = (with.when.to_string(), with.when.day().to_string());
    let new = drafts.iter().filter_map(|draft| draft.new_row(&day));
    let new = new.map(|cells| (&INVENTORY, cells));
    let entries = drafts
        .iter()
        .map(|draft| (&LOG, draft.cells(&when, with.by, with.note)));
    let row = |(table, cells)| NewRow { table, cells };
    let mut rows = Submission::without_id(new.chain(entries).map(row).collect());
    // What was done in one step is taken back in one step.
    if drafts.len() > 1 {
        rows.id = Some(fresh_id("step", &store.shop, &when));
    }
    store.plan(&[rows], &with.clock)
}

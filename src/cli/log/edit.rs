//! Writes the edit of one table, checked against the audit as it would be.

use super::args::WithArgs;
use super::said;
use crate::cli::{Failure, style, writing};
use crate::files::TableEdit;
use crate::quantity::Moment;
use crate::store::{Clock, Store};

/// Writes it, unless it is only shown. Gives the verb for what was done, and what it brings.
pub(super) fn write(
    store: &Store,
    edit: TableEdit,
    with: &WithArgs,
    now: Moment,
) -> Result<(&'static str, String), Failure> {
    let plan = store.plan_with(&[], &[edit], &Clock::typed(now));
    let plan = plan.map_err(|not| writing::failure(not, ""))?;
    if !with.dry_run {
        store
            .write(&plan)
            .map_err(|not| writing::failure(not, ""))?;
    }
    let did = if with.dry_run { "Would write" } else { "Wrote" };
    Ok((did, said::told(&plan, style::columns())))
}

//! One or several entries of one moment that belong together: all are written, with the row of a new container, or none is.

use super::draft::Draft;
use super::taken::fresh_id;
use super::{refuse, said};
use crate::cli::{Failure, style, writing};
use crate::quantity::Moment;
use crate::record::{INVENTORY, LOG};
use crate::store::{Clock, NewRow, NotWritten, Outcome, Store, Submission};

/// Who did it, when, and what is remarked of each entry.
pub struct Together<'a> {
    /// When it happened.
    pub when: Moment,
    /// The clock.
    pub clock: Clock,
    /// Who.
    pub by: &'a str,
    /// A remark.
    pub note: &'a str,
    /// Show it, but write nothing.
    pub dry_run: bool,
    /// Another way out where it is refused, as a sentence.
    pub or: &'static str,
}

/// Writes all entries, checked as one against the stock, and says what was written and what is left.
pub fn write(store: &Store, drafts: &[Draft], with: &Together<'_>) -> Result<String, Failure> {
    let Some(last) = drafts.last() else {
        return Ok(String::new());
    };
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
    let plan = match store.plan(&[rows], &with.clock) {
        Ok(plan) => plan,
        Err(NotWritten::Problems(misfit)) => {
            return Err(refuse::problems(&misfit, &store.shop, last));
        }
        Err(not) => return Err(writing::failure(not, with.or)),
    };
    for draft in drafts {
        refuse::failed_jar(&store.shop, &plan.before, draft, with.clock.anyway)?;
    }
    if let (Some(unclear), false) = (plan.unclear.first(), with.clock.anyway) {
        return Err(refuse::unclear(&plan, unclear, last));
    }
    if !plan.against.is_empty() && !with.clock.anyway {
        return Err(refuse::objections(&plan.shop, &plan.against, last));
    }
    if !with.dry_run {
        store
            .write(&plan)
            .map_err(|not| writing::failure(not, with.or))?;
    }
    let columns = style::columns();
    let numbers = plan.outcomes.iter().flat_map(|outcome| match outcome {
        Outcome::New(numbers) => numbers.as_slice(),
        Outcome::Already(_) => &[],
    });
    let mut text: String = drafts
        .iter()
        .zip(numbers)
        .map(|(draft, number)| said::written(draft, number, &when, with.dry_run, columns))
        .collect();
    text.push_str(&said::left(&store.shop, &plan, last, columns));
    text.push_str(&said::told(&plan, columns));
    Ok(text)
}

//! Writes entries that belong together: all of them, or none.

use super::draft::Draft;
use super::repair::new_row_repaired;
use super::together::{Together, planned};
use super::{refuse, said};
use crate::audit::NotAudited;
use crate::cli::open::WRITTEN;
use crate::cli::{Failure, style, writing};
use crate::report::words::moment;
use crate::stock::UnclearWhy;
use crate::store::{NotWritten, Outcome, Store};

/// Writes all entries, checked as one against the stock, and says what was written and what is left.
pub fn write(store: &Store, drafts: &[Draft], with: &Together<'_>) -> Result<String, Failure> {
    let Some(last) = drafts.last() else {
        return Ok(String::new());
    };
    // What was soiled and put away is one command.
    let typed = drafts
        .first()
        .filter(|draft| !draft.then.is_empty())
        .unwrap_or(last);
    let plan = match planned(store, drafts, with) {
        Ok(plan) => plan,
        Err(NotWritten::Problems(misfit)) => {
            return Err(refuse::problems(&misfit, store, typed, with));
        }
        Err(NotWritten::Shop(NotAudited::Problems(shown))) => {
            let repair = new_row_repaired(store, typed, with);
            let help = repair.map_or_else(String::new, |repair| repair.words());
            let shown = shown.text(WRITTEN);
            return Err(Failure::Said(format!("{}{help}", shown.trim_end())));
        }
        Err(not) => return Err(writing::failure(not, with.or)),
    };
    for draft in drafts {
        refuse::failed_jar(&store.shop, &plan.before, draft, with.clock.anyway)?;
    }
    if let (Some(unclear), false) = (plan.unclear.first(), with.clock.anyway) {
        let meant = match unclear.why {
            UnclearWhy::UsedAgain => typed,
            UnclearWhy::WhichRags | UnclearWhy::TooEarly => last,
        };
        return Err(refuse::unclear(&plan, unclear, meant));
    }
    if !plan.against.is_empty() && !with.clock.anyway {
        return Err(refuse::objections(&plan, typed));
    }
    if !with.dry_run {
        store
            .write(&plan)
            .map_err(|not| writing::failure(not, with.or))?;
    }
    let columns = style::columns();
    let shown = moment(with.when, store.shop.tables.shop.us);
    let numbers = plan.outcomes.iter().flat_map(|outcome| match outcome {
        Outcome::New(numbers) => numbers.as_slice(),
        Outcome::Already(_) => &[],
    });
    let mut text: String = drafts
        .iter()
        .zip(numbers)
        .map(|(draft, number)| said::written(draft, number, &shown, with.dry_run, columns))
        .collect();
    text.push_str(&said::effect(&store.shop, &plan, last, columns));
    text.push_str(&said::told(&plan, columns));
    Ok(text)
}

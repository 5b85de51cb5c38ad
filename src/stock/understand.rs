//! Understands a record of the log as a step.

use super::step::Step;
use crate::quantity::{LastDay, Moment};
use crate::record::{Entry, Fields, ShopTables, What, read_entry};
use crate::text::{Problems, Row};

/// The column that says who did it.
const BY: usize = 8;

/// As many people as are named.
pub(super) const MOST_PEOPLE: usize = 200;

/// What it takes to understand a record; none of it changes while a log is read.
pub(super) struct Understanding<'r> {
    pub tables: &'r ShopTables,
    /// Entries from this moment on count for nothing.
    pub close: Moment,
    /// Who used something is asked from this moment on.
    pub uses_since: Moment,
    /// Does the log run forward, as far as is known?
    pub ordered: bool,
    /// Are corrections not known yet?
    pub first_hearing: bool,
    /// While so many batches wait to be applied, whoever reads has time to understand records, too.
    pub well_ahead: usize,
}

impl Understanding<'_> {
    /// A row as the entry that it is and the step that it asks for; `None` if it has problems, which are noted. `by`
    /// numbers people.
    // Inlined for the reason that `read_entry` is.
    #[inline(always)]
    pub fn step<'t>(
        &self,
        row: Row<'t>,
        days: &mut LastDay,
        by: impl FnOnce(&str) -> Option<u16>,
        problems: &mut Problems,
    ) -> Option<(Entry<'t>, Step)> {
        let mut fields = Fields { row, problems };
        let entry = read_entry(&mut fields, self.tables, days)?;
        let mut step = Step::of(&entry, &mut fields, self.tables)?;
        if step.what == What::Use && step.when >= self.uses_since {
            step.by = by(fields.row.text(BY));
        }
        Some((entry, step))
    }
}

/// The position of a name in a list of people, in which it is put when it is new. A list that nobody would read to its
/// end goes no further, since each entry is looked up in it.
pub(super) fn person(name: &str, people: &mut Vec<String>, most: usize) -> Option<u16> {
    if name.is_empty() {
        return None;
    }
    let known = people.iter().position(|known| known == name);
    if known.is_none() && people.len() >= most {
        return None;
    }
    let at = known.unwrap_or_else(|| {
        people.push(name.to_string());
        people.len() - 1
    });
    u16::try_from(at).ok()
}

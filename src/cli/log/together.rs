//! Several entries of one moment that belong together: all are written, with the row of a new container, or none is.

use super::draft::Draft;
use super::{LogNames, TOUCHED, open_elsewhere, refuse, said};
use crate::cli::{Failure, open, style, writing};
use crate::quantity::Moment;
use crate::record::{INVENTORY, LOG};
use std::path::Path;

/// Who did it, when, and what is remarked of each entry.
pub struct Told<'a> {
    /// The moment.
    pub when: Moment,
    /// It is the clock's, and nobody gave it.
    pub by_clock: bool,
    /// The computer's clock.
    pub now: Moment,
    /// Who.
    pub by: &'a str,
    /// A remark.
    pub note: &'a str,
}

impl Told<'_> {
    /// Refuses a moment that cannot be: one that lies ahead, or one of a clock that went back behind the log.
    pub fn can_be(&self, names: &LogNames) -> Result<(), Failure> {
        refuse::ahead_of_clock(self.when, self.now, "")?;
        match self.by_clock {
            true => refuse::behind_log(self.now, names, ""),
            false => Ok(()),
        }
    }
}

/// Writes all entries, checked as one against the stock, and says what was written and what is left.
pub fn together(folder: &Path, drafts: &[Draft], told: &Told<'_>) -> Result<String, Failure> {
    let Some(last) = drafts.last() else {
        return Ok(String::new());
    };
    open_elsewhere(folder, TOUCHED, "")?;
    let journal = writing::hold(folder)?;
    let log = writing::end_of(&journal, &LOG)?;
    let inventory = writing::look_at(folder, &INVENTORY)?;
    let before = open::shop_with(folder, &[], &[])?;
    let names = before.log_names();
    told.can_be(&names)?;
    let on = names.last_day(Some(told.when), told.now);
    let stock = open::or_unwritten(before.stock(on))?;
    let names = names.following(drafts.len());
    let when = told.when.to_string();
    let mut rows = Vec::new();
    for row in drafts
        .iter()
        .filter_map(|draft| draft.new_row(&told.when.day().to_string()))
    {
        rows.push(
            inventory
                .with(&[row])
                .map_err(|why| writing::refused(&why))?,
        );
    }
    let cells = drafts.iter().zip(&names);
    let cells = cells.map(|(draft, entry)| draft.cells(entry, &when, told.by, told.note));
    let cells: Vec<_> = cells.collect();
    rows.push(log.with(&cells).map_err(|why| writing::refused(&why))?);
    let after = open::shop_with(folder, &[], &rows)?;
    let (would, problems) = after.replayed(on);
    if !problems.none() {
        return Err(refuse::problems(&after, &stock, &before, &problems, last));
    }
    for draft in drafts {
        refuse::failed_jar(&before, &stock, draft, false)?;
    }
    let audit_before = open::or_unwritten(before.audit_of(stock))?;
    let audit_after = open::or_unwritten(after.audit_of(would))?;
    let objections = audit_after.objections(&audit_before);
    if !objections.against.is_empty() {
        return Err(refuse::objections(&after, &objections.against, last));
    }
    let (stock, would) = (&audit_before.stock, &audit_after.stock);
    after.steady()?;
    journal.write(&rows).map_err(|why| writing::refused(&why))?;
    let columns = style::columns();
    let written = drafts.iter().zip(&names);
    let mut text: String = written
        .map(|(draft, entry)| said::written(draft, entry, &when, false, columns))
        .collect();
    text.push_str(&said::left(&before, stock, &after, would, last, columns));
    text.push_str(&said::told(&objections, columns));
    Ok(text)
}

//! Several entries of one moment that belong together: all are written, with the row of a new container, or none is.

use super::draft::Draft;
use super::{Rows, TOUCHED, bytes, ends, hold, open_elsewhere, refuse, said, unread, write};
use crate::check::objections;
use crate::cli::{Failure, open, style};
use crate::quantity::Moment;
use crate::record::{INVENTORY, LOG};
use crate::text::Ends;
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

/// Writes all entries, checked as one against the stock, and says what was written and what is left.
pub fn together(folder: &Path, drafts: &[Draft], told: &Told<'_>) -> Result<String, Failure> {
    let Some(last) = drafts.last() else {
        return Ok(String::new());
    };
    refuse::ahead_of_clock(told.when, told.now, "")?;
    open_elsewhere(folder, TOUCHED, "")?;
    let journal = hold(folder)?;
    let of_log = ends(folder, Some(&journal))?;
    let (log_seen, inventory_seen) = (journal.seen(LOG.file), journal.seen(INVENTORY.file));
    let mut before = open::shop_with(folder, &[], &[])?;
    let names = before.log_names();
    if told.by_clock {
        refuse::behind_log(told.now, &names, "")?;
    }
    let on = names.last_day(Some(told.when), told.now);
    let stock = before.stock(on)?;
    let names = names.following(drafts.len());
    let when = told.when.to_string();
    let mut rows = Vec::new();
    for row in drafts
        .iter()
        .filter_map(|draft| draft.new_row(&told.when.day().to_string()))
    {
        let of_inventory = Ends::of(&folder.join(INVENTORY.file), &INVENTORY)
            .map_err(|fault| unread(INVENTORY.file, &fault))?;
        rows.push(Rows {
            file: INVENTORY.file,
            seen: Some(inventory_seen.clone()),
            bytes: bytes(&of_inventory, vec![row], INVENTORY.file)?,
        });
    }
    let cells = drafts.iter().zip(&names);
    let cells = cells.map(|(draft, entry)| draft.cells(entry, &when, told.by, told.note));
    rows.push(Rows {
        file: LOG.file,
        seen: Some(log_seen),
        bytes: bytes(&of_log, cells.collect(), LOG.file)?,
    });
    let more: Vec<(&'static str, Vec<u8>)> = rows
        .iter()
        .map(|rows| (rows.file, rows.bytes.clone()))
        .collect();
    let mut after = open::shop_with(folder, &[], &more)?;
    let (would, problems) = after.replayed(on);
    if !problems.none() {
        return Err(refuse::problems(&after, &stock, &before, &problems, last));
    }
    for draft in drafts {
        refuse::failed_jar(&before, &stock, draft, false)?;
    }
    let (audit_before, audit_after) = (before.audit(&stock)?, after.audit(&would)?);
    let objections = objections(&after.packs, &audit_before, &audit_after);
    if !objections.against.is_empty() {
        return Err(refuse::objections(&after, &objections.against, last));
    }
    after.steady()?;
    write(&journal, rows)?;
    let columns = style::columns();
    let written = drafts.iter().zip(&names);
    let mut text: String = written
        .map(|(draft, entry)| said::written(draft, entry, &when, false, columns))
        .collect();
    text.push_str(&said::left(&before, &stock, &after, &would, last, columns));
    text.push_str(&said::told(&objections, columns));
    Ok(text)
}

//! `sandarac log restore` and `sandarac log accept`: what becomes of rows that another program removed or changed.

use super::args::WithArgs;
use crate::cli::open::WRITTEN;
use crate::cli::{Ended, Failure, style, writing};
use crate::files::{ChangedRow, Journal, KeptRow, LostRows};
use crate::quantity::Moment;
use crate::record::{CHECKS, LOG};
use crate::store::NotWritten;
use crate::text::{Shape, clean};
use std::path::Path;

/// The tables whose rows are known.
const TABLES: [&Shape; 2] = [&LOG, &CHECKS];

/// Brings back the rows that the tables lack, and says what else is wrong with them.
pub(super) fn restore(folder: &Path, with: &WithArgs) -> Result<Ended, Failure> {
    let journal = hold(folder)?;
    let (mut text, mut is_well) = (String::new(), true);
    for shape in TABLES {
        let table = shape.file;
        let (did, rows, left) = if with.dry_run {
            let mut lost = journal.lost(table).map_err(failure)?;
            let rows = std::mem::take(&mut lost.gone);
            is_well &= rows.is_empty();
            ("Would bring back", rows, lost)
        } else {
            let restored = journal.restore(shape);
            let restored = restored.map_err(|why| match text.is_empty() {
                true => failure(why),
                // Rows of the table before are back already.
                false => failure(why).after_writing(),
            })?;
            ("Brought back", restored.rows, restored.left)
        };
        text.push_str(&listed(did, table, &rows));
        let still = still_wrong(table, rows.len(), &left);
        is_well &= still.is_empty();
        text.push_str(&still);
    }
    if text.is_empty() {
        text.push_str("No row is missing.\n");
    }
    style::print(&text).map_err(Failure::after_writing)?;
    Ok(if is_well {
        Ended::Well
    } else {
        Ended::Findings
    })
}

/// Accepts a table as it is.
pub(super) fn accept(
    folder: &Path,
    table: &str,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    let Some(shape) = TABLES.into_iter().find(|shape| shape.file == table) else {
        return Err(Failure::refused(
            format!("\"{}\" is no table whose rows are kept.", clean(table)),
            "Name log.csv or checks.csv. For a finding, name its rule and what it is about: sandarac log accept RULE NAME --until DAY \
             --note WHY",
            "Nothing was accepted.",
        ));
    };
    let note = with.note.as_deref().map(str::trim).unwrap_or_default();
    if note.is_empty() {
        return Err(Failure::refused(
            "The reason is missing.",
            format!("Say why the change is right: sandarac log accept {table} --note WHY"),
            "Nothing was accepted.",
        ));
    }
    let journal = hold(folder)?;
    let (when, by) = (now.to_string(), with.by.as_deref().unwrap_or_default());
    let lost = match with.dry_run {
        true => journal.lost(shape.file),
        false => journal.accept(shape.file, (&when, by, note)),
    };
    let lost = lost.map_err(failure)?;
    let did = match with.dry_run {
        true => "Would accept",
        false => "Accepted",
    };
    let mut text = listed(&format!("{did} as removed"), table, &lost.gone);
    for row in &lost.changed {
        text.push_str(&format!(
            "{did} as changed in {table}: {} (it said: {})\n",
            clean(&row.is.shown()),
            clean(&row.was.shown())
        ));
    }
    if let Some((rows, before)) = lost.fewer {
        text.push_str(&format!(
            "{did} {table} with {rows} rows, of {before} before\n"
        ));
    }
    if text.is_empty() {
        text.push_str(&format!(
            "{table} has every row as it was written. Nothing to accept.\n"
        ));
    }
    style::print(&text).map_err(Failure::after_writing)?;
    Ok(Ended::Well)
}

fn hold(folder: &Path) -> Result<Journal, Failure> {
    if !folder.join("shop.toml").exists() {
        return Err(Failure::refused(
            format!(
                "{} is not a shop folder: it has no shop.toml.",
                folder.display()
            ),
            "Name the shop folder with --shop.",
            WRITTEN,
        ));
    }
    let (journal, notes) = Journal::hold(folder).map_err(failure)?;
    for note in notes {
        style::complain(&format!("note: {}", clean(&note.to_string())));
    }
    Ok(journal)
}

fn failure(refused: crate::files::Refused) -> Failure {
    writing::failure(NotWritten::Folder(refused), "")
}

fn listed(did: &str, table: &str, rows: &[KeptRow]) -> String {
    let line = |row: &KeptRow| format!("{did} in {table}: {}\n", clean(&row.shown()));
    rows.iter().map(line).collect()
}

/// What is wrong with a table beside the rows that came back: of rows typed by hand only the number is known.
fn still_wrong(table: &str, back: usize, left: &LostRows) -> String {
    let mut text: String = left.changed.iter().map(|row| differs(table, row)).collect();
    let back = u64::try_from(back).unwrap_or(u64::MAX);
    let rows = left
        .fewer
        .map(|(now, then)| (now.saturating_add(back), then));
    if let Some((now, then)) = rows.filter(|(now, then)| now < then) {
        text.push_str(&format!(
            "Still missing in {table}: rows typed by hand, which are not kept. It had {then} rows, and now has {now}.\n  Put them \
             back from a copy. If they were removed on purpose, run `sandarac log accept {table} --note WHY`.\n"
        ));
    }
    text
}

fn differs(table: &str, row: &ChangedRow) -> String {
    format!(
        "Still changed in {table}: {}\n  It said: {}. Write it as it was, or run `sandarac log accept {table} --note WHY`.\n",
        clean(&row.is.shown()),
        clean(&row.was.shown())
    )
}

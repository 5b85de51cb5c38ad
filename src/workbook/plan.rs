//! Differences as one change of the store: all of them are written, or none is.

use super::difference::{Alteration, Difference};
use crate::files::TableEdit;
use crate::quantity::Moment;
use crate::record::LOG;
use crate::store::{Clock, NewRow, NotWritten, Plan, Store, Submission};
use crate::text::Shape;

/// What would become of the shop. Counts are of the moment `now`. The store must be open for all tables.
pub fn plan(store: &Store, differences: &[Difference], now: Moment) -> Result<Plan, NotWritten> {
    let (mut submissions, mut edits) = (Vec::new(), Vec::new());
    for difference in differences {
        let table = difference.table;
        match &difference.what {
            Alteration::NewRow {
                cells,
                id: Some(id),
            } => submissions.push(Submission {
                id: Some(id.clone()),
                rows: vec![NewRow {
                    table,
                    cells: cells.clone(),
                }],
            }),
            Alteration::NewRow { cells, id: None } => {
                edit(&mut edits, table).add.push(cells.clone())
            }
            Alteration::Cell {
                row, column, to, ..
            } => edit(&mut edits, table)
                .set
                .push((*row, vec![(*column, to.clone())])),
            Alteration::Removed { row } => edit(&mut edits, table).remove.push(*row),
            Alteration::Counted { to, id, .. } => submissions.push(Submission {
                id: Some(id.clone()),
                rows: vec![NewRow::new(
                    &LOG,
                    &[
                        ("when", &now.to_string()),
                        ("what", "count"),
                        ("container", &difference.name),
                        ("amount", to),
                        ("note", "from the workbook"),
                    ],
                )],
            }),
        }
    }
    store.plan_with(&submissions, &edits, &Clock::typed(now))
}

/// The edit of a table.
fn edit<'e>(edits: &'e mut Vec<TableEdit>, table: &'static Shape) -> &'e mut TableEdit {
    let at = edits.iter().position(|edit| edit.table.file == table.file);
    let at = at.unwrap_or_else(|| {
        edits.push(TableEdit::new(table));
        edits.len() - 1
    });
    &mut edits[at]
}

/// A short text that tells one text from another (FNV-1a, 64 bits): it is the same on every machine.
pub(super) fn hash(text: &str) -> String {
    let step = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325, step);
    format!("{hash:016x}")
}

#[cfg(test)]
mod tests {
    use super::hash;

    /// FNV-1a of the empty text and of `a`, from the public test vectors of that function (from memory).
    #[test]
    fn the_hash_is_the_one_it_is_named_after() {
        assert_eq!(hash(""), "cbf29ce484222325");
        assert_eq!(hash("a"), "af63dc4c8601ec8c");
    }
}

//! Taking back what was written under some ids: an entry of the log gets an entry that voids it, and an answer goes. The journal
//! keeps both.

use super::{Clock, NewRow, NotWritten, Plan, Store, Submission};
use crate::files::TableEdit;
use crate::record::{CHECKS, LOG};

impl Store {
    /// What would become of the shop without the rows that bear one of these ids; `None` where there is no such row. The store must
    /// be open for the log and the answers.
    pub fn plan_without(
        &self,
        ids: &[&str],
        (by, note): (&str, &str),
        clock: &Clock,
    ) -> Result<Option<Plan>, NotWritten> {
        let is_meant = |id: &str| ids.contains(&id);
        let mut voids = Vec::new();
        let mut edit = TableEdit::new(&CHECKS);
        for table in self.tables() {
            if table.file() == CHECKS.file {
                edit.remove = table.rows_where("id", is_meant);
            }
            if table.file() == LOG.file {
                let rows = table.rows(&self.shop.tables.shop.locale);
                voids.extend(rows.filter_map(|row| {
                    let cell = |column: &str| row.iter().find(|(name, _)| *name == column);
                    let id = cell("id").map_or("", |(_, id)| id.trim());
                    let (_, entry) = cell("entry").filter(|_| is_meant(id))?;
                    let cells = [
                        ("when", &*clock.now.to_string()),
                        ("what", "correct"),
                        ("into", entry.as_str()),
                        ("by", by),
                        ("note", note),
                    ];
                    Some(NewRow::new(&LOG, &cells))
                }));
            }
        }
        if voids.is_empty() && edit.remove.is_empty() {
            return Ok(None);
        }
        let edits = match edit.remove.is_empty() {
            true => Vec::new(),
            false => vec![edit],
        };
        self.plan_with(&[Submission::without_id(voids)], &edits, clock)
            .map(Some)
    }
}

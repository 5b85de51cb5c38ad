//! What can be wrong with a table into which rows were written.

use crate::text::faults;

/// So many rows are shown in a message.
const MOST_SHOWN: usize = 5;

faults! {
    /// A fault of a table into which rows were written.
    pub(super) enum LostFault {
        Gone { table: &'static str, rows: Vec<String> } = "rows-gone" => (
            format!(
                "The table no longer has {} written into it: {}. Another program removed rows, or saved an older table.",
                counted(rows.len()),
                listed(rows)
            ),
            format!(
                "Run `sandarac log restore` to bring them back. If they were removed on purpose, run `sandarac log accept {table} \
                 --note WHY`."
            ),
        ),
        Changed { table: &'static str, was: String } = "row-changed" => (
            format!("This row was changed after it was written. It said: {was}."),
            format!("Write it as it was. If the change is right, run `sandarac log accept {table} --note WHY`."),
        ),
        Fewer { table: &'static str, now: u64, then: u64 } = "rows-fewer" => (
            format!(
                "The table has {now} rows. It had {then} when the last one was written or the shop was last audited, so rows \
                 typed by hand are gone."
            ),
            format!("Put them back from a copy. If they were removed on purpose, run `sandarac log accept {table} --note WHY`."),
        ),
    }
}

fn counted(rows: usize) -> String {
    match rows {
        1 => "1 row that was".to_string(),
        count => format!("{count} rows that were"),
    }
}

fn listed(rows: &[String]) -> String {
    let shown = rows.get(..MOST_SHOWN).unwrap_or(rows);
    let more = match rows.len() - shown.len() {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    format!("{}{more}", shown.join("; "))
}

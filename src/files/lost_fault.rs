//! What can be wrong with a table into which rows were written.

use crate::text::{Fault, Words};

/// So many rows are shown in a message.
const MOST_SHOWN: usize = 5;

/// What can be wrong with a table into which rows were written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum LostFault {
    /// Rows are gone.
    Gone {
        table: &'static str,
        rows: Vec<String>,
    },
    /// A row says something else.
    Changed { table: &'static str, was: String },
    /// Rows that were typed by hand are gone.
    Fewer {
        table: &'static str,
        now: u64,
        then: u64,
    },
}

impl Fault for LostFault {
    fn code(&self) -> &'static str {
        match self {
            LostFault::Gone { .. } => "rows-gone",
            LostFault::Changed { .. } => "row-changed",
            LostFault::Fewer { .. } => "rows-fewer",
        }
    }

    fn words(&self) -> Words {
        match self {
            LostFault::Gone { table, rows } => {
                let mut shown: Vec<&str> = rows.iter().map(String::as_str).collect();
                shown.truncate(MOST_SHOWN);
                let more = rows.len() - shown.len();
                let more = match more {
                    0 => String::new(),
                    more => format!("; and {more} more"),
                };
                let count = match rows.len() {
                    1 => "1 row that was".to_string(),
                    count => format!("{count} rows that were"),
                };
                Words::new(
                    format!(
                        "The table no longer has {count} written into it: {}{more}. Another program removed rows, or saved an \
                         older table.",
                        shown.join("; ")
                    ),
                    format!(
                        "Run `sandarac log restore` to bring them back. If they were removed on purpose, run `sandarac log \
                         accept {table} --note WHY`."
                    ),
                )
            }
            LostFault::Changed { table, was } => Words::new(
                format!("This row was changed after it was written. It said: {was}."),
                format!(
                    "Write it as it was. If the change is right, run `sandarac log accept {table} --note WHY`."
                ),
            ),
            LostFault::Fewer { table, now, then } => Words::new(
                format!(
                    "The table has {now} rows. It had {then} when the last one was written or the shop was last audited, so \
                     rows typed by hand are gone."
                ),
                format!(
                    "Put them back from a copy. If they were removed on purpose, run `sandarac log accept {table} --note WHY`."
                ),
            ),
        }
    }
}

//! What can be wrong with a workbook, beyond what is wrong with a table.

use crate::text::{Fault, Words};

/// A fault of a row of a workbook.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WorkbookFault {
    /// A row that can only be added to was changed.
    RowChanged {
        /// The column.
        column: &'static str,
        /// What it was.
        from: String,
        /// What it is now.
        to: String,
        /// Is it an entry of the log?
        is_entry: bool,
    },
    /// The amount of a container with entries was taken away.
    AmountGone {
        /// What it was.
        from: String,
    },
}

impl Fault for WorkbookFault {
    fn code(&self) -> &'static str {
        match self {
            WorkbookFault::RowChanged { .. } => "record-changed",
            WorkbookFault::AmountGone { .. } => "amount-gone",
        }
    }

    fn words(&self) -> Words {
        match self {
            WorkbookFault::RowChanged {
                from, to, is_entry, ..
            } => Words::new(
                format!(
                    "This was \"{from}\" and is now \"{to}\". Rows that are written stay as they are."
                ),
                if *is_entry {
                    format!(
                        "Put back \"{from}\", and correct the entry with `sandarac log correct`."
                    )
                } else {
                    format!("Put back \"{from}\", and add a row with the right answer.")
                },
            ),
            WorkbookFault::AmountGone { from } => Words::new(
                format!(
                    "The amount was \"{from}\" and is now empty, but the log has entries for this container."
                ),
                format!("Write what is in it now, or put back \"{from}\"."),
            ),
        }
    }
}

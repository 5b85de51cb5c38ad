//! What can be wrong with a workbook, beyond what is wrong with a table.

use crate::text::faults;

faults! {
    /// A fault of a row of a workbook.
    pub enum WorkbookFault {
        RowChanged { column: &'static str, from: String, to: String, is_entry: bool } = "record-changed" => (
            format!("This was \"{from}\" and is now \"{to}\". Rows that are written stay as they are."),
            if *is_entry {
                format!("Put back \"{from}\", and correct the entry with `sandarac log correct`.")
            } else {
                format!("Put back \"{from}\", and add a row with the right answer.")
            },
        ),
        AmountGone { from: String } = "amount-gone" => (
            format!("The amount was \"{from}\" and is now empty, but the log has entries for this container."),
            format!("Write what is in it now, or put back \"{from}\"."),
        ),
    }
}

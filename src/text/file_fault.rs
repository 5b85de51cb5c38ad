//! What can be wrong with a file as a whole, before anyone asks what it is about.

use super::problem::faults;
use super::watch::MOST_ROW_BYTES;

faults! {
    /// A fault of a file as bytes.
    pub enum FileFault {
        Missing { name: String, hint: String } = "file-missing" => (
            format!("{name} is missing."),
            hint.clone(),
        ),
        Unreadable { why: String } = "unreadable" => (
            format!("The file cannot be read: {why}."),
            "Check that it exists and that you may read it.",
        ),
        NotAFile { is: &'static str } = "not-a-file" => (
            format!("This is {is}, not a file."),
            "Put the file itself there, or remove this.",
        ),
        LeadsOut { to: String } = "leads-out" => (
            format!("This link leads out of its folder, to {to}."),
            "Put the file itself there. Only files inside the folder are checked and kept.",
        ),
        TooLarge { bytes: u64, most: u64 } = "file-too-large" => (
            format!("The file has {bytes} bytes. At most {most} are read."),
            "Check that this is the right file, or start a new one with a count of what is there.",
        ),
        Misnamed { name: String, there: String } = "file-misnamed" => (
            format!("The folder has \"{there}\" but no {name}."),
            format!("Save it as CSV under the name {name}. If it is something else, rename it."),
        ),
        Gone { name: String } = "file-gone" => (
            format!("{name} is missing, but rows were written into it before."),
            "Put it back. Without a copy, run `sandarac log restore`: it writes the table anew, with each row that Sandarac \
             wrote. Rows typed by hand are not among them.",
        ),
        OtherCopy { name: String, is_placeholder: bool } = "other-copy" => (
            match is_placeholder {
                true => format!("This is a placeholder for a {name} that is only in the cloud."),
                false => format!("This is another copy of {name}. It may have rows that {name} lacks."),
            },
            match is_placeholder {
                true => format!("Download {name} in full, and keep the shop folder on this computer."),
                false => format!("Compare them, and add the rows that {name} lacks to it. Then move this file to another folder."),
            },
        ),
        PeriodClosed { there: String } = "period-closed" => (
            format!("{there} belongs to a closed period. Sandarac no longer closes periods. The log is one file now, because a wet rag recorded in a closed period would disappear."),
            "Join the logs. Put the rows of the set-aside logs (log-2026.csv and the like), oldest first, before those of \
             log.csv, under one header. Put back the oldest set-aside inventory (such as inventory-2026.csv) as \
             inventory.csv. Add the containers that came later, each from the oldest inventory that has it. Delete \
             forward.csv, the set-aside files and any column \"as_of\". Then run `sandarac audit` again.",
        ),
        NotUtf8 = "not-utf-8" => (
            "These bytes are not UTF-8 text.",
            "Save the file as UTF-8 text. A spreadsheet calls it \"CSV UTF-8\".",
        ),
        Utf16 = "utf-16" => (
            "The file is UTF-16 text, and it is damaged.",
            "Save the file again in the spreadsheet, as \"CSV UTF-8\".",
        ),
        NulByte = "nul-byte" => (
            "The file contains a NUL byte, so it is not a plain table.",
            "Save it again as \"CSV UTF-8\".",
        ),
        LoneReturn = "lone-return" => (
            "A carriage return is not followed by a line feed.",
            "Save the file with ordinary line ends (LF or CRLF).",
        ),
        UnevenQuotes = "uneven-quotes" => (
            "A quotation mark is opened here and never closed.",
            "Put a cell with a quotation mark in quotation marks and double the mark itself: \"3/4\"\" board\".",
        ),
        RowTooLong = "row-too-long" => (
            format!("This row is longer than {MOST_ROW_BYTES} bytes."),
            "Look for a quotation mark that is never closed, endless comments, or a file that is not a table.",
        ),
    }
}

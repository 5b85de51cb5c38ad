//! What can be wrong with a file as a whole, before anyone asks what it is about.

use super::problem::{Fault, Words};
use super::watch::MOST_ROW_BYTES;

/// A fault of a file as bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "the words of each variant explain it")]
pub enum FileFault {
    Missing { name: String, hint: String },
    Unreadable { why: String },
    NotAFile { is: &'static str },
    LeadsOut { to: String },
    TooLarge { bytes: u64, most: u64 },
    Misnamed { name: String, there: String },
    Gone { name: String },
    OtherCopy { name: String, is_placeholder: bool },
    PeriodClosed { there: String },
    NotUtf8,
    Utf16,
    NulByte,
    LoneReturn,
    UnevenQuotes,
    RowTooLong,
}

impl Fault for FileFault {
    fn code(&self) -> &'static str {
        match self {
            FileFault::Missing { .. } => "file-missing",
            FileFault::Unreadable { .. } => "unreadable",
            FileFault::NotAFile { .. } => "not-a-file",
            FileFault::LeadsOut { .. } => "leads-out",
            FileFault::TooLarge { .. } => "file-too-large",
            FileFault::Misnamed { .. } => "file-misnamed",
            FileFault::Gone { .. } => "file-gone",
            FileFault::OtherCopy { .. } => "other-copy",
            FileFault::PeriodClosed { .. } => "period-closed",
            FileFault::NotUtf8 => "not-utf-8",
            FileFault::Utf16 => "utf-16",
            FileFault::NulByte => "nul-byte",
            FileFault::LoneReturn => "lone-return",
            FileFault::UnevenQuotes => "uneven-quotes",
            FileFault::RowTooLong => "row-too-long",
        }
    }

    fn words(&self) -> Words {
        match self {
            FileFault::Missing { name, hint } => {
                Words::new(format!("{name} is missing."), hint.clone())
            }
            FileFault::Unreadable { why } => Words::new(
                format!("The file cannot be read: {why}."),
                "Check that it exists and that you may read it.",
            ),
            FileFault::NotAFile { is } => Words::new(
                format!("This is {is}, not a file."),
                "Put the file itself there, or remove this.",
            ),
            FileFault::LeadsOut { to } => Words::new(
                format!("This link leads out of its folder, to {to}."),
                "Put the file itself there. Only files inside the folder are checked and kept.",
            ),
            FileFault::TooLarge { bytes, most } => Words::new(
                format!("The file has {bytes} bytes. At most {most} are read."),
                "Check that this is the right file, or start a new one with a count of what is there.",
            ),
            FileFault::Misnamed { name, there } => Words::new(
                format!("The folder has \"{there}\" but no {name}."),
                format!(
                    "Save it as CSV under the name {name}. If it is something else, rename it."
                ),
            ),
            FileFault::Gone { name } => Words::new(
                format!("{name} is missing, but rows were written into it before."),
                "Put it back. Without a copy, run `sandarac log restore`: it writes the table anew, with each row that Sandarac \
                 wrote. Rows typed by hand are not among them.",
            ),
            FileFault::OtherCopy {
                name,
                is_placeholder: true,
            } => Words::new(
                format!("This is a placeholder for a {name} that is only in the cloud."),
                format!("Download {name} in full, and keep the shop folder on this computer."),
            ),
            FileFault::OtherCopy {
                name,
                is_placeholder: false,
            } => Words::new(
                format!("This is another copy of {name}. It may have rows that {name} lacks."),
                format!(
                    "Compare them, and add the rows that {name} lacks to it. Then move this file to another folder."
                ),
            ),
            FileFault::PeriodClosed { there } => Words::new(
                format!(
                    "{there} belongs to a closed period. Sandarac no longer closes periods. The log is one file now, because a wet rag recorded in a closed period would disappear."
                ),
                "Join the logs. Put the rows of the set-aside logs (log-2026.csv and the like), oldest first, before those of \
                 log.csv, under one header. Put back the oldest set-aside inventory (such as inventory-2026.csv) as \
                 inventory.csv. Add the containers that came later, each from the oldest inventory that has it. Delete \
                 forward.csv, the set-aside files and any column \"as_of\". Then run `sandarac audit` again.",
            ),
            FileFault::NotUtf8 => Words::new(
                "These bytes are not UTF-8 text.",
                "Save the file as UTF-8 text. A spreadsheet calls it \"CSV UTF-8\".",
            ),
            FileFault::Utf16 => Words::new(
                "The file is UTF-16 text, and it is damaged.",
                "Save the file again in the spreadsheet, as \"CSV UTF-8\".",
            ),
            FileFault::NulByte => Words::new(
                "The file contains a NUL byte, so it is not a plain table.",
                "Save it again as \"CSV UTF-8\".",
            ),
            FileFault::LoneReturn => Words::new(
                "A carriage return is not followed by a line feed.",
                "Save the file with ordinary line ends (LF or CRLF).",
            ),
            FileFault::UnevenQuotes => Words::new(
                "A quotation mark is opened here and never closed.",
                "Put a cell with a quotation mark in quotation marks and double the mark itself: \"3/4\"\" board\".",
            ),
            FileFault::RowTooLong => Words::new(
                format!("This row is longer than {MOST_ROW_BYTES} bytes."),
                "Look for a quotation mark that is never closed, endless comments, or a file that is not a table.",
            ),
        }
    }
}

//! The words of the problems that a file as a whole can have, and the names in it.

use super::code::{Code, NameFault};
use super::unseen::{as_it_looks, unseen};
use super::watch::MOST_ROW_BYTES;
use super::words::{or_near, pair};

pub(super) fn file_words(code: &Code) -> (String, String) {
    match code {
        Code::FileMissing { name, hint } => pair(format!("there is no {name}"), hint),
        Code::Unreadable { why } => pair(
            format!("the file cannot be read: {why}"),
            "check that it exists and that you may read it",
        ),
        Code::NotAFile { is } => pair(
            format!("this is {is}, where a file belongs"),
            "put the file itself there, or take this away",
        ),
        Code::LeadsOut { to } => pair(
            format!("this link leads out of its folder, to {to}"),
            "put the file itself there: what stands in a folder can be checked and kept, what lies elsewhere cannot",
        ),
        Code::FileTooLarge { bytes, most } => pair(
            format!("the file has {bytes} bytes, and at most {most} are read"),
            "no shop writes so much; look whether it is the right file, or begin a new one with a count of what is there",
        ),
        Code::FileMisnamed { name, there } => pair(
            format!("there is `{there}`, but no {name}"),
            format!(
                "save it as CSV under the name {name}; if it is something else, give it another name"
            ),
        ),
        Code::PeriodClosed { there } => pair(
            format!(
                "{there} is left from a closed period, and closing periods no longer exists. The log stays one file: a wet rag recorded \
                 in that period would otherwise disappear"
            ),
            "put the rows of the set-aside logs (log-2026.csv and the like), oldest first, before those of log.csv, under one header; \
             put back the oldest set-aside inventory (such as inventory-2026.csv) as inventory.csv, and add the containers that came \
             later, each from the oldest inventory that has it; delete forward.csv, the set-aside files and any column `as_of`; then \
             run `sandarac audit` again",
        ),
        Code::NotUtf8 => pair(
            "these bytes are not UTF-8 text",
            "save the file as UTF-8 text; a spreadsheet calls it `CSV UTF-8`",
        ),
        Code::Utf16 => pair(
            "the file is UTF-16 text",
            "save the file as `CSV UTF-8` in the spreadsheet",
        ),
        Code::NulByte => pair(
            "there is a NUL byte in the file",
            "it is not a plain table; save it again as `CSV UTF-8`",
        ),
        Code::LoneReturn => pair(
            "a carriage return stands alone, without a line feed",
            "save the file with ordinary line ends (LF or CRLF)",
        ),
        Code::UnevenQuotes => pair(
            "a quotation mark is opened somewhere above and never closed",
            "a cell with a quotation mark is written in quotation marks, and the mark itself twice: \"3/4\"\" board\"",
        ),
        Code::RowTooLong => pair(
            format!("this row goes on for more than {MOST_ROW_BYTES} bytes"),
            "look for a quotation mark that is opened and never closed, for comments without end, or for what is no table at all",
        ),
        _ => pair("", ""),
    }
}

pub(super) fn table_words(code: &Code) -> (String, String) {
    match code {
        Code::TableEmpty { columns } => pair(
            "the table is empty",
            format!("its first row names the columns; the least is `{columns}`"),
        ),
        Code::TableTooLong { most } => pair(
            format!("the table has more than {most} rows"),
            "no shop has so many; what was done belongs in log.csv, which may have more",
        ),
        Code::HeaderBelow => pair(
            "this row names no column, but a row below it does",
            "the first row names the columns; take out what stands above them, or begin it with `#`",
        ),
        Code::HashRow => pair(
            "this line is passed over as a comment, and yet has as many cells as a row",
            "if it is a row, write its first cell in quotation marks; if it is a comment, write a space behind the `#`",
        ),
        Code::ColumnUnknown {
            column,
            near,
            known,
        } => pair(
            format!("there is no column `{column}` in this table"),
            match column.chars().find(|c| matches!(c, ';' | '\t')) {
                Some(';') => {
                    "the cells stand between semicolons; save the table with commas between them"
                        .into()
                }
                Some(_) => {
                    "the cells stand between tabs; save the table with commas between them".into()
                }
                None => or_near(near.as_ref(), known),
            },
        ),
        Code::ColumnTwice { column } => pair(
            format!("the column `{column}` stands twice"),
            "keep one of them",
        ),
        Code::ColumnMissing { column } => pair(
            format!("the column `{column}` is missing"),
            "add it to the first row; cells in it may be empty if not known",
        ),
        Code::CellCount {
            cells,
            columns,
            curly,
        } => pair(
            format!("this row has {cells} cells, but the first row names {columns} columns"),
            if *curly {
                "curly quotation marks do not hold a cell together; write straight ones: \"alcohol, denatured\""
            } else {
                "a comma is missing or too many, or the row was cut short; a cell with a comma is written in quotation marks"
            },
        ),
        Code::NameOdd {
            column,
            read,
            fault,
        } => odd_words(column, read, *fault),
        _ => pair("", ""),
    }
}

fn odd_words(column: &str, read: &str, fault: NameFault) -> (String, String) {
    match fault {
        NameFault::Unseen => pair(
            format!("{column} has {} in it: `{read}`", what_is_unseen(read)),
            format!("write it again by hand: `{}`", as_it_looks(read)),
        ),
        NameFault::Curly => pair(
            format!("{column} stands in curly quotation marks: {read}"),
            "write the name without them; around a name with a comma, write straight ones",
        ),
        NameFault::Long => pair(
            format!("{column} is longer than a name can be"),
            "write a short name of at most 400 letters; remarks belong in `note`",
        ),
    }
}

/// `a non-breaking space (U+00A0)`.
pub(super) fn what_is_unseen(text: &str) -> String {
    unseen(text).map_or_else(String::new, |(c, called)| {
        format!("{called} (U+{:04X})", u32::from(c))
    })
}

//! Text, and where it came from. Every value knows its file, line and column; every message shows them.
//!
//! This layer knows tables and messages, but not what a table is about: each layer owns its faults and their words.

mod article;
mod cell_fault;
mod cell_style;
mod cells;
mod count;
mod days;
mod dialect;
mod expected;
mod file;
mod file_fault;
mod hashes;
mod header;
mod layout;
mod locale;
mod locale_fault;
mod locate;
mod near;
mod problem;
mod problems;
mod row;
mod row_check;
mod row_number;
mod shape;
mod show;
mod span;
mod stamp;
mod table;
mod table_fault;
mod unseen;
mod walk;
mod watch;

pub use article::the;
pub use cell_fault::{CellFault, NameFault, known_or_near, unit_meant};
pub use cell_style::CellStyle;
pub use count::RowsRead;
pub use dialect::{Encoding, Head, starts_comment};
pub use expected::{ExpectedRows, row_digest};
pub use file::{Files, MOST_BYTES_KEPT};
pub use file_fault::FileFault;
pub use layout::Rows;
pub use locale::{CellForm, DateOrder, DecimalMark, Locale};
pub use locate::Located;
pub use near::nearest;
pub use problem::{Fault, Problem, Words};
pub use problems::Problems;
pub use row::{Cell, Row};
pub use shape::Shape;
pub use show::{ShownProblem, ShownProblems, show_all, show_all_and, show_one};
pub use span::{Extent, FileId, Span};
pub use stamp::Stamp;
pub use table::{Finished, Table};
pub use table_fault::TableFault;
pub use unseen::{as_it_looks, clean, clean_lines, steers, unseen};
pub use watch::MOST_ROW_BYTES;

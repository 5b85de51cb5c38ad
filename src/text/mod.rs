//! Text, and where it came from. Every value knows its file, line and column; every message shows them.
//!
//! This layer knows tables and messages, but not what a table is about: each layer owns its faults and their words.

mod admit;
mod cell_fault;
mod count;
mod days;
mod ends;
mod file;
mod file_fault;
mod folder;
mod hashes;
mod header;
mod journal;
mod near;
mod pending;
mod problem;
mod records;
mod recover;
mod row;
mod row_number;
mod show;
mod span;
mod still;
mod table;
mod table_fault;
mod tail;
mod unseen;
mod walk;
mod watch;
pub mod write;

pub use admit::Barred;
pub use cell_fault::{CellFault, NameFault, known_or_near};
pub use count::RowsRead;
pub use ends::Ends;
pub use file::{FileId, Files, Located, MOST_BYTES_KEPT};
pub use file_fault::FileFault;
pub use folder::{Beside, NotBegun};
pub use journal::{Addition, Journal, Refused, Seen, hold_for_reading, is_unfinished};
pub use near::nearest;
pub use problem::{Fault, Problem, Problems, Words};
pub use records::Records;
pub use row::{Cell, Row};
pub use show::{ShownProblem, ShownProblems, show_all, show_all_and, show_one};
pub use span::{Extent, Span};
pub use table::{Finished, Layout, Shape, Table};
pub use table_fault::TableFault;
pub use tail::Tail;
pub use unseen::{as_it_looks, clean, clean_lines, steers, unseen};
pub use watch::MOST_ROW_BYTES;

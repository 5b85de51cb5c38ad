//! Text, and where it came from. Every value knows its file, line and column; every message shows them.
//!
//! This layer knows tables and messages, but not what a table is about.

mod admit;
mod code;
mod count;
mod days;
mod ends;
mod file;
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
mod show;
mod span;
mod still;
mod table;
mod tail;
mod unseen;
mod walk;
mod watch;
mod words;
mod words_file;
mod words_shop;
pub mod write;

pub use admit::Barred;
pub use code::{Code, NameFault};
pub use count::RowsRead;
pub use ends::Ends;
pub use file::{FileId, Files, Located, MOST_BYTES_KEPT};
pub use folder::{Beside, NotBegun};
pub use journal::{Addition, Journal, Refused, Seen, hold_for_reading, is_unfinished};
pub use near::nearest;
pub use problem::{Problem, Problems};
pub use records::Records;
pub use row::{Cell, Row};
pub use show::{show_all, show_all_and, show_one};
pub use span::{Extent, Span};
pub use table::{Finished, Layout, Shape, Table};
pub use tail::Tail;
pub use unseen::{as_it_looks, clean, clean_lines, steers, unseen};
pub use watch::MOST_ROW_BYTES;

//! The tables of a shop as one workbook (.xlsx), and the changes made in it back into the tables.
//!
//! A shop goes in and the bytes of a workbook come out ([`write()`]); a workbook goes in and the differences between its rows,
//! the rows it was written with and the rows of the shop now come out ([`Workbook`], [`merge()`]). [`plan()`] turns
//! differences into one change of the store. This layer knows neither a terminal nor a page.

mod columns;
mod difference;
mod fault;
mod merge;
mod plan;
mod read;
mod rows;
mod state;
mod words;
mod write;

pub use difference::{Alteration, Difference, Reason, WorkbookQuestion};
pub use fault::WorkbookFault;
pub use merge::{Merged, merge};
pub use plan::plan;
pub use read::{NotAWorkbook, Workbook};
pub use words::{difference_words, kept_words, question_words, unread_words};
pub use write::{NotMade, write};

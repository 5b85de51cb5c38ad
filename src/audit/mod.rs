//! The front door of the library: tables and a day in; findings, stock, air, due days and things to do out, as data.
//!
//! The same service serves the command line, the worked cases of the rule packs, the tests, and the page at the bench. It
//! reads files and never writes to a shop, but for finishing an entry that was cut short. It knows no words for people.

mod ahead;
mod case;
mod data_sheets;
mod due;
mod folder;
mod lost;
mod not_audited;
mod open_anyway;
mod packs;
mod shop;
mod texts;
mod to_do;

pub use case::{CaseResult, check_pack};
pub use due::{Due, DueThing};
pub use folder::{MOST_LOG_BYTES, files_of_a_shop};
pub use not_audited::NotAudited;
pub use packs::ALWAYS;
pub use shop::{Audit, Shop};
pub use to_do::{Thing, ToDo};

//! The one way to write: rows for one or several tables go in; they are numbered, checked by the audit as it would be, and
//! written all or not at all.
//!
//! ```no_run
//! # use sandarac::{quantity::Moment, record::LOG, store::{Access, Clock, NewRow, NotWritten, Store, Submission}};
//! # fn save(now: Moment) -> Result<(), NotWritten> {
//! let store = Store::open("my-shop".as_ref(), &[&LOG], Access::Write)?;
//! let used = [("when", "2026-10-31T17:40"), ("what", "use"), ("container", "A-1"), ("amount", "1 pt")];
//! let entry = Submission {
//!     id: Some("k3v9xq".to_string()), // sent again, it is written once
//!     rows: vec![NewRow::new(&LOG, &used)],
//! };
//! let plan = store.plan(&[entry], &Clock::typed(now))?;
//! if plan.against.is_empty() {
//!     store.write(&plan)?;
//! }
//! # Ok(())
//! # }
//! ```
//!
//! It knows neither a terminal nor a page. Whatever is refused is data; its callers find the words.

mod log_row;
mod log_summary;
mod not_written;
mod plan;
mod submission;
mod without;

pub use log_row::LogRowText;
pub use log_summary::{Clock, LogSummary, each_answer, each_entry};
pub use not_written::{Misfit, NotWritten};
pub use plan::{Access, KnownShop, Outcome, Plan, Store};
pub use submission::{ENTRY_BEFORE, NewRow, Submission};

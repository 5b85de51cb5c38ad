//! What was concluded, and why.

mod acceptance;
mod conclusion;
mod due;
mod subject;
mod verdict;

pub use acceptance::{Accepted, NEVER_ACCEPTED, accept};
pub use conclusion::{Cited, Finding, Made, Ruled};
pub use due::Turns;
pub use subject::{Subject, SubjectKind};
pub use verdict::{Compared, Quantity, Shown, Stage, Verdict, judge};

//! What was concluded, and why.

mod acceptance;
mod concern;
mod conclusion;
mod detail;
mod due;
mod subject;
mod verdict;

pub use acceptance::{NEVER_ACCEPTED, accept};
pub use concern::Concern;
pub use conclusion::{Accepted, Cited, Finding, Made, RuleText, Ruled};
pub use detail::{AirLimit, Detail, RagsAre};
pub use due::Turns;
pub use subject::{Subject, SubjectKind};
pub use verdict::{Compared, Quantity, ShownVerdict, Stage, Verdict, judge};

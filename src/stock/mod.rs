//! What is in every container on a day, and by which entries: the log replayed over the inventory.
//!
//! Order: by minute; within a minute by [`crate::record::What::rank`] (what comes in before what goes out, a count
//! after all of it); then by line. Nothing goes below zero. A count restates what is held, and the difference is kept
//! as unexplained for ever. A correction names the entry it mends and is heard before that entry is replayed.

mod ahead;
mod apply;
mod container_state;
mod correct;
mod daybook;
mod fault;
mod ledger;
mod month_end;
mod pour;
mod rag_batch;
mod rag_moves;
mod rags;
mod replay;
mod step;
mod understand;

pub use container_state::{
    ContainerState, CountGap, MonthUse, Overfull, Stock, Trial, TrialResult, Use,
};
pub use daybook::{Daybook, Kept, Line, Mended, Wanted, daybook};
pub use fault::StockFault;
pub use ledger::{Reckoned, STEADY_COUNTS, SteadyLoss, reckon, steady_losses};
pub use month_end::{MONTHS_KEPT, MonthEnd};
pub use rag_batch::{RagBatch, RagState, UnsecuredNight, UnsecuredYear};
pub use replay::{replay, replay_until};
pub use step::{GLASS_TEST, PASS_MINUTES, RETEST_MINUTES};

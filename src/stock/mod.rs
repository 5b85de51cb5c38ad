//! What is in every container on a day, and by which entries: the log replayed over the inventory.
//!
//! Order: by minute; within a minute by [`crate::record::What::rank`] (what comes in before what goes out, a count
//! after all of it); then by line. Nothing goes below zero. A count restates what is held, and the difference is kept
//! as unexplained for ever. A correction names the entry it corrects and is known before that entry is applied.

mod apply;
mod booking;
mod container_state;
mod content;
mod correct;
mod daybook;
mod entry_names;
mod failed_test;
mod fault;
mod ledger;
#[cfg(test)]
#[path = "../../tests/units/stock_limits.rs"]
mod limits_tests;
mod log_rows;
#[cfg(test)]
#[path = "../../tests/units/made_up_shop.rs"]
mod made_up;
mod month_end;
mod pour;
mod rag_batch;
mod rag_choice;
#[cfg(test)]
#[path = "../../tests/units/rag_choice.rs"]
mod rag_choice_tests;
mod rag_names;
mod rag_states;
mod rag_words;
mod rags;
mod rags_emptied;
#[cfg(test)]
#[path = "../../tests/units/rags_table.rs"]
mod rags_table_tests;
mod replay;
mod soiling_names;
mod step;
mod stock_state;

pub use container_state::{ContainerState, CountGap, Overfull, Trial, TrialResult};
pub use content::{Content, Portion};
pub use daybook::{Daybook, DaybookEntries, DaybookLine, DaybookQuery, LineCorrection, daybook};
pub use failed_test::failed_test;
pub use fault::StockFault;
pub use ledger::{Reckoned, STEADY_COUNTS, SteadyLoss, reckon, steady_losses};
pub use month_end::MONTHS_KEPT;
pub use rag_batch::{
    RagBatch, UnclearEntry, UnclearWhy, UnsecuredNight, UnsecuredYear, WetDiscard,
};
pub use rag_states::RagState;
pub use rag_words::{PUT_AWAY, RagWords};
pub use replay::{replay, replay_until};
pub use step::{GLASS_TEST, PASS_MINUTES, RETEST_MINUTES};
pub use stock_state::{LiquidUse, MonthEnd, MonthUse, Stock};

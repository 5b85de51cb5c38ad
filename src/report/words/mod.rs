//! Plain sentences about findings and things to do: data in, sentences out, the same for every report. It knows no format.

mod combine;
mod fact;
mod law;
mod line;
mod list;
mod measured;
mod name;
mod order;
mod rags;
mod state;
mod task;
mod when;

#[cfg(test)]
#[path = "../../../tests/units/action_words.rs"]
mod tests;

pub use crate::quantity::when::{clock, date, moment};
pub use line::{ActionLine, ActionList};
pub use list::action_list;
pub(super) use order::{Rank, rank};
pub use state::{count_words, state, verdict_words};
pub use when::duration;

use crate::audit::{Audit, Shop};
use crate::finding::Finding;
use crate::quantity::Day;
use crate::record::ShopTables;
use crate::trade::Round;

/// What sentences are made from.
#[derive(Clone, Copy)]
pub struct Wording<'a> {
    tables: &'a ShopTables,
    round: &'a Round,
    on: Day,
}

/// One finding in sentences.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindingWords {
    /// The state in two or three words: "over the limit", "unknown", "takes effect 20 Nov 2026".
    pub state: String,
    /// The thing with its product: "J-9 (shellac, 1 lb cut)".
    pub thing: String,
    /// What was found: "J-9 (shellac, 1 lb cut) has no label."
    pub fact: String,
    /// What to do about it: "Label J-9 (shellac, 1 lb cut)."
    pub task: String,
    /// What asks for it, for small print: "Required by 29 CFR 1910.1200(f)(6)".
    pub law: String,
}

impl FindingWords {
    /// Whether advice says more than the task and the fact do. A missing fact is its own task.
    pub fn adds(&self, advice: &str) -> bool {
        self.state != "unknown" && advice != self.task && advice != self.fact
    }
}

impl<'a> Wording<'a> {
    /// Of an audit.
    pub fn of_audit(audit: &'a Audit<'_>) -> Wording<'a> {
        Wording {
            tables: &audit.shop.tables,
            round: &audit.shop.reference.round,
            on: audit.stock.on,
        }
    }

    /// Of a shop on a day.
    pub fn of_shop(shop: &'a Shop, on: Day) -> Wording<'a> {
        Wording {
            tables: &shop.tables,
            round: &shop.reference.round,
            on,
        }
    }

    /// A finding in sentences.
    pub fn finding(&self, finding: &Finding) -> FindingWords {
        FindingWords {
            state: state(finding),
            thing: self.thing(&finding.subject),
            fact: self.fact(finding),
            task: self.task(finding),
            law: law::law(finding),
        }
    }

    fn us(&self) -> bool {
        self.tables.shop.us
    }
}

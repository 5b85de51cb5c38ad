//! How an entry names one batch of rags, so that it means no other.

use super::rag_batch::{RagBatch, count_of};
use super::rag_states::RagState;
use super::stock_state::Stock;
use crate::quantity::Exact;
use crate::record::{CLEAN_RAGS, ContainerId, ShopTables, What};

impl Stock {
    /// How many rags of a row were not used yet, in digits.
    pub fn unused_rags(&self, container: ContainerId) -> String {
        let unused = self[container].cloth.iter();
        let unused = count_of(unused.filter(|batch| batch.is_unused()));
        // Numbers of pieces always fit.
        unused.unwrap_or(Exact::ZERO).digits()
    }

    /// The word for the column `from` that tells a batch from the others of its row, in an entry of this kind: its place, or the
    /// entry that soiled it. `None` where no other could be meant.
    pub fn source_word(
        &self,
        tables: &ShopTables,
        (container, batch): (ContainerId, &RagBatch),
        what: What,
    ) -> Option<String> {
        if batch.state == RagState::Clean {
            return Some(CLEAN_RAGS.to_string());
        }
        let batches = &self[container].cloth;
        // The number may have changed, and so may the place in the file of the entry behind it.
        let same = |other: &RagBatch| {
            let mark = |it: &RagBatch| (it.state, it.location, it.since, it.soiled_in);
            mark(other) == mark(batch)
        };
        // A clean rag at the same place can be thrown out, moved or soiled as well.
        let takes_clean = matches!(what, What::Discard | What::Move | What::Soil);
        let mut others = batches
            .iter()
            .filter(|other| !same(other) && (takes_clean || other.state != RagState::Clean))
            .peekable();
        // Clean rags are meant unless a wet one is named.
        if what != What::Soil {
            others.peek()?;
        }
        let place = tables.location_name(batch.location);
        let alone = others.all(|other| other.location != batch.location);
        let entry = self.entry_name(batch).map(|name| format!("entry {name}"));
        match alone {
            true => place.or(entry),
            false => entry.or(place),
        }
    }
}

//! How many rows of a large table were read so far, shown to a waiting user.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

/// A count that one thread raises and another looks at.
#[derive(Clone, Debug, Default)]
pub struct RowsRead(Arc<AtomicU64>);

impl RowsRead {
    pub(super) fn add(&self, rows: usize) {
        let rows = u64::try_from(rows).unwrap_or(u64::MAX);
        self.0.fetch_add(rows, Ordering::Relaxed);
    }

    /// So many by now; a table that is read twice counts twice.
    pub fn total(&self) -> u64 {
        self.0.load(Ordering::Relaxed)
    }
}

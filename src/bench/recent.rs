//! The last entries of the log, as pages show them.

use crate::audit::Shop;
use crate::files::{NamedCells, cell_of};
use crate::quantity::Day;
use crate::record::LOG;
use crate::store::each_entry;
use std::collections::{HashSet, VecDeque};

/// Entries that pages show: the last so many of the log.
const RECENT: usize = 80;

/// An entry as it stands in the log.
#[derive(Clone, Debug, Default)]
pub struct LogLine {
    pub entry: String,
    /// Its cells by the columns of the log.
    pub cells: NamedCells,
    /// It is corrected or taken back.
    pub is_corrected: bool,
}

impl LogLine {
    /// Takes over a row.
    pub fn read<'t>(&mut self, columns: &[&'static str], text: impl Fn(usize) -> &'t str) {
        self.cells.resize_with(columns.len(), Default::default);
        for (at, ((own, cell), column)) in self.cells.iter_mut().zip(columns).enumerate() {
            *own = column;
            cell.clear();
            cell.push_str(text(at));
        }
        self.entry.clear();
        self.entry.push_str(text(0));
    }

    /// A cell by its column.
    pub fn cell(&self, column: &str) -> &str {
        cell_of(&self.cells, column)
    }
}

/// The columns of the log, in the order in which a row gives its cells.
pub fn log_columns() -> Vec<&'static str> {
    LOG.all().collect()
}

/// The last entries, each with whether another one corrects it; and what was counted on this day.
pub fn recent(shop: &Shop, today: Day) -> (VecDeque<LogLine>, HashSet<String>) {
    let today = today.to_string();
    let mut counted: HashSet<String> = HashSet::new();
    let columns = log_columns();
    let mut list: VecDeque<LogLine> = VecDeque::new();
    let mut corrected: HashSet<String> = HashSet::new();
    each_entry(shop, |row| {
        // The letters of an old line are used again: a log has very many.
        let mut line = match list.len() >= RECENT {
            true => list.pop_front().unwrap_or_default(),
            false => LogLine::default(),
        };
        line.read(&columns, |at| row.text(at));
        if line.cell("what") == "correct" {
            corrected.insert(line.cell("into").to_string());
        }
        if line.cell("what") == "count" && line.cell("when").starts_with(&today) {
            counted.insert(line.cell("container").to_string());
        }
        list.push_back(line);
    });
    for line in &mut list {
        line.is_corrected = corrected.contains(&line.entry);
    }
    (list, counted)
}

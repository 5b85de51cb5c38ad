//! The cells of an entry that are as they should be, read without a word about those that are not. It needs nothing but the row and
//! the tables, so that it can be done on another thread than the rest.

use super::ids::ContainerId;
use super::tables::ShopTables;
use super::what::{AMOUNT, CONTAINER, WHAT, WHEN, What};
use crate::quantity::{Amount, LastDay, Measure, Moment};
use crate::text::Row;

/// What is plain of an entry. What is missing is empty or faulty; it is read again where faults are noted.
#[derive(Clone, Copy, Debug)]
pub struct PlainCells {
    pub when: Option<Moment>,
    pub what: Option<What>,
    /// To which container.
    pub container: Option<ContainerId>,
    /// How much, where the unit is written.
    pub amount: Option<Amount>,
}

/// Reads the plain cells of one row after another.
pub struct PlainReader<'t> {
    tables: &'t ShopTables,
    days: LastDay,
}

impl<'t> PlainReader<'t> {
    /// A reader of the entries of a shop.
    pub fn new(tables: &'t ShopTables) -> PlainReader<'t> {
        PlainReader {
            tables,
            days: LastDay::default(),
        }
    }

    /// The plain cells of a row of the log.
    pub fn read(&mut self, row: &Row<'_>) -> PlainCells {
        let filled = |column| Some(row.text(column)).filter(|text| !text.is_empty());
        PlainCells {
            when: self.days.moment(row.text(WHEN)),
            what: What::parse(row.text(WHAT)),
            container: filled(CONTAINER).and_then(|name| self.tables.container(name)),
            amount: filled(AMOUNT).and_then(|text| Measure::parse(text).ok()?.amount()),
        }
    }
}

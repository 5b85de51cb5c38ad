//! How a workbook differs from the tables it was written from.

use crate::files::NamedCells;
use crate::text::{Shape, Span};

/// One difference, which is taken or not.
#[derive(Clone, Debug)]
pub struct Difference {
    pub table: &'static Shape,
    /// The name of the row.
    pub name: String,
    pub what: Alteration,
    /// Where it is in the workbook; a row that is gone is nowhere.
    pub at: Option<Span>,
}

/// What changes in a row. Rows of the shop's table are counted from 0.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Alteration {
    Cell {
        /// The row in the shop's table.
        row: usize,
        column: &'static str,
        /// What it is in the shop.
        from: String,
        /// What it is in the workbook.
        to: String,
    },
    /// A row is new.
    NewRow {
        cells: NamedCells,
        /// An id under which it is written only once; none for rows that have a name of their own.
        id: Option<String>,
    },
    Removed {
        /// The row in the shop's table.
        row: usize,
    },
    /// A container was counted.
    Counted {
        /// The amount that the shop's table has.
        from: String,
        /// What is in it.
        to: String,
        /// An id under which it is written only once.
        id: String,
    },
}

/// A difference that a person decides.
#[derive(Clone, Debug)]
pub struct WorkbookQuestion {
    /// What happens if the workbook is right.
    pub difference: Difference,
    /// Why it is asked.
    pub reason: Reason,
}

/// Why a difference is not simply taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    /// The row is not in the workbook any more.
    Deleted,
    /// The cell was changed in the shop, too; it was this when the workbook was written.
    ChangedInBoth { was: String },
    /// The row was removed from the shop since, and changed in the workbook.
    RemovedFromShop,
    /// A row of this name was added in both, and they differ.
    AddedInBoth,
}

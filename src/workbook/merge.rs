//! Three states of each row: as the workbook was written, as the workbook is, and as the shop is now.

use super::as_tables::texts_of;
use super::difference::{Alteration, Difference, Reason, WorkbookQuestion};
use super::fault::WorkbookFault;
use super::read::Workbook;
use super::rows::{RowKey, TableRow, by_key, column, columns, is_record, keys, rows_of, same};
use super::state::State;
use crate::audit::{NotAudited, Shop};
use crate::quantity::{Dimension, Measure, MeasureFault};
use crate::record::{CHECKS, INVENTORY, LOG, shapes};
use crate::text::{CellFault, Problem, Problems, Shape, ShownProblems};
use std::collections::{HashMap, HashSet};

/// How a workbook and a shop differ.
pub struct Merged {
    pub differences: Vec<Difference>,
    /// What a person decides.
    pub questions: Vec<WorkbookQuestion>,
    /// Entries and answers that are not in the workbook any more. They stay in the shop.
    pub kept: Vec<(&'static Shape, String)>,
}

/// A row of the workbook.
#[derive(Clone, Copy)]
struct BookRow<'r> {
    shape: &'static Shape,
    key: &'r RowKey,
    row: &'r TableRow,
}

/// What is to be compared.
struct MergeSides<'m> {
    shop: &'m Shop,
    /// The tables of the workbook.
    book: &'m Shop,
    state: &'m State,
    /// The new amounts of containers that have entries.
    amounts: HashMap<String, String>,
    /// The ids of what was taken before.
    taken: HashSet<String>,
}

/// Compares a workbook with the shop it was written from. What is wrong with its rows comes back with their sheets, rows and
/// columns.
pub fn merge(shop: &Shop, book: &Workbook) -> Result<Merged, NotAudited> {
    let (texts, amounts) = texts_of(shop, book)?;
    let tables = Shop::tables_of(texts)?;
    let sides = MergeSides {
        shop,
        book: &tables,
        state: &book.state,
        amounts,
        taken: ids(shop),
    };
    let mut merged = Merged {
        differences: Vec::new(),
        questions: Vec::new(),
        kept: Vec::new(),
    };
    let mut problems = Problems::new();
    for shape in shapes() {
        sides.table(shape, &mut merged, &mut problems);
    }
    sides.counts(&mut merged, &mut problems);
    if !problems.none() {
        let shown = ShownProblems::of_files(&problems, &tables.files);
        return Err(NotAudited::Problems(shown));
    }
    Ok(merged)
}

/// The ids of entries and answers.
fn ids(shop: &Shop) -> HashSet<String> {
    let of = |shape: &'static Shape| {
        let at = column(shape, "id").unwrap_or(usize::MAX);
        let rows = rows_of(shop, shape).into_iter();
        rows.filter_map(move |mut row| (at < row.cells.len()).then(|| row.cells.swap_remove(at)))
    };
    of(&LOG)
        .chain(of(&CHECKS))
        .filter(|id| !id.is_empty())
        .collect()
}

impl MergeSides<'_> {
    fn table(&self, shape: &'static Shape, merged: &mut Merged, problems: &mut Problems) {
        let (before, book, shop) = (
            self.state.rows(shape),
            rows_of(self.book, shape),
            rows_of(self.shop, shape),
        );
        let (was, is, now) = (
            by_key(shape, &before),
            by_key(shape, &book),
            by_key(shape, &shop),
        );
        let mut seen = HashMap::new();
        for (key, row) in keys(shape, &book).into_iter().zip(&book) {
            let (there, key) = (now.get(&key), &key);
            let new = BookRow { shape, key, row };
            match was.get(key) {
                Some((_, old)) if is_record(shape) => unchanged(shape, old, row, problems),
                Some((_, old)) => changed(new, old, there, merged),
                None if is_record(shape) => self.recorded(new, &mut seen, merged),
                None => added(new, there, merged),
            }
        }
        for key in keys(shape, &before)
            .into_iter()
            .filter(|key| !is.contains_key(key))
        {
            let Some((row, _)) = now.get(&key) else {
                continue;
            };
            if is_record(shape) {
                merged.kept.push((shape, name(&key)));
                continue;
            }
            let difference = Difference {
                table: shape,
                name: name(&key),
                what: Alteration::Removed { row: *row },
                at: None,
            };
            let reason = Reason::Deleted;
            merged
                .questions
                .push(WorkbookQuestion { difference, reason });
        }
    }

    /// An entry or an answer that was not in the workbook when it was written; one that was taken before is passed over.
    fn recorded(&self, new: BookRow<'_>, seen: &mut HashMap<String, usize>, merged: &mut Merged) {
        let mut said = new.shape.file.to_string();
        let cells = columns(new.shape).into_iter().zip(&new.row.cells);
        for (_, cell) in cells.filter(|(column, _)| !is_given(column)) {
            said.push('\n');
            said.push_str(cell);
        }
        // Two rows that say the same are two.
        let nth = seen.entry(said.clone()).or_insert(0);
        *nth += 1;
        let id = self.id(&format!("{said}\n{nth}"));
        if !self.taken.contains(&id) {
            merged.differences.push(new_row(new, Some(id)));
        }
    }

    /// The new amounts of containers with entries.
    fn counts(&self, merged: &mut Merged, problems: &mut Problems) {
        let amount_at = column(&INVENTORY, "amount").unwrap_or(usize::MAX);
        for row in rows_of(self.book, &INVENTORY) {
            let container = row.cells.first().cloned().unwrap_or_default();
            let from = row.cells.get(amount_at).cloned().unwrap_or_default();
            let (Some(to), Some(at)) = (self.amounts.get(&container), row.places.get(amount_at))
            else {
                continue;
            };
            if to.is_empty() {
                problems.add(Problem::new(WorkbookFault::AmountGone { from }, *at));
                continue;
            }
            let amount = Measure::parse(to)
                .and_then(|it| it.amount().ok_or(MeasureFault::UnitWrong(it.unit)));
            if let Err(fault) = amount {
                let fault = CellFault::Quantity {
                    column: "amount".into(),
                    read: to.clone(),
                    fault,
                    wanted: vec![Dimension::Volume, Dimension::Mass, Dimension::Pieces],
                };
                problems.add(Problem::new(fault, *at));
                continue;
            }
            let id = self.id(&format!("count\n{container}\n{to}"));
            if self.taken.contains(&id) {
                continue;
            }
            merged.differences.push(Difference {
                table: &LOG,
                name: container,
                what: Alteration::Counted {
                    from,
                    to: to.clone(),
                    id,
                },
                at: Some(*at),
            });
        }
    }

    /// An id of something in this workbook.
    fn id(&self, text: &str) -> String {
        format!(
            "w{}",
            super::plan::hash(&format!("{}\n{text}", self.state.id))
        )
    }
}

/// The cells of a row that were changed in the workbook.
fn changed(
    new: BookRow<'_>,
    old: &TableRow,
    now: Option<&(usize, &TableRow)>,
    merged: &mut Merged,
) {
    let BookRow { shape, key, row } = new;
    let mut whole = false;
    for (at, column) in columns(shape).into_iter().enumerate() {
        let cell = |row: &TableRow| row.cells.get(at).cloned().unwrap_or_default();
        let (was, to) = (cell(old), cell(row));
        if same(&was, &to) {
            continue;
        }
        let Some((number, current)) = now else {
            whole = true;
            continue;
        };
        let from = cell(current);
        if same(&from, &to) {
            continue;
        }
        let both = !same(&from, &was);
        let difference = Difference {
            table: shape,
            name: name(key),
            what: Alteration::Cell {
                row: *number,
                column,
                from,
                to,
            },
            at: row.places.get(at).copied(),
        };
        if both {
            let reason = Reason::ChangedInBoth { was };
            merged
                .questions
                .push(WorkbookQuestion { difference, reason });
        } else {
            merged.differences.push(difference);
        }
    }
    if whole {
        let difference = new_row(new, None);
        let reason = Reason::RemovedFromShop;
        merged
            .questions
            .push(WorkbookQuestion { difference, reason });
    }
}

/// A row that was not in the workbook when it was written.
fn added(new: BookRow<'_>, now: Option<&(usize, &TableRow)>, merged: &mut Merged) {
    let BookRow { shape, key, row } = new;
    let Some((number, current)) = now else {
        merged.differences.push(new_row(new, None));
        return;
    };
    // The same row may have been taken before.
    let differ = |at: &usize| {
        let cell = |row: &TableRow| row.cells.get(*at).cloned().unwrap_or_default();
        !same(&cell(row), &cell(current))
    };
    for at in (0..row.cells.len()).filter(differ) {
        let cell = |row: &TableRow| row.cells.get(at).cloned().unwrap_or_default();
        let difference = Difference {
            table: shape,
            name: name(key),
            what: Alteration::Cell {
                row: *number,
                column: shape.name(at),
                from: cell(current),
                to: cell(row),
            },
            at: row.places.get(at).copied(),
        };
        let reason = Reason::AddedInBoth;
        merged
            .questions
            .push(WorkbookQuestion { difference, reason });
    }
}

/// Does the program fill this column of a record in?
fn is_given(column: &str) -> bool {
    matches!(column, "entry" | "written" | "id")
}

/// Notes what was changed in a row that can only be added to.
fn unchanged(shape: &'static Shape, old: &TableRow, row: &TableRow, problems: &mut Problems) {
    for (at, column) in columns(shape).into_iter().enumerate() {
        let cell = |row: &TableRow| row.cells.get(at).cloned().unwrap_or_default();
        let (from, to) = (cell(old), cell(row));
        if let Some(place) = row.places.get(at).filter(|_| !same(&from, &to)) {
            let fault = WorkbookFault::RowChanged {
                column,
                from,
                to,
                is_entry: shape.file == LOG.file,
            };
            problems.add(Problem::new(fault, *place));
        }
    }
}

fn name(key: &RowKey) -> String {
    let filled = key.0.iter().filter(|part| !part.is_empty());
    filled.map(String::as_str).collect::<Vec<_>>().join(", ")
}

/// A row of the workbook as a new one of the shop.
fn new_row(new: BookRow<'_>, id: Option<String>) -> Difference {
    let BookRow { shape, key, row } = new;
    let is_record = id.is_some();
    let cells = columns(shape).into_iter().zip(row.cells.iter().cloned());
    let own = |column: &str| is_record && is_given(column);
    let cells = cells.filter(|(column, cell)| !cell.is_empty() && !own(column));
    Difference {
        table: shape,
        name: name(key),
        what: Alteration::NewRow {
            cells: cells.collect(),
            id,
        },
        at: row.at,
    }
}

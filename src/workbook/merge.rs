//! Three states of each row: as the workbook was written, as the workbook is, and as the shop is now.

use super::difference::{Alteration, Difference, Reason, WorkbookQuestion};
use super::fault::WorkbookFault;
use super::read::Workbook;
use super::rows::{
    RowKey, TableRow, by_key, column, columns, is_record, keys, plain_amount, rows_of, same,
};
use super::state::State;
use super::write::sheet_of;
use crate::audit::{NotAudited, Shop};
use crate::quantity::{Dimension, Measure, MeasureFault};
use crate::record::{CHECKS, INVENTORY, LOG, shapes};
use crate::text::{CellFault, Problem, Problems, Shape, ShownProblems};
use std::collections::{HashMap, HashSet};

/// How a workbook and a shop differ.
pub struct Merged {
    /// What is taken.
    pub differences: Vec<Difference>,
    /// What a person decides.
    pub questions: Vec<WorkbookQuestion>,
    /// Entries and answers that are not in the workbook any more. They stay in the shop.
    pub kept: Vec<(&'static Shape, String)>,
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

/// A file of a shop: its name, what messages call it, and its text.
type ShownText = (&'static str, String, Vec<u8>);

/// The texts of the tables of a workbook, with shop.toml. The new amount of a container with entries is no amount of the
/// inventory: the old one stays there, and the new one comes back beside the texts.
fn texts_of(
    shop: &Shop,
    book: &Workbook,
) -> Result<(Vec<ShownText>, HashMap<String, String>), NotAudited> {
    let toml = shop.bytes("shop.toml").unwrap_or_default();
    let mut texts = vec![("shop.toml", "shop.toml".to_string(), toml)];
    let mut amounts = HashMap::new();
    let used = with_entries(&book.state);
    let before = book.state.rows(&INVENTORY);
    let amount_at = column(&INVENTORY, "amount").unwrap_or(usize::MAX);
    let amount_of = |name: &str| {
        let row = before
            .iter()
            .find(|row| row.cells.first().is_some_and(|it| it == name))?;
        row.cells.get(amount_at)
    };
    for sheet in &book.sheets {
        let mut sheet = super::read::Sheet {
            shape: sheet.shape,
            rows: sheet.rows.clone(),
        };
        let named = (sheet.column("container"), sheet.column("amount"));
        if let ("inventory.csv", (Some(name_at), Some(at))) = (sheet.shape.file, named) {
            for row in sheet.rows.iter_mut().skip(1) {
                let name = row.get(name_at).cloned().unwrap_or_default();
                let (Some(cell), Some(old)) = (row.get_mut(at), amount_of(&name)) else {
                    continue;
                };
                if used.contains(&name.to_lowercase()) && plain_amount(shop, cell) != *old {
                    amounts.insert(name, plain_amount(shop, cell));
                    cell.clone_from(old);
                }
            }
        }
        if sheet.shape.file == "log.csv" {
            number_new_entries(&mut sheet.rows);
        }
        let shown = format!("{}, sheet {}", book.name, sheet_of(sheet.shape));
        texts.push((sheet.shape.file, shown, sheet.table().into_bytes()));
    }
    Ok((texts, amounts))
}

/// New entries have no number yet, but must be told apart.
fn number_new_entries(rows: &mut [Vec<String>]) {
    let at = rows
        .first()
        .and_then(|row| row.iter().position(|it| it.eq_ignore_ascii_case("entry")));
    let Some(at) = at else { return };
    for (number, row) in rows.iter_mut().enumerate().skip(1) {
        if row.iter().all(String::is_empty) {
            continue;
        }
        if let Some(cell) = row.get_mut(at).filter(|cell| cell.is_empty()) {
            *cell = format!("new row {}", number + 1);
        }
    }
}

/// The containers that the log names.
fn with_entries(state: &State) -> HashSet<String> {
    let columns = ["container", "into"].map(|name| column(&LOG, name));
    let mut names = HashSet::new();
    for row in state.rows(&LOG) {
        let cells = columns.iter().filter_map(|at| row.cells.get((*at)?));
        names.extend(
            cells
                .filter(|cell| !cell.is_empty())
                .map(|cell| cell.to_lowercase()),
        );
    }
    names
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
            match was.get(&key) {
                Some((_, old)) if is_record(shape) => unchanged(shape, old, row, problems),
                Some((_, old)) => self.changed(shape, &key, (old, row, now.get(&key)), merged),
                None if is_record(shape) => self.recorded(shape, &key, row, &mut seen, merged),
                None => self.added(shape, &key, row, now.get(&key), merged),
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

    /// The cells of a row that were changed in the workbook.
    fn changed(
        &self,
        shape: &'static Shape,
        key: &RowKey,
        (old, row, now): (&TableRow, &TableRow, Option<&(usize, &TableRow)>),
        merged: &mut Merged,
    ) {
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
            let difference = new_row(shape, key, row, None);
            let reason = Reason::RemovedFromShop;
            merged
                .questions
                .push(WorkbookQuestion { difference, reason });
        }
    }

    /// An entry or an answer that was not in the workbook when it was written; one that was taken before is passed over.
    fn recorded(
        &self,
        shape: &'static Shape,
        key: &RowKey,
        row: &TableRow,
        seen: &mut HashMap<String, usize>,
        merged: &mut Merged,
    ) {
        let mut said = shape.file.to_string();
        let cells = columns(shape).into_iter().zip(&row.cells);
        for (_, cell) in cells.filter(|(column, _)| !is_given(column)) {
            said.push('\n');
            said.push_str(cell);
        }
        // Two rows that say the same are two.
        let nth = seen.entry(said.clone()).or_insert(0);
        *nth += 1;
        let id = self.id(&format!("{said}\n{nth}"));
        if !self.taken.contains(&id) {
            merged.differences.push(new_row(shape, key, row, Some(id)));
        }
    }

    /// A row that was not in the workbook when it was written.
    fn added(
        &self,
        shape: &'static Shape,
        key: &RowKey,
        row: &TableRow,
        now: Option<&(usize, &TableRow)>,
        merged: &mut Merged,
    ) {
        let Some((number, current)) = now else {
            merged.differences.push(new_row(shape, key, row, None));
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
fn new_row(shape: &'static Shape, key: &RowKey, row: &TableRow, id: Option<String>) -> Difference {
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

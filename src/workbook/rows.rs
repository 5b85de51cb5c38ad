//! The rows of a table as texts, in the order of its columns.

use crate::audit::Shop;
use crate::quantity::{Day, Moment};
use crate::text::{CellForm, FileId, Problems, Shape, Span, Table};
use std::collections::HashMap;

#[derive(Clone, Debug)]
pub(super) struct TableRow {
    /// Its cells, by the number of their column.
    pub cells: Vec<String>,
    pub at: Option<Span>,
    /// The place of each cell.
    pub places: Vec<Span>,
}

/// The name of a row, and which one of that name it is.
pub(super) type RowKey = (Vec<String>, usize);

/// The names of the columns of a table.
pub(super) fn columns(shape: &'static Shape) -> Vec<&'static str> {
    shape.must.iter().chain(shape.may).copied().collect()
}

/// The number of a column.
pub(super) fn column(shape: &'static Shape, name: &str) -> Option<usize> {
    columns(shape).iter().position(|it| *it == name)
}

/// All rows of a table of a shop; none if it has no such table. The tables were read before, so there are no problems.
pub(super) fn rows_of(shop: &Shop, shape: &'static Shape) -> Vec<TableRow> {
    let of = |(name, file): &(&str, FileId)| (*name == shape.file).then_some(*file);
    let Some(file) = shop.table_files().iter().find_map(of) else {
        return Vec::new();
    };
    let (mut problems, mut rows) = (Problems::new(), Vec::new());
    let width = columns(shape).len();
    let mut table = Table::open(&shop.files, file, shape, &mut problems);
    while let Some(row) = table.as_mut().and_then(|table| table.next(&mut problems)) {
        let cells = (0..width).map(|at| row.text(at).to_string());
        rows.push(TableRow {
            cells: cells.collect(),
            at: Some(row.span()),
            places: (0..width).map(|at| row.cell_place(at)).collect(),
        });
    }
    rows
}

/// Is the table only ever added to?
pub(super) fn is_record(shape: &'static Shape) -> bool {
    matches!(shape.file, "log.csv" | "checks.csv")
}

/// Rows by their keys.
pub(super) fn by_key<'r>(
    shape: &'static Shape,
    rows: &'r [TableRow],
) -> HashMap<RowKey, (usize, &'r TableRow)> {
    let keys = keys(shape, rows);
    keys.into_iter().zip(rows.iter().enumerate()).collect()
}

/// The key of each row: its name, and how many of that name stand before it.
pub(super) fn keys(shape: &'static Shape, rows: &[TableRow]) -> Vec<RowKey> {
    let named: &[&str] = match shape.file {
        "accepted.csv" => &["rule", "subject"],
        "checks.csv" => &["when", "check", "where"],
        _ => shape.must.get(..1).unwrap_or_default(),
    };
    let at: Vec<usize> = named
        .iter()
        .filter_map(|name| column(shape, name))
        .collect();
    let mut seen: HashMap<Vec<String>, usize> = HashMap::new();
    let mut key = |row: &TableRow| {
        let cell = |at: &usize| plain_moment(row.cells.get(*at).map_or("", |cell| cell));
        let name: Vec<String> = at.iter().map(cell).collect();
        let nth = seen.entry(name.clone()).or_insert(0);
        *nth += 1;
        (name, *nth)
    };
    rows.iter().map(&mut key).collect()
}

/// A day is its first minute, so that a date alone and midnight are the same.
fn plain_moment(cell: &str) -> String {
    Day::parse(cell).map_or_else(
        |_| cell.to_string(),
        |day| Moment::start_of(day).to_string(),
    )
}

/// Do two cells say the same?
pub(super) fn same(one: &str, other: &str) -> bool {
    one == other || plain_moment(one) == plain_moment(other)
}

/// A cell that may be typed as the spreadsheets of the shop write numbers; nothing if it can mean one or a thousand.
pub(super) fn plain_amount(shop: &Shop, cell: &str) -> Option<String> {
    let plain = shop.tables.shop.locale.plain(cell, CellForm::Number);
    plain
        .ok()
        .map(|plain| plain.unwrap_or_else(|| cell.to_string()))
}

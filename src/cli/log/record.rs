//! `sandarac log record`: a fact that the audit asks for, written into the table that holds it.

use super::args::{RecordArgs, WithArgs};
use super::typed::plain_number;
use super::{edit, shop_file};
use crate::audit::Shop;
use crate::cli::open::WRITTEN;
use crate::cli::{Ended, Failure, writing};
use crate::files::{NamedCells, TableEdit};
use crate::quantity::Moment;
use crate::record::{ContainerId, INVENTORY, PlaceId, RoomId, shapes};
use crate::stock::Stock;
use crate::store::Access;
use crate::text::{CellForm, Locale, Shape, clean, nearest, shell_word};
use crate::typing::{self, NameFound};
use std::path::Path;

/// The tables whose rows describe things; the others have entries.
fn tables() -> impl Iterator<Item = &'static Shape> {
    let of_things = |shape: &&'static Shape| {
        let file = shape.file;
        [
            "rooms.csv",
            "places.csv",
            "fixtures.csv",
            "products.csv",
            INVENTORY.file,
        ]
        .contains(&file)
    };
    shapes().into_iter().filter(of_things)
}

pub(super) fn run(
    folder: &Path,
    fact: &RecordArgs,
    with: &WithArgs,
    now: Moment,
) -> Result<Ended, Failure> {
    if !fact.facts.len().is_multiple_of(2) {
        return Err(Failure::refused(
            "Each column needs one value.",
            "For example: sandarac log record 'wax stripper' flash_point '104 F' kind cleaner",
            WRITTEN,
        ));
    }
    let pairs: Vec<(&str, &str)> = fact
        .facts
        .chunks_exact(2)
        .filter_map(|pair| Some((pair.first()?.as_str(), pair.get(1)?.as_str())))
        .collect();
    // The tables may be waiting for just this key.
    if fact.table.is_none() && shop_file::is_meant(&fact.name, &pairs) {
        return shop_file::record(folder, &fact.name, &pairs, with, now.day());
    }
    let access = match with.dry_run {
        true => Access::Look,
        false => Access::Write,
    };
    let all: Vec<&'static Shape> = tables().collect();
    let store = writing::store(folder, &all, access, "")?;
    let stock = store.shop.stock(now.day())?;
    let shape = table(&store.shop, &stock, fact, &pairs)?;
    let row = named(&store.shop, &stock, shape, &fact.name)?;
    let mut cells = cells_of(shape, &pairs, &store.shop.tables.shop.locale)?;
    not_counted(shape, &row, &cells)?;
    let mut edit = TableEdit::new(shape);
    let shown: Vec<String> = cells
        .iter()
        .map(|(column, value)| format!("{column} {}", clean(value)))
        .collect();
    let (name, new) = match row {
        NamedRow::At(at, name) => {
            edit.set.push((at, cells));
            (name, "")
        }
        NamedRow::New(name) => {
            let key = shape.must.first().copied().unwrap_or_default();
            cells.insert(0, (key, name.clone()));
            edit.add.push(cells);
            (name, ", a new row")
        }
    };
    let (did, told) = edit::write(&store, edit, with, now)?;
    let (file, name, shown) = (shape.file, clean(&name), shown.join(", "));
    super::printed(
        &format!("{did} into {file}, {name}{new}: {shown}.\n{told}"),
        with,
    )
}

/// A row of a table.
enum NamedRow {
    /// It is there, at this position, under this name.
    At(usize, String),
    /// It will be new.
    New(String),
}

/// What is typed, as the cells of a table.
fn cells_of(
    shape: &'static Shape,
    pairs: &[(&str, &str)],
    locale: &Locale,
) -> Result<NamedCells, Failure> {
    let cells = pairs.iter().map(|(column, value)| {
        let column = column_of(shape, column)?;
        let value = match locale.form(column) {
            CellForm::Number => plain_number(value, locale)?,
            CellForm::Day | CellForm::Text => (*value).to_string(),
        };
        Ok((column, value))
    });
    cells.collect()
}

fn columns(shape: &'static Shape) -> impl Iterator<Item = &'static str> {
    shape.must.iter().chain(shape.may).copied()
}

/// A column as the table writes it, however it is typed.
fn column_of(shape: &'static Shape, typed: &str) -> Result<&'static str, Failure> {
    let found = columns(shape).find(|column| same(column, typed));
    found.ok_or_else(|| {
        let fix = match nearest(typed, columns(shape)) {
            Some(near) => format!("Did you mean \"{near}\"?"),
            None => format!("It has: {}.", columns(shape).collect::<Vec<_>>().join(", ")),
        };
        let wrong = format!("{} has no column \"{}\".", shape.file, clean(typed));
        Failure::refused(wrong, fix, WRITTEN)
    })
}

fn same(one: &str, other: &str) -> bool {
    let bare = |text: &str| {
        let letters = text.chars().filter(|c| c.is_alphanumeric());
        letters.flat_map(char::to_lowercase).collect::<String>()
    };
    bare(one) == bare(other)
}

/// The table that is meant: the one that is named, or the only one that has the columns and the name.
fn table(
    shop: &Shop,
    stock: &Stock,
    fact: &RecordArgs,
    pairs: &[(&str, &str)],
) -> Result<&'static Shape, Failure> {
    if let Some(wanted) = fact.table.as_deref() {
        return table_named(wanted);
    }
    let has = |shape: &&'static Shape| {
        let mut typed = pairs.iter().map(|(column, _)| *column);
        typed.all(|typed| columns(shape).any(|column| same(column, typed)))
    };
    let fitting: Vec<&'static Shape> = tables().filter(has).collect();
    let there = fitting.iter().copied();
    let there: Vec<&'static Shape> = there
        .filter(|shape| is_there(shop, stock, shape, &fact.name))
        .collect();
    let (wrong, fix) = match (there.as_slice(), fitting.as_slice()) {
        ([one], _) => return Ok(one),
        ([], []) => no_such_columns(pairs),
        ([], [first, ..]) => (
            format!("There is no \"{}\" in the tables.", clean(&fact.name)),
            format!(
                "Correct the name. If it is new, say in which table: --table {}",
                bare(first)
            ),
        ),
        ([first, ..], _) => {
            let names: Vec<&str> = there.iter().map(|shape| bare(shape)).collect();
            (
                format!(
                    "\"{}\" is in several tables: {}.",
                    clean(&fact.name),
                    names.join(", ")
                ),
                format!("Name one: --table {}", bare(first)),
            )
        }
    };
    Err(Failure::refused(wrong, fix, WRITTEN))
}

/// The name of a table, as it is typed.
fn bare(shape: &Shape) -> &'static str {
    shape.file.trim_end_matches(".csv")
}

fn table_named(wanted: &str) -> Result<&'static Shape, Failure> {
    let found = tables().find(|shape| same(bare(shape), wanted.trim_end_matches(".csv")));
    found.ok_or_else(|| {
        let known: Vec<&str> = tables().map(bare).collect();
        Failure::refused(
            format!("\"{}\" is no table that describes things.", clean(wanted)),
            format!("It is one of: {}.", known.join(", ")),
            WRITTEN,
        )
    })
}

/// What is wrong where no table has all columns, and what to do.
fn no_such_columns(pairs: &[(&str, &str)]) -> (String, String) {
    let typed: Vec<String> = pairs.iter().map(|(column, _)| clean(column)).collect();
    let all = tables().flat_map(columns);
    let near = pairs.first().and_then(|(column, _)| nearest(column, all));
    let fix = near.map_or_else(
        || "The README lists the tables and their columns.".to_string(),
        |near| format!("Did you mean \"{near}\"?"),
    );
    let wrong = format!("No table has the columns {}.", typed.join(", "));
    (wrong, fix)
}

/// Has this table such a row, or may it have one? A product of the shop or the built-in list may.
fn is_there(shop: &Shop, stock: &Stock, shape: &'static Shape, name: &str) -> bool {
    match found(shop, stock, shape, name) {
        NameFound::One(_) | NameFound::Several(_) => true,
        NameFound::Unknown => false,
    }
}

fn found(shop: &Shop, stock: &Stock, shape: &'static Shape, name: &str) -> NameFound {
    let tables = &shop.tables;
    let one = |found: Option<&str>| {
        found.map_or(NameFound::Unknown, |name| NameFound::One(name.to_string()))
    };
    match shape.file {
        "rooms.csv" => one(tables
            .rooms
            .iter()
            .map(|it| it.id.as_str())
            .find(|it| same(it, name))),
        "fixtures.csv" => {
            let mut all = tables.fixtures.iter().flatten().map(|it| it.id.as_str());
            one(all.find(|it| same(it, name)))
        }
        "places.csv" => match typing::place(tables, name, &[]) {
            NameFound::One(name) if tables.place(&name).is_none() => NameFound::Unknown,
            found => found,
        },
        "products.csv" => one(typing::product(tables, name).as_deref()),
        _ => match tables.containers.iter().find(|it| same(&it.id, name)) {
            Some(row) => NameFound::One(row.id.clone()),
            None if typing::product(tables, name).is_some() => NameFound::Unknown,
            None => typing::container(tables, stock, name),
        },
    }
}

/// The row of a name.
fn named(
    shop: &Shop,
    stock: &Stock,
    shape: &'static Shape,
    typed: &str,
) -> Result<NamedRow, Failure> {
    let mut name = typed.to_string();
    super::typed::chosen(found(shop, stock, shape, typed), &mut name, "name")?;
    let tables = &shop.tables;
    let at = match shape.file {
        "rooms.csv" => tables.room(&name).map(RoomId::index),
        "places.csv" => tables.place(&name).map(PlaceId::index),
        "fixtures.csv" => {
            let mut all = tables.fixtures.iter().flatten();
            all.position(|it| it.id == name)
        }
        "products.csv" => {
            let small = name.to_lowercase();
            let mut all = tables.products.iter();
            all.position(|it| it.id.to_lowercase() == small)
        }
        _ => tables.container(&name).map(ContainerId::index),
    };
    Ok(match at {
        Some(at) => NamedRow::At(at, name),
        None => NamedRow::New(name),
    })
}

/// An amount in the inventory is of the past: what is there now is a count, and what is new is received.
fn not_counted(shape: &Shape, row: &NamedRow, cells: &NamedCells) -> Result<(), Failure> {
    let counted = cells
        .iter()
        .any(|(column, _)| matches!(*column, "amount" | "since" | "container"));
    if shape.file != INVENTORY.file {
        return Ok(());
    }
    match row {
        NamedRow::At(_, name) if counted => Err(Failure::refused(
            format!(
                "The amount in {} is counted, and never edited.",
                clean(name)
            ),
            format!(
                "Log what is there: sandarac log count {} AMOUNT",
                shell_word(name)
            ),
            WRITTEN,
        )),
        NamedRow::New(name) => Err(Failure::refused(
            format!("There is no container \"{}\".", clean(name)),
            format!(
                "A new one is received: sandarac log receive {} AMOUNT --product PRODUCT --vessel VESSEL --place PLACE",
                shell_word(name)
            ),
            WRITTEN,
        )),
        NamedRow::At(..) => Ok(()),
    }
}

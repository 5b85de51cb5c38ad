//! The sheets of a workbook as the tables of a shop, to be read by the same code as the tables.

use super::read::{Sheet, Workbook};
use super::rows::{TableRow, column, plain_amount};
use super::state::State;
use super::write::sheet_of;
use crate::audit::{NotAudited, Shop};
use crate::record::{INVENTORY, LOG};
use crate::text::{CellForm, DecimalMark};
use crate::typing::as_typed;
use std::collections::{HashMap, HashSet};

/// A file of a shop: its name, what messages call it, and its text.
pub(super) type ShownText = (&'static str, String, Vec<u8>);

/// The texts of the tables of a workbook, with shop.toml. The new amount of a container with entries is no amount of the
/// inventory: the old one stays there, and the new one comes back beside the texts.
pub(super) fn texts_of(
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
        let mut sheet = Sheet {
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
                // What can mean two amounts stays in the sheet, and its reader refuses it.
                let Some(new) = plain_amount(shop, cell) else {
                    continue;
                };
                if used.contains(&name.to_lowercase()) && new != *old {
                    amounts.insert(name, new);
                    cell.clone_from(old);
                }
            }
        }
        as_the_shop_writes(shop, &book.state, &mut sheet);
        if sheet.shape.file == "log.csv" {
            number_new_entries(&mut sheet.rows);
        }
        let shown = format!("{}, sheet {}", book.name, sheet_of(sheet.shape));
        texts.push((sheet.shape.file, shown, sheet.table().into_bytes()));
    }
    Ok((texts, amounts))
}

/// Numbers that were not changed have the decimal point of the workbook. Where the shop reads it as one of thousands, they get a comma.
fn as_the_shop_writes(shop: &Shop, state: &State, sheet: &mut Sheet) {
    let locale = &shop.tables.shop.locale;
    if locale.decimals != Some(DecimalMark::Comma) {
        return;
    }
    let before = state.rows(sheet.shape);
    let named = before
        .iter()
        .filter_map(|row| Some((row.cells.first()?, row)));
    let named: HashMap<&String, &TableRow> = named.collect();
    let heads = sheet.rows.first().cloned().unwrap_or_default();
    for row in sheet.rows.iter_mut().skip(1) {
        let was = row.first().and_then(|name| named.get(name));
        for (head, cell) in heads.iter().zip(row.iter_mut()) {
            let at = column(sheet.shape, head);
            let same = was.and_then(|was| was.cells.get(at?)) == Some(&*cell);
            if same && plain_amount(shop, cell).is_none() && locale.form(head) == CellForm::Number {
                *cell = as_typed(cell, locale);
            }
        }
    }
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

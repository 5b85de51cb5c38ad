//! Workbooks that a test opens, changes and saves, as a person does with a spreadsheet.

use calamine::{Data, Reader, open_workbook_auto};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};
use std::path::Path;
use tempfile::TempDir;

/// All sheets of a workbook: their names and cells.
pub type Book = Vec<(String, Vec<Vec<Data>>)>;

pub fn open(path: &Path) -> Book {
    let mut book = open_workbook_auto(path).unwrap();
    let names = book.sheet_names();
    let sheet = |name: String| {
        let range = book.worksheet_range(&name).unwrap();
        (name, range.rows().map(<[Data]>::to_vec).collect())
    };
    names.into_iter().map(sheet).collect()
}

/// Saves a workbook as a spreadsheet would: values and formats, and nothing else of ours.
pub fn save(book: &Book, path: &Path) {
    let mut out = Workbook::new();
    let date = Format::new().set_num_format("d.m.yyyy hh:mm");
    for (name, rows) in book {
        let sheet = out.add_worksheet();
        sheet.set_name(name).unwrap();
        for (row, cells) in (0..).zip(rows) {
            for (column, cell) in (0..).zip(cells) {
                match cell {
                    Data::String(text) => sheet.write_string(row, column, text).map(|_| ()),
                    Data::Float(number) => sheet.write_number(row, column, *number).map(|_| ()),
                    Data::Bool(yes) => sheet.write_boolean(row, column, *yes).map(|_| ()),
                    Data::DateTime(day) => {
                        let day = ExcelDateTime::from_serial_datetime(day.as_f64()).unwrap();
                        sheet
                            .write_datetime_with_format(row, column, &day, &date)
                            .map(|_| ())
                    }
                    _ => Ok(()),
                }
                .unwrap();
            }
        }
    }
    out.save(path).unwrap();
}

/// Changes the workbook of a folder.
pub fn change(folder: &TempDir, change: impl FnOnce(&mut Book)) {
    let path = folder.path().join("shelf.xlsx");
    let mut book = open(&path);
    change(&mut book);
    save(&book, &path);
}

pub fn sheet<'b>(book: &'b mut Book, name: &str) -> &'b mut Vec<Vec<Data>> {
    &mut book.iter_mut().find(|(it, _)| it == name).unwrap().1
}

/// A cell of the row with this name, by the name of its column.
pub fn cell<'b>(book: &'b mut Book, name: &str, row: &str, column: &str) -> &'b mut Data {
    let rows = sheet(book, name);
    let at = rows[0].iter().position(|it| *it == text(column)).unwrap();
    &mut rows.iter_mut().find(|cells| cells[0] == text(row)).unwrap()[at]
}

pub fn text(text: &str) -> Data {
    Data::String(text.to_string())
}

/// A new row of a sheet, by columns.
pub fn add(book: &mut Book, name: &str, cells: &[(&str, Data)]) {
    let rows = sheet(book, name);
    let mut row = vec![Data::Empty; rows[0].len()];
    for (column, cell) in cells {
        let at = rows[0].iter().position(|it| *it == text(column)).unwrap();
        row[at] = cell.clone();
    }
    rows.push(row);
}

//! A shop as the bytes of a workbook. The one door to its writer.

use super::columns::{Form, NamedThings, form, note};
use super::rows::{TableRow, columns, rows_of};
use super::state;
use crate::audit::Shop;
use crate::quantity::{Day, Dimension, Moment, unit};
use crate::record::shapes;
use crate::text::Shape;
use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, ExcelDateTime, Format, FormatAlign, Formula, Note,
    Workbook, Worksheet, XlsxError,
};
use std::collections::BTreeSet;

/// So many empty rows below the last one have their lists.
const EMPTY_ROWS: u32 = 1000;
/// The sheet with the names that the lists offer.
const LISTS: &str = "lists";

/// Why a workbook could not be made, as its writer says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotMade(pub String);

impl From<XlsxError> for NotMade {
    fn from(fault: XlsxError) -> NotMade {
        NotMade(fault.to_string())
    }
}

/// The formats of cells.
struct Formats {
    head: Format,
    text: Format,
    day: Format,
    moment: Format,
}

/// The columns of the sheet with names and units: what each is for, and how long it is.
struct Lists(Vec<(NameList, u32)>);

#[derive(Clone, Copy, PartialEq, Eq)]
enum NameList {
    NamedThings(NamedThings),
    Units(&'static [Dimension]),
}

/// All tables of a shop as a workbook. `now` tells this workbook from others of the same shop.
pub fn write(shop: &Shop, now: Moment) -> Result<Vec<u8>, NotMade> {
    let of = |shape| (shape, rows_of(shop, shape));
    let tables: Vec<(&'static Shape, Vec<TableRow>)> = shapes().into_iter().map(of).collect();
    let formats = Formats {
        head: Format::new().set_bold().set_align(FormatAlign::Top),
        text: Format::new().set_num_format("@"),
        day: Format::new().set_num_format("yyyy-mm-dd"),
        moment: Format::new().set_num_format("yyyy-mm-dd hh:mm"),
    };
    let mut book = Workbook::new();
    let lists = Lists::new(shop);
    for (shape, rows) in &tables {
        let sheet = book.add_worksheet();
        sheet.set_name(sheet_of(shape))?;
        fill(sheet, shape, rows, &formats)?;
        offer(sheet, shape, rows.len(), &lists)?;
    }
    let sheet = book.add_worksheet();
    sheet.set_name(LISTS)?.set_hidden(true);
    for (at, list) in lists.columns(shop).into_iter().enumerate() {
        for (row, name) in list.into_iter().enumerate() {
            sheet.write_string(place(row)?, short(at)?, name)?;
        }
    }
    let sheet = book.add_worksheet();
    sheet.set_name(state::SHEET)?.set_hidden(true);
    for (row, line) in state::lines(&id(&tables, now), &tables)
        .into_iter()
        .enumerate()
    {
        for (at, cell) in line
            .into_iter()
            .enumerate()
            .filter(|(_, cell)| !cell.is_empty())
        {
            sheet.write_string(place(row)?, short(at)?, cell)?;
        }
    }
    Ok(book.save_to_buffer()?)
}

/// The sheet of a table.
pub(super) fn sheet_of(shape: &Shape) -> &'static str {
    shape.file.strip_suffix(".csv").unwrap_or(shape.file)
}

fn place(row: usize) -> Result<u32, NotMade> {
    u32::try_from(row).map_err(|fault| NotMade(fault.to_string()))
}

fn short(column: usize) -> Result<u16, NotMade> {
    u16::try_from(column).map_err(|fault| NotMade(fault.to_string()))
}

/// Two workbooks of the same rows and minute are the same workbook.
fn id(tables: &[(&'static Shape, Vec<TableRow>)], now: Moment) -> String {
    let mut text = now.to_string();
    for cell in tables
        .iter()
        .flat_map(|(_, rows)| rows)
        .flat_map(|row| &row.cells)
    {
        text.push_str(cell);
        text.push('\n');
    }
    super::plan::hash(&text)
}

/// Heads and rows.
fn fill(
    sheet: &mut Worksheet,
    shape: &'static Shape,
    rows: &[TableRow],
    formats: &Formats,
) -> Result<(), NotMade> {
    sheet.set_freeze_panes(1, 0)?;
    for (at, name) in columns(shape).into_iter().enumerate() {
        let (column, form) = (short(at)?, form(shape.file, name));
        // Unless a cell is text, a spreadsheet makes a date of 1/2 and a number of 007.
        let format = match form {
            Form::Day => Some(&formats.day),
            Form::Moment => Some(&formats.moment),
            Form::Number => None,
            Form::Text | Form::Quantity(_) | Form::Words(_) | Form::Name(_) => Some(&formats.text),
        };
        if let Some(format) = format {
            sheet.set_column_format(column, format)?;
        }
        let width = match (at, name) {
            (0, _) | (_, "product" | "check" | "where" | "made_of" | "what" | "why") => 26.0,
            (_, "note") => 40.0,
            (_, "when" | "written") => 17.0,
            _ => 13.0,
        };
        sheet.set_column_width(column, width)?;
        sheet.write_string_with_format(0, column, name, &formats.head)?;
        if let Some(text) = note(shape.file, name) {
            sheet.insert_note(0, column, &Note::new(text).add_author_prefix(false))?;
        }
        for (row, cells) in rows.iter().enumerate() {
            let cell = cells.cells.get(at).map_or("", String::as_str);
            if !cell.is_empty() {
                write_cell(sheet, (place(row + 1)?, column), cell, &form, formats)?;
            }
        }
    }
    Ok(())
}

fn write_cell(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    cell: &str,
    form: &Form,
    formats: &Formats,
) -> Result<(), NotMade> {
    let date = match form {
        Form::Day => Day::parse(cell).ok().and_then(|_| date_of(cell, "00:00")),
        Form::Moment => Moment::parse(cell)
            .ok()
            .and_then(|_| date_of(cell.get(..10)?, cell.get(11..)?))
            .or_else(|| Day::parse(cell).ok().and_then(|_| date_of(cell, "00:00"))),
        Form::Text | Form::Quantity(_) | Form::Number | Form::Words(_) | Form::Name(_) => None,
    };
    let whole = cell.parse::<u32>().ok().filter(|n| n.to_string() == cell);
    match (date, whole, form) {
        (Some(date), _, Form::Day) => {
            sheet.write_datetime_with_format(row, column, &date, &formats.day)?
        }
        (Some(date), _, _) => {
            sheet.write_datetime_with_format(row, column, &date, &formats.moment)?
        }
        (None, Some(number), Form::Number) => sheet.write_number(row, column, number)?,
        (None, _, _) => sheet.write_string_with_format(row, column, cell, &formats.text)?,
    };
    Ok(())
}

fn date_of(day: &str, clock: &str) -> Option<ExcelDateTime> {
    let part = |text: Option<&str>| text?.parse::<u16>().ok();
    let (year, month, of_month) = (
        part(day.get(..4))?,
        part(day.get(5..7))?,
        part(day.get(8..10))?,
    );
    let (hour, minute) = (part(clock.get(..2))?, part(clock.get(3..5))?);
    let (month, of_month) = (u8::try_from(month).ok()?, u8::try_from(of_month).ok()?);
    let date = ExcelDateTime::from_ymd(year, month, of_month).ok()?;
    date.and_hms(hour, u8::try_from(minute).ok()?, 0).ok()
}

/// Drop-down lists and checks of units.
fn offer(
    sheet: &mut Worksheet,
    shape: &'static Shape,
    rows: usize,
    lists: &Lists,
) -> Result<(), NotMade> {
    let last = place(rows)? + EMPTY_ROWS;
    for (at, name) in columns(shape).into_iter().enumerate() {
        let column = short(at)?;
        let rule = match form(shape.file, name) {
            Form::Words(words) => DataValidation::new()
                .allow_list_strings(&words)?
                .set_error_message("Choose one of the words in the list.")?,
            Form::Name(names) => match lists.range(NameList::NamedThings(names)) {
                Some(range) => DataValidation::new()
                    .allow_list_formula(Formula::new(range))
                    .set_error_style(DataValidationErrorStyle::Warning)
                    .set_error_message(
                        "This name is not in its own sheet yet. Add it there too.",
                    )?,
                None => continue,
            },
            Form::Quantity(dimensions) => match lists.range(NameList::Units(dimensions)) {
                Some(range) => DataValidation::new()
                    .allow_custom(ends_with_a_unit(at, &range))
                    .set_error_style(DataValidationErrorStyle::Warning)
                    .set_error_message(format!(
                        "Write a number, a space and a unit, such as {}.",
                        dimensions.first().map_or("1 qt", |it| it.example())
                    ))?,
                None => continue,
            },
            Form::Text | Form::Day | Form::Moment | Form::Number => continue,
        };
        sheet.add_data_validation(1, column, last, column, &rule)?;
    }
    Ok(())
}

/// Does the cell of the second row end with a blank and one of the units?
fn ends_with_a_unit(column: usize, range: &str) -> Formula {
    let range = range.trim_start_matches('=');
    let letter = u8::try_from(column)
        .ok()
        .and_then(|at| b'A'.checked_add(at));
    let cell = format!("{}2", char::from(letter.unwrap_or(b'A')));
    Formula::new(format!(
        "=SUMPRODUCT(--(RIGHT({cell},LEN({range})+1)=\" \"&{range}))>0"
    ))
}

impl Lists {
    fn new(shop: &Shop) -> Lists {
        let names = [
            NamedThings::Rooms,
            NamedThings::Places,
            NamedThings::Products,
            NamedThings::Containers,
            NamedThings::Questions,
        ];
        let mut lists: Vec<NameList> = names.into_iter().map(NameList::NamedThings).collect();
        for (shape, name) in shapes()
            .into_iter()
            .flat_map(|it| columns(it).into_iter().map(move |name| (it, name)))
        {
            if let Form::Quantity(dimensions) = form(shape.file, name)
                && !lists.contains(&NameList::Units(dimensions))
            {
                lists.push(NameList::Units(dimensions));
            }
        }
        let length = |list: NameList| u32::try_from(entries(shop, list).len()).unwrap_or(u32::MAX);
        Lists(lists.into_iter().map(|list| (list, length(list))).collect())
    }

    fn columns(&self, shop: &Shop) -> Vec<Vec<String>> {
        self.0
            .iter()
            .map(|(list, _)| entries(shop, *list))
            .collect()
    }

    /// Where a list is, as a formula; `None` if it is empty.
    fn range(&self, list: NameList) -> Option<String> {
        let at = self.0.iter().position(|(it, _)| *it == list)?;
        let (_, length) = self.0.get(at).filter(|(_, length)| *length > 0)?;
        let letter = char::from(b'A'.checked_add(u8::try_from(at).ok()?)?);
        Some(format!("={LISTS}!${letter}$1:${letter}${length}"))
    }
}

/// What a list has.
fn entries(shop: &Shop, list: NameList) -> Vec<String> {
    let tables = &shop.tables;
    let rooms = || tables.rooms.iter().map(|it| it.id.clone());
    match list {
        NameList::Units(dimensions) => {
            let symbols = |dimension: &Dimension| unit::symbols(*dimension);
            let all: Vec<String> = dimensions.iter().map(symbols).collect();
            all.join(", ").split(", ").map(str::to_string).collect()
        }
        NameList::NamedThings(NamedThings::Rooms) => rooms().collect(),
        NameList::NamedThings(NamedThings::Places) => tables
            .places
            .iter()
            .map(|it| it.id.clone())
            .chain(rooms())
            .collect(),
        NameList::NamedThings(NamedThings::Products) => {
            let described = tables.products.iter().map(|it| it.id.clone());
            let held = tables.containers.iter().map(|it| it.product.clone());
            described
                .chain(held)
                .collect::<BTreeSet<_>>()
                .into_iter()
                .collect()
        }
        NameList::NamedThings(NamedThings::Containers) => {
            tables.containers.iter().map(|it| it.id.clone()).collect()
        }
        NameList::NamedThings(NamedThings::Questions) => {
            let questions = shop.reference.round.questions.iter();
            questions.map(|it| it.check.clone()).collect()
        }
    }
}

//! A workbook file as the texts of tables. The one door to its reader.

use super::columns::{Form, form};
use super::state::{self, State};
use super::write::sheet_of;
use crate::quantity::{Day, Moment};
use crate::record::shapes;
use crate::text::Shape;
use calamine::{Data, ExcelDateTime, Reader, open_workbook_auto};
use std::path::Path;

/// A workbook has at most so many bytes.
const MOST_BYTES: u64 = 1 << 26;

/// A workbook that was read.
pub struct Workbook {
    /// Its file, as messages name it.
    pub name: String,
    pub(super) sheets: Vec<Sheet>,
    pub(super) state: State,
}

/// A sheet with a table.
pub(super) struct Sheet {
    pub shape: &'static Shape,
    /// Its rows, the names of the columns first.
    pub rows: Vec<Vec<String>>,
}

/// Why a file is not read as a workbook of a shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotAWorkbook {
    /// It cannot be read.
    Unreadable(String),
    /// It has too many bytes.
    TooLarge(u64),
    /// It was not written by this program, or its hidden sheet is gone.
    NoState,
    /// A sheet is gone.
    NoSheet(&'static str),
}

impl Workbook {
    /// Reads a file (.xlsx, .ods).
    pub fn read(path: &Path) -> Result<Workbook, NotAWorkbook> {
        let unreadable =
            |fault: &dyn std::fmt::Display| NotAWorkbook::Unreadable(fault.to_string());
        let bytes = std::fs::metadata(path)
            .map_err(|fault| unreadable(&fault))?
            .len();
        if bytes > MOST_BYTES {
            return Err(NotAWorkbook::TooLarge(bytes));
        }
        let mut book = open_workbook_auto(path).map_err(|fault| unreadable(&fault))?;
        let names = book.sheet_names();
        let mut sheet = |wanted: &str| {
            let name = names
                .iter()
                .find(|name| name.eq_ignore_ascii_case(wanted))?;
            Some(book.worksheet_range(name))
        };
        let hidden = sheet(state::SHEET).ok_or(NotAWorkbook::NoState)?;
        let hidden = hidden.map_err(|fault| unreadable(&fault))?;
        let lines = hidden
            .rows()
            .map(|row| row.iter().map(|cell| text_of(cell, &Form::Text)).collect());
        let state = State::read(&lines.collect::<Vec<_>>()).ok_or(NotAWorkbook::NoState)?;
        let mut sheets = Vec::new();
        for shape in shapes() {
            let range = sheet(sheet_of(shape)).ok_or(NotAWorkbook::NoSheet(sheet_of(shape)))?;
            let range = range.map_err(|fault| unreadable(&fault))?;
            let (above, before) = range.start().unwrap_or((0, 0));
            let rows = range.rows().map(<[Data]>::to_vec).collect();
            sheets.push(Sheet {
                shape,
                rows: texts(shape, rows, (above, before)),
            });
        }
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        Ok(Workbook {
            name: name.into_owned(),
            sheets,
            state,
        })
    }
}

/// The cells of a sheet as texts, row by row from the first, each row as long as the first.
fn texts(shape: &Shape, rows: Vec<Vec<Data>>, (above, before): (u32, u32)) -> Vec<Vec<String>> {
    let mut all: Vec<Vec<String>> = (0..above).map(|_| Vec::new()).collect();
    let (mut forms, mut width): (Vec<Form>, usize) = (Vec::new(), 0);
    for row in rows {
        let blank = (0..before).map(|_| Data::Empty);
        let cells: Vec<Data> = blank.chain(row).collect();
        let form = |at: usize| forms.get(at).unwrap_or(&Form::Text);
        let texts = cells
            .iter()
            .enumerate()
            .map(|(at, cell)| text_of(cell, form(at)));
        let mut texts: Vec<String> = texts.collect();
        let filled = texts
            .iter()
            .rposition(|text| !text.is_empty())
            .map_or(0, |at| at + 1);
        if width == 0 {
            width = filled;
            forms = texts
                .iter()
                .map(|name| self::form(shape.file, &name.to_ascii_lowercase()))
                .collect();
        }
        texts.resize(filled.max(width), String::new());
        all.push(texts);
    }
    all
}

/// A cell as a table of the shop has it.
fn text_of(cell: &Data, form: &Form) -> String {
    match cell {
        Data::Empty => String::new(),
        Data::String(text) => text.trim().to_string(),
        Data::Int(number) => number.to_string(),
        Data::Float(number) => number.to_string(),
        Data::Bool(true) => "yes".to_string(),
        Data::Bool(false) => "no".to_string(),
        Data::DateTime(date) if date.is_datetime() => {
            dated(date, form).unwrap_or_else(|| date.as_f64().to_string())
        }
        Data::DateTime(time) => time.as_f64().to_string(),
        Data::DateTimeIso(text) => iso(text, form),
        Data::DurationIso(text) => text.clone(),
        Data::Error(fault) => fault.to_string(),
    }
}

/// A date cell; a few milliseconds before a minute are that minute, since dates are kept as parts of days.
fn dated(date: &ExcelDateTime, form: &Form) -> Option<String> {
    let (year, month, day, hour, minute, second, _) = date.to_ymd_hms_milli();
    let text = format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}");
    let moment = Moment::parse(&text).ok()?;
    let moment = if second == 59 { moment.next() } else { moment };
    Some(written(moment, form))
}

/// `2026-10-31` or `2026-10-31T17:30:00`, as .ods files have it.
fn iso(text: &str, form: &Form) -> String {
    let day = Day::parse(text).map(Moment::start_of);
    let moment = day.or_else(|fault| text.get(..16).map_or(Err(fault), Moment::parse));
    moment.map_or_else(|_| text.to_string(), |moment| written(moment, form))
}

/// A moment in a column of moments; elsewhere midnight is a day.
fn written(moment: Moment, form: &Form) -> String {
    match form {
        Form::Moment => moment.to_string(),
        Form::Day
        | Form::Text
        | Form::Quantity(_)
        | Form::Number
        | Form::Words(_)
        | Form::Name(_) => {
            if moment == Moment::start_of(moment.day()) {
                moment.day().to_string()
            } else {
                moment.to_string()
            }
        }
    }
}

impl Sheet {
    /// Its rows as a table in CSV, every cell in quotation marks, so that its rows have the numbers of the sheet's.
    pub(super) fn table(&self) -> String {
        let mut text = String::new();
        for row in &self.rows {
            let cells: Vec<String> = row
                .iter()
                .map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")))
                .collect();
            text.push_str(&cells.join(","));
            text.push('\n');
        }
        text
    }

    /// Where a column is.
    pub(super) fn column(&self, name: &str) -> Option<usize> {
        self.rows
            .first()?
            .iter()
            .position(|it| it.trim().eq_ignore_ascii_case(name))
    }
}

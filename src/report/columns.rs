//! Tables of the reports: each column is defined once, with its head and its cell, and every format draws it in its own way.

use super::html::Markup;
use super::words::{date, moment};
use crate::quantity::{Day, Moment};
use crate::text::Span;

/// Where a table is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Medium {
    Screen,
    Markdown,
    Page,
    Binder,
}

const ALL: &[Medium] = &[
    Medium::Screen,
    Medium::Markdown,
    Medium::Page,
    Medium::Binder,
];

/// Shown where there is no limit to compare with.
pub(super) const NONE: &str = "–";

/// A table: its title and its columns.
pub(super) struct Listing<'c, R> {
    pub title: String,
    /// Shown in place of a table without rows.
    pub empty: &'static str,
    /// Its class on a page.
    pub class: &'static str,
    pub columns: Vec<Column<'c, R>>,
    /// The column that names its row.
    pub row_head: usize,
    pub mark: Option<RowMark<'c, R>>,
}

/// An attribute of each row on a page.
pub(super) struct RowMark<'c, R> {
    pub attribute: &'static str,
    pub value: Box<dyn Fn(&'c R) -> Option<&'c str> + 'c>,
}

pub(super) struct Column<'c, R> {
    pub head: String,
    /// Its class on a page: `number` is aligned right.
    pub class: Option<&'static str>,
    on: &'static [Medium],
    pub cell: Box<dyn Fn(&'c R) -> TableCell<'c> + 'c>,
}

/// The content of a cell.
pub(super) enum TableCell<'c> {
    /// A name or text that the shop gave.
    Name(&'c str),
    /// Words or figures of the report.
    Words(String),
    /// A day, and words after it.
    Day(Day, &'static str),
    /// A day and its minute, as a US or a metric shop writes the hour.
    Moment(Moment, bool),
    /// Rows of tables: the first ones, and how many there are.
    Rows(Vec<Span>, Option<usize>),
    /// What only a page can show.
    Html(Markup),
    Unknown,
}

impl<'c, R> Listing<'c, R> {
    pub(super) fn new(title: impl Into<String>) -> Listing<'c, R> {
        Listing {
            title: title.into(),
            empty: "",
            class: "",
            columns: Vec::new(),
            row_head: 0,
            mark: None,
        }
    }

    /// A column of words, shown everywhere.
    pub(super) fn column<C: Into<TableCell<'c>>>(
        self,
        head: impl Into<String>,
        cell: impl Fn(&'c R) -> C + 'c,
    ) -> Listing<'c, R> {
        self.styled(head, "", cell)
    }

    /// A column of numbers, which are aligned right.
    pub(super) fn number<C: Into<TableCell<'c>>>(
        self,
        head: impl Into<String>,
        cell: impl Fn(&'c R) -> C + 'c,
    ) -> Listing<'c, R> {
        self.styled(head, "number", cell)
    }

    /// A column with a style class on a page.
    pub(super) fn styled<C: Into<TableCell<'c>>>(
        mut self,
        head: impl Into<String>,
        class: &'static str,
        cell: impl Fn(&'c R) -> C + 'c,
    ) -> Listing<'c, R> {
        self.columns.push(Column {
            head: head.into(),
            class: (!class.is_empty()).then_some(class),
            on: ALL,
            cell: Box::new(move |row| cell(row).into()),
        });
        self
    }

    /// Shows the last column only there.
    pub(super) fn only(mut self, on: &'static [Medium]) -> Listing<'c, R> {
        if let Some(last) = self.columns.last_mut() {
            last.on = on;
        }
        self
    }

    /// The column of the rows that a row of the table comes from.
    pub(super) fn rows<S: Into<Option<Span>>>(
        self,
        at: impl Fn(&'c R) -> S + 'c,
    ) -> Listing<'c, R> {
        self.styled("Row", "rows", move |row| {
            let at: Option<Span> = at(row).into();
            TableCell::Rows(at.into_iter().collect(), None)
        })
    }

    pub(super) fn empty(self, empty: &'static str) -> Listing<'c, R> {
        Listing { empty, ..self }
    }

    pub(super) fn class(self, class: &'static str) -> Listing<'c, R> {
        Listing { class, ..self }
    }

    pub(super) fn row_head(self, row_head: usize) -> Listing<'c, R> {
        Listing { row_head, ..self }
    }

    /// Gives each row an attribute; a row for which it has no value goes without.
    pub(super) fn mark(
        self,
        attribute: &'static str,
        value: impl Fn(&'c R) -> Option<&'c str> + 'c,
    ) -> Listing<'c, R> {
        let value = Box::new(value);
        let mark = Some(RowMark { attribute, value });
        Listing { mark, ..self }
    }

    /// The columns that a format shows.
    pub(super) fn shown_on(&self, medium: Medium) -> impl Iterator<Item = &Column<'c, R>> {
        let columns = self.columns.iter();
        columns.filter(move |column| column.on.contains(&medium))
    }
}

impl<'c> TableCell<'c> {
    /// A name or text of the shop; blank where there is none.
    pub(super) fn optional(text: Option<&'c str>) -> TableCell<'c> {
        TableCell::Name(text.unwrap_or_default())
    }

    /// A name of the shop, or that it is not recorded.
    pub(super) fn recorded(name: Option<&'c str>) -> TableCell<'c> {
        name.map_or_else(|| "not recorded".into(), TableCell::Name)
    }

    /// As plain text; `unknown` stands for what is unknown.
    pub(super) fn text(&self, unknown: &str) -> String {
        match self {
            TableCell::Name(name) => (*name).to_string(),
            TableCell::Words(words) => words.clone(),
            TableCell::Day(day, words) => format!("{} {words}", date(*day)).trim_end().to_string(),
            TableCell::Moment(at, us) => moment(*at, *us),
            TableCell::Rows(..) | TableCell::Html(_) => String::new(),
            TableCell::Unknown => unknown.to_string(),
        }
    }

    /// Is the cell without content?
    pub(super) fn is_blank(&self) -> bool {
        match self {
            TableCell::Unknown => true,
            TableCell::Name(text) => text.is_empty(),
            TableCell::Words(words) => words.is_empty() || words == NONE,
            TableCell::Rows(rows, _) => rows.is_empty(),
            TableCell::Html(markup) => markup.0.is_empty(),
            TableCell::Day(..) | TableCell::Moment(..) => false,
        }
    }
}

impl From<String> for TableCell<'_> {
    fn from(words: String) -> Self {
        TableCell::Words(words)
    }
}

impl From<&'static str> for TableCell<'_> {
    fn from(words: &'static str) -> Self {
        TableCell::Words(words.to_string())
    }
}

impl From<Markup> for TableCell<'_> {
    fn from(markup: Markup) -> Self {
        TableCell::Html(markup)
    }
}

impl From<Day> for TableCell<'_> {
    fn from(day: Day) -> Self {
        TableCell::Day(day, "")
    }
}

/// A missing value is unknown.
impl<'c, C: Into<TableCell<'c>>> From<Option<C>> for TableCell<'c> {
    fn from(known: Option<C>) -> Self {
        known.map_or(TableCell::Unknown, Into::into)
    }
}

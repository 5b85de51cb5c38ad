//! Tables of which more than one format shows the same rows: each column is said once, with its head and its cell, and every
//! format draws it in its own way.

use super::view::View;
use crate::quantity::Moment;
use crate::text::Span;

/// Where a table is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Medium {
    Screen,
    Markdown,
    Page,
    Binder,
}

/// A table: what it is called, and its columns.
pub(super) struct Listing<R: 'static> {
    pub title: &'static str,
    /// What a reader must know of all its rows.
    pub intro: &'static str,
    /// Said where it has no row: never left blank, and never taken for good.
    pub empty: &'static str,
    /// Its class on a page.
    pub class: &'static str,
    pub columns: &'static [Column<R>],
    /// The container that a row is about.
    pub container: Option<fn(&R) -> &str>,
}

/// A column.
pub(super) struct Column<R> {
    pub head: &'static str,
    /// The same where there is little room.
    short: &'static str,
    /// Its class on a page: `number` is aligned right.
    pub class: Option<&'static str>,
    on: &'static [Medium],
    pub cell: for<'r> fn(&'r R, &'r View<'_>) -> ColumnContent<'r>,
}

/// What is in a cell.
pub(super) enum ColumnContent<'r> {
    /// A name that the shop gave.
    Name(&'r str),
    /// Names that the shop gave.
    Names(Vec<String>),
    /// A name and its title.
    Titled(&'r str, &'r str),
    /// A name that the shop gave, and what tells it apart.
    Marked(&'r str, &'static str, Option<&'r str>),
    /// Words or figures of the report.
    Words(String),
    /// A day and its minute.
    Moment(Moment),
    /// Rows of tables, the first of so many.
    Rows(Vec<Span>, Option<usize>),
    Unknown,
}

impl<R> Listing<R> {
    /// The columns that a format shows.
    pub(super) fn on(&self, medium: Medium) -> impl Iterator<Item = &'static Column<R>> {
        let columns = self.columns.iter();
        columns.filter(move |column| column.on.contains(&medium))
    }

    /// Heads and rows as plain text, for a screen.
    pub(super) fn plain<'r>(
        &self,
        rows: impl Iterator<Item = &'r R>,
        view: &View<'_>,
    ) -> (Vec<&'static str>, Vec<Vec<String>>) {
        let columns = || self.on(Medium::Screen);
        let heads = columns().map(|column| column.short);
        let rows = rows.map(|row| {
            let cells = columns().map(|column| (column.cell)(row, view).text("?"));
            cells.collect()
        });
        (heads.collect(), rows.collect())
    }
}

impl ColumnContent<'_> {
    /// As plain text; `unknown` stands for what is unknown.
    pub(super) fn text(&self, unknown: &str) -> String {
        match self {
            ColumnContent::Name(name) => (*name).to_string(),
            ColumnContent::Names(names) => names.join(", "),
            ColumnContent::Titled(name, title) => format!("{name}: {title}"),
            ColumnContent::Marked(name, mark, more) => match more {
                Some(more) => format!("{name}{mark}{more}"),
                None => (*name).to_string(),
            },
            ColumnContent::Words(words) => words.clone(),
            ColumnContent::Moment(moment) => format!("{} {}", moment.day(), moment.clock()),
            ColumnContent::Rows(..) => String::new(),
            ColumnContent::Unknown => unknown.to_string(),
        }
    }

    /// Words, or that they are unknown.
    pub(super) fn known<T: ToString>(known: Option<T>) -> ColumnContent<'static> {
        known.map_or(ColumnContent::Unknown, |known| {
            ColumnContent::Words(known.to_string())
        })
    }
}

/// A column of words.
pub(super) const fn column<R>(
    head: &'static str,
    on: &'static [Medium],
    cell: for<'r> fn(&'r R, &'r View<'_>) -> ColumnContent<'r>,
) -> Column<R> {
    Column {
        head,
        short: head,
        class: None,
        on,
        cell,
    }
}

/// A column of numbers, which are aligned right.
pub(super) const fn number<R>(
    head: &'static str,
    on: &'static [Medium],
    cell: for<'r> fn(&'r R, &'r View<'_>) -> ColumnContent<'r>,
) -> Column<R> {
    column(head, on, cell).class("number")
}

impl<R> Column<R> {
    pub(super) const fn short(self, short: &'static str) -> Column<R> {
        Column { short, ..self }
    }

    pub(super) const fn class(self, class: &'static str) -> Column<R> {
        let class = Some(class);
        Column { class, ..self }
    }
}

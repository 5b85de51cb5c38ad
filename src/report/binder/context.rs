//! The data that each tab of the binder reads.

use super::pages::FindingPages;
use super::retention::KeptRecord;
use super::rows::{RowNames, first_rows, row_markup};
use super::sources::{BinderPhoto, BinderSources, Copied};
use super::tab::Tab;
use crate::finding::Finding;
use crate::pack::Pack;
use crate::quantity::Moment;
use crate::record::{Answer, ShopTables};
use crate::report::columns::{Listing, Medium, TableCell};
use crate::report::html_table::listing;
use crate::report::view::View;
use crate::stock::{Daybook, Stock};
use crate::text::Span;
use crate::trade::ReferenceData;
use maud::Markup;

/// The data of a binder.
pub(super) struct Binder<'a> {
    pub view: &'a View<'a>,
    pub tables: &'a ShopTables,
    pub stock: &'a Stock,
    pub packs: Vec<&'a Pack>,
    pub reference: &'a ReferenceData,
    pub daybook: Option<&'a Daybook>,
    pub records: &'a [KeptRecord],
    pub copies: &'a [Copied],
    pub photos: &'a [BinderPhoto],
    pub rows: RowNames,
    pub pages: FindingPages,
}

impl<'a> Binder<'a> {
    pub(super) fn new(sources: &'a BinderSources<'a>) -> Binder<'a> {
        let shop = sources.audit.shop;
        Binder {
            view: sources.view,
            tables: &shop.tables,
            stock: &sources.audit.stock,
            packs: shop.packs().collect(),
            reference: &shop.reference,
            daybook: sources.daybook,
            records: sources.records,
            copies: sources.copies,
            photos: sources.photos,
            rows: RowNames::new(sources),
            pages: FindingPages::new(
                sources.view,
                sources.view.findings.iter().filter(|f| f.calls()),
            ),
        }
    }

    /// A day and its minute, as the shop writes them.
    pub(super) fn moment(&self, at: Moment) -> TableCell<'a> {
        TableCell::Moment(at, self.view.us)
    }

    /// Findings that call for something, with their numbers from 1.
    pub(super) fn open(&self) -> impl Iterator<Item = (usize, &'a Finding)> {
        let open = self.view.findings.iter().filter(|f| f.calls());
        open.enumerate().map(|(at, finding)| (at + 1, finding))
    }

    /// The printed page of an open finding, by its number: `8-3`.
    pub(super) fn page_of(&self, number: usize) -> String {
        format!("{}-{}", Tab::Open.number(), self.pages.of(number))
    }

    /// Answers given by the close of the day, the earliest first.
    pub(super) fn answers(&self) -> Vec<&'a Answer> {
        let close = self.stock.close;
        let given = self.tables.answers.iter();
        let mut list: Vec<&Answer> = given.filter(|a| a.when < close).collect();
        list.sort_by_key(|answer| answer.when);
        list
    }

    /// A table with the rows of the shop's tables behind each of its rows.
    pub(super) fn table<'c, R: 'c>(
        &self,
        table: &Listing<'c, R>,
        rows: impl IntoIterator<Item = &'c R>,
    ) -> Markup {
        listing(table, Medium::Binder, rows, |places, all| {
            let rows = self.rows.of_each(places.iter().copied());
            first_rows(&rows, all.unwrap_or(rows.len()))
        })
    }

    /// The row of a place as evidence names it.
    pub(super) fn row(&self, place: Span) -> Markup {
        row_markup(&self.rows.of_each([place]), usize::MAX)
    }

    /// The link to the photo of an answer.
    pub(super) fn photo(&self, answer: &Answer) -> Option<&'a str> {
        let id = answer.id.as_ref()?;
        let photo = self.photos.iter().find(|photo| photo.id == *id)?;
        Some(&photo.link)
    }

    /// Whether a name is that of a table which the shop has.
    pub(super) fn has(&self, table: &str) -> bool {
        self.copies.iter().any(|copy| copy.name == table)
    }
}

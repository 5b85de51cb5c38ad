//! The safety data sheets of a shop: which products have none on file, and which files are not there.

use super::Shop;
use crate::files::admit;
use crate::record::{Product, Vessel};
use crate::text::Span;
use std::collections::BTreeSet;
use std::path::Path;

/// A data sheet has at most so many bytes: what is larger is surely something else.
const MOST_BYTES: u64 = 1 << 30;

/// What is known of the data sheets of a shop.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DataSheets {
    /// Products that the shop holds and has no sheet of.
    pub without: Vec<String>,
    /// Products whose sheet cannot be opened: the product, the path, and where products.csv says it.
    pub missing: Vec<(String, String, Span)>,
}

impl Shop {
    /// Looks for the data sheets that products.csv names; `None` if it names none at all.
    pub fn data_sheets(&self, folder: &Path) -> Option<DataSheets> {
        let products = &self.tables.products;
        if products.iter().all(|product| product.sheet.is_none()) {
            return None;
        }
        let is_gone = |path: &str| admit(folder, path, MOST_BYTES).is_err();
        let missing = |product: &Product| {
            let path = product.sheet.clone().filter(|path| is_gone(path))?;
            Some((product.id.clone(), path, product.sheet_at))
        };
        let is_filled = |vessel: Option<Vessel>| !vessel.is_some_and(Vessel::is_cloth);
        let filled = self
            .tables
            .containers
            .iter()
            .filter(|it| is_filled(it.vessel));
        let held: BTreeSet<&str> = filled.map(|it| it.product.as_str()).collect();
        let has_one = |name: &str| {
            self.tables
                .product(name)
                .is_some_and(|it| it.sheet.is_some())
        };
        let without = held.into_iter().filter(|name| !has_one(name));
        Some(DataSheets {
            without: without.map(str::to_string).collect(),
            missing: products.iter().filter_map(missing).collect(),
        })
    }
}

//! The safety data sheets of a shop: whether the files that products.csv names are in its folder.

use crate::files::admit;
use crate::record::Product;
use std::path::Path;

/// A data sheet has at most so many bytes: what is larger is surely something else.
const MOST_BYTES: u64 = 1 << 30;

/// Looks for the file of each data sheet.
pub(super) fn look_for_sheets(folder: &Path, products: &mut [Product]) {
    for product in products {
        let path = product.sheet.as_deref();
        product.sheet_found = path.map(|path| admit(folder, path, MOST_BYTES).is_ok());
    }
}

//! What an audit says of safety data sheets: an unknown sheet is never passed over.

use super::style;
use crate::audit::Shop;
use crate::text::clean;
use std::path::Path;

/// So many names stand in one note.
const MOST_NAMES: usize = 12;

/// Says which products have no data sheet, and which sheets are not there, once products.csv names any.
pub fn tell(shop: &Shop, folder: &Path) {
    let Some(sheets) = shop.data_sheets(folder) else {
        return;
    };
    for (product, path, at) in &sheets.missing {
        let place = shop.files.locate(*at);
        let row = place
            .line
            .map_or(String::new(), |line| format!(", row {line}"));
        style::complain(&format!(
            "note: {}{row} ({}), column \"sheet\": There is no file \"{}\" in the shop folder.\n  Put the data sheet there, or \
             correct its path.",
            place.name,
            clean(product),
            clean(path)
        ));
    }
    let count = sheets.without.len();
    if count == 0 {
        return;
    }
    let names: Vec<String> = sheets
        .without
        .iter()
        .take(MOST_NAMES)
        .map(|name| clean(name))
        .collect();
    let more = count.saturating_sub(MOST_NAMES);
    let more = if more == 0 {
        String::new()
    } else {
        format!("; and {more} more")
    };
    let products = if count == 1 {
        "1 product has"
    } else {
        &format!("{count} products have")
    };
    style::complain(&format!(
        "note: {products} no data sheet on file: {}{more}.\n  Save each sheet in the shop folder and write its path into the \
         column \"sheet\" of products.csv.",
        names.join("; ")
    ));
}

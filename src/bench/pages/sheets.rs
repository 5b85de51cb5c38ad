//! Safety data sheets: an employer keeps them where employees can read them during each shift, 29 CFR 1910.1200(g)(8).

use crate::bench::call::{Call, Reply, url};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use crate::files::admit;
use crate::record::{ContainerId, Vessel};
use crate::text::clean;
use maud::html;
use std::collections::BTreeSet;

/// A data sheet that is shown has at most so many bytes.
const MOST_BYTES: u64 = 64 << 20;
/// What a browser shows; anything else is not sent as a page.
const KINDS: [(&str, &str); 5] = [
    ("pdf", "application/pdf"),
    ("png", "image/png"),
    ("jpg", "image/jpeg"),
    ("jpeg", "image/jpeg"),
    ("txt", "text/plain; charset=utf-8"),
];

/// The list: each product that is here, with its sheet or with what to do.
pub fn list(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let tables = &now.shop.tables;
    let rows = ContainerId::each(&tables.containers);
    let here = rows.filter(|(at, row)| {
        now.stock.present(tables, *at) && !row.vessel.is_some_and(Vessel::is_cloth)
    });
    let products: BTreeSet<&str> = here.map(|(_, row)| row.product.as_str()).collect();
    let sheet = |name: &str| {
        tables
            .product(name)
            .and_then(|product| product.sheet.as_deref())
    };
    let main = html! {
        ul.things {
            @for name in products {
                li {
                    @match sheet(name) {
                        Some(_) => a.act href={ "/sheet?product=" (url(name)) } { bdi { (clean(name)) } },
                        None => p { bdi { (clean(name)) } ": " strong { "No data sheet is on file." }
                            " Save it in the shop folder and write its path into the column \"sheet\" of products.csv." },
                    }
                }
            }
        }
    };
    Ok(Reply::page(page(call, &now, "Data sheets", &main)))
}

/// One sheet, as a file. Its path is the one in products.csv, which never leads out of the shop folder.
pub fn sheet(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let name = call.text("product");
    let product = now.shop.tables.product(name);
    let path = product.and_then(|product| product.sheet.as_deref());
    let path = path.ok_or_else(|| {
        BenchProblem::missing(format!("No data sheet of {} is on file.", clean(name)))
    })?;
    let ending = path
        .rsplit('.')
        .next()
        .unwrap_or_default()
        .to_ascii_lowercase();
    let kind = KINDS.iter().find(|(known, _)| *known == ending);
    let kind = kind.map_or("application/octet-stream", |(_, kind)| *kind);
    let gone = || {
        BenchProblem::missing(format!(
            "The file {} of the data sheet cannot be opened.",
            clean(path)
        ))
    };
    let file = admit(call.bench.folder(), path, MOST_BYTES).map_err(|_| gone())?;
    let bytes = std::fs::read(file).map_err(|_| gone())?;
    Ok(Reply::bytes(kind, bytes))
}

//! The office: tables, papers, and the workbook with its way back. A workbook that was sent is looked at first: every change in it is
//! shown row by row, and all of them are written or none.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use maud::html;

#[cfg(feature = "workbook")]
pub use super::workbook::{download, take, upload};

/// Where the office leads, and what it is called.
const PAGES: [(&str, &str); 6] = [
    ("/stock", "Stock, to sort and filter"),
    ("/entries", "Entries, and corrections"),
    ("/due", "What is due"),
    ("/print/labels", "Print labels"),
    ("/print/binder", "Print the inspector's binder"),
    ("/print", "Other pages to print"),
];

pub fn office(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let written = call.text("written");
    let main = html! {
        @if !written.is_empty() { div.done role="status" { p { strong { (written.parse::<usize>().unwrap_or(0)) " changes of the workbook are written." } } } }
        div.acts { @for (to, words) in PAGES { a.act href=(to) { (words) } } }
        @if cfg!(feature = "workbook") {
            h2 { "Workbook for a spreadsheet" }
            p { "It holds all tables of the shop. Change it in a spreadsheet, save it, and send it back here." }
            div.acts { a.act href="/office/workbook" { "Download the workbook" } }
            @if call.may_manage() {
                form.entry method="post" action="/office/workbook" enctype="multipart/form-data" {
                    label.field { span { "Changed workbook (.xlsx or .ods)" } input type="file" name="file" accept=".xlsx,.ods" required; }
                    button type="submit" { "Show what would change" }
                }
            } @else { p.faint { "Only an owner sends a changed workbook and corrects entries." } }
        }
    };
    Ok(Reply::page(page(call, &now, "Office", &main)))
}

#[cfg(not(feature = "workbook"))]
fn left_out() -> Result<Reply, BenchProblem> {
    Err(BenchProblem::missing(
        "This program was built without workbooks.",
    ))
}

/// Built without workbooks.
#[cfg(not(feature = "workbook"))]
pub fn download(_: &Call) -> Result<Reply, BenchProblem> {
    left_out()
}

/// Built without workbooks.
#[cfg(not(feature = "workbook"))]
pub fn upload(_: &Call) -> Result<Reply, BenchProblem> {
    left_out()
}

/// Built without workbooks.
#[cfg(not(feature = "workbook"))]
pub fn take(_: &Call) -> Result<Reply, BenchProblem> {
    left_out()
}

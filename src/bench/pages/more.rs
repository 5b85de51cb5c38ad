//! All other pages.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::problem::BenchProblem;
use maud::html;

const PAGES: [(&str, &str); 10] = [
    ("/containers", "Containers"),
    ("/round", "Round"),
    ("/mix", "Mix"),
    ("/plan", "Plan a session"),
    ("/stock", "Stock"),
    ("/due", "What is due"),
    ("/entries", "Entries"),
    ("/emergency", "Emergency card"),
    ("/sheets", "Data sheets"),
    ("/wall", "Wall screen"),
];

pub fn more(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let main = html! {
        div.acts {
            @for (to, words) in PAGES { a.act href=(to) { (words) } }
            @if call.may_log() { a.act href="/office" { "Office" } } @else { a.act href="/print" { "Print" } }
            @if call.may_manage() && call.bench.pairing().is_some() { a.act href="/devices" { "Devices" } }
        }
        p.faint { "A page that is open stays usable without the shop's computer, and entries wait on this device. A page that is "
            "opened anew needs the computer." }
    };
    Ok(Reply::page(page(call, &now, "More", &main)))
}

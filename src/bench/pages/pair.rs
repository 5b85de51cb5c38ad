//! Pairing a device: the page behind the code, and the button that spends it.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::bare;
use crate::bench::pairing::Wish;
use crate::bench::problem::BenchProblem;
use crate::text::clean;
use maud::html;

/// Is the server there? Nothing of the shop is in the answer.
pub fn alive(_: &Call) -> Result<Reply, BenchProblem> {
    Ok(Reply::lines("alive\n".to_string()))
}

/// The form. Looking at it spends nothing: messengers look at links before people do.
pub fn form(call: &Call) -> Result<Reply, BenchProblem> {
    if call.bench.pairing().is_none() {
        return Ok(Reply::see("/"));
    }
    let main = html! {
        p { "Pair this device with the shop. The code is on the screen of the shop's computer." }
        form.entry method="post" action="/pair" {
            label.field { span { "Code" } input name="code" value=(clean(call.text("c"))) autocomplete="off" autocapitalize="characters" required; }
            label.field { span { "Name of this device, such as wall tablet" } input name="name" autocomplete="off" maxlength="60" required; }
            label.field { span { "Who uses it, as the log should name them" } input name="person" autocomplete="off" maxlength="60"; }
            button type="submit" { "Pair this device" }
        }
        @if !call.bench.encrypted {
            p.open { "This connection is not encrypted. Others on the network can read the code." }
        }
    };
    Ok(Reply::page(bare("Pair this device", &main)))
}

/// Spends the code.
pub fn pair(call: &Call) -> Result<Reply, BenchProblem> {
    let Some(pairing) = call.bench.pairing() else {
        return Ok(Reply::see("/"));
    };
    let wish = Wish {
        code: call.text("code"),
        name: call.text("name"),
        person: call.text("person"),
    };
    let (cookie, _) = pairing.pair(&wish, call.bench.clock().now())?;
    Ok(Reply {
        cookie: Some(cookie),
        ..Reply::see("/")
    })
}

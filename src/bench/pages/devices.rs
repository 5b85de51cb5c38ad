//! Paired devices: who may come in, a new code, and an end to any of them.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::page;
use crate::bench::pairing::Pairing;
use crate::bench::problem::BenchProblem;
use crate::bench::role::Role;
use crate::bench::when::shown_moment;
use crate::report::code_svg;
use crate::text::clean;
use maud::{Markup, PreEscaped, html};

const ROLES: [(Role, &str); 3] = [
    (Role::Maker, "A maker: look and log"),
    (Role::Guest, "A guest for today: look only"),
    (Role::Owner, "An owner: also pair and remove devices"),
];

pub fn list(call: &Call) -> Result<Reply, BenchProblem> {
    shown(call, &html! {})
}

fn pairing(call: &Call) -> Result<&Pairing, BenchProblem> {
    call.bench.pairing().ok_or_else(|| {
        BenchProblem::unfit(
            "This server is for this computer only, so no device is paired.",
            "Stop it and start it with --lan.",
        )
    })
}

fn shown(call: &Call, code: &Markup) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let devices = pairing(call)?.devices()?;
    let today = now.at.day();
    let main = html! {
        (code)
        ul.things {
            @for (at, device) in devices.iter().enumerate() {
                li {
                    p { strong { bdi { (clean(&device.name)) } } ", " (device.role.word())
                        @if !device.person.is_empty() { ", " bdi { (clean(&device.person)) } }
                        ", paired " (shown_moment(device.paired, today, now.us()))
                        @if let Some(until) = device.until { ", until " (shown_moment(until, today, now.us())) }
                    }
                    form method="post" action="/devices/end" {
                        input type="hidden" name="number" value=(at + 1);
                        input type="hidden" name="hash" value=(device.hash);
                        button.quiet type="submit" { span { "Remove " bdi { (clean(&device.name)) } } }
                    }
                }
            }
        }
        h2 { "Pair another device" }
        form.entry method="post" action="/devices/code" {
            fieldset { legend { "As" }
                @for (role, words) in ROLES {
                    label { input type="radio" name="role" value=(role.word()) checked[role == Role::Maker]; span { (words) } }
                }
            }
            button type="submit" { "Show a code" }
        }
        @if call.bench.encrypted {
            p.faint { "A device warns about the certificate of this server once. To be rid of the warning, open "
                a href="/certificate.pem" { "/certificate.pem" } " on the device and install it as a certificate authority. It vouches only for "
                "addresses of private networks." }
        }
    };
    Ok(Reply::page(page(call, &now, "Devices", &main)))
}

/// A new code, with its picture.
pub fn code(call: &Call) -> Result<Reply, BenchProblem> {
    let role = Role::parse(call.text("role")).unwrap_or(Role::Guest);
    let code = pairing(call)?.new_code(role);
    let code = code.ok_or_else(|| BenchProblem::fault("This computer gives no random numbers."))?;
    let base = call.bench.address();
    let link = format!("{base}pair?c={code}");
    let picture = code_svg(&link);
    let words = html! {
        section.card {
            p { "Open " strong { (base) "pair" } " on the new device, or scan the picture with its camera. It pairs a device as "
                (role.word()) ", once, within ten minutes." }
            p.question { (code) }
            @if let Some(picture) = picture { div.picture role="img" aria-label="The address with the code, for a camera" { (PreEscaped(picture)) } }
        }
    };
    shown(call, &words)
}

/// Ends a device at once.
pub fn end(call: &Call) -> Result<Reply, BenchProblem> {
    let number = call.text("number").parse::<usize>().unwrap_or(0);
    pairing(call)?.remove(number, call.text("hash"))?;
    Ok(Reply::see("/devices"))
}

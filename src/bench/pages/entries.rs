//! The last entries of the log, and corrections of them: each is an entry of its own, so that nothing is ever written over.

use crate::bench::call::{Call, Reply};
use crate::bench::frame::{entry_link, line_words, page, undo};
use crate::bench::problem::BenchProblem;
use crate::bench::state::LogLine;
use crate::record::What;
use crate::text::clean;
use maud::{Markup, html};

/// What a correction can fill in; what stays empty is right as it is.
const FIELDS: [(&str, &str); 4] = [
    ("amount", "The right amount"),
    ("container", "The right container"),
    ("place", "The right place"),
    ("minutes", "The right minutes"),
];

/// The page.
pub fn entries(call: &Call) -> Result<Reply, BenchProblem> {
    let now = call.bench.now()?;
    let main = html! {
        @if now.recent.is_empty() { p { "Nothing is logged yet." } }
        ul.things {
            @for line in now.recent.iter().rev() {
                li {
                    p { (clean(&line.entry)) ": " (line_words(line, &now)) @if line.is_corrected { " (corrected or taken back)" } }
                    @if !line.cell("note").is_empty() { p.faint { (clean(line.cell("note"))) } }
                    (undo(call, &now, line))
                    @if call.may_log() && !line.is_corrected && line.cell("what") != "correct" { (correction(line)) }
                }
            }
        }
        p.faint { "Older entries: " code { "sandarac stock SHOP --why CONTAINER" } " on the computer." }
    };
    Ok(Reply::page(page(call, &now, "Last entries", &main)))
}

fn correction(line: &LogLine) -> Markup {
    html! {
        details.more {
            summary { "Correct entry " (clean(&line.entry)) }
            form.entry method="get" action="/entry" {
                input type="hidden" name="what" value=(What::Correct.word());
                input type="hidden" name="into" value=(line.entry);
                input type="hidden" name="back" value="/entries";
                @for (field, words) in FIELDS {
                    label.field { span { (words) } input name=(field) placeholder=(line.cell(field)) autocomplete="off"; }
                }
                button type="submit" { "Next" }
            }
            div.acts {
                (entry_link(What::Correct, &[("into", &line.entry), ("result", "void")], "/entries", &html! { "It never happened" }))
            }
        }
    }
}

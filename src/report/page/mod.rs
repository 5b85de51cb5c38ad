//! The page: the audit as one HTML file that needs no network and no script. `maud` escapes whatever comes from a file;
//! a policy in the head forbids the browser to run or to fetch anything at all.

mod air;
mod bar;
mod closing;
mod due;
mod findings;
mod first;
mod kept;
mod plan;
mod plan_marks;
mod stock;
mod year;

use super::format::Format;
use super::html::{Head, SIGNS, cautions, counts, document, footer, in_lines, name};
use super::urgent::SCREENING;
use super::view::View;
use crate::text::clean;
use maud::{Markup, html};
use std::io::{self, Write};

/// The page's own style, in the page itself.
const STYLE: &str = include_str!("style.css");

/// A part of the page: where it begins, its heading, and what stands under it.
type PagePart = (&'static str, &'static str, fn(&View<'_>) -> Markup);

const PARTS: [PagePart; 10] = [
    ("first", "Do this first", first::first),
    ("due", "What falls due", due::due),
    ("findings", "Findings", findings::findings),
    ("plan", "The rooms from above", plan::plans),
    ("stock", "Stock", stock::stock),
    ("keeping", "Keeping times", kept::keeping),
    ("air", "Air of the month", air::air),
    ("year", "Use and stock over twelve months", year::years),
    ("cautions", "Cautions", cautions),
    ("rules", "Rules, packs and editions", closing::rules),
];

/// `DAY-audit.html`.
pub struct Page;

impl Format for Page {
    fn extension(&self) -> &'static str {
        "html"
    }

    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> io::Result<()> {
        const END: &str = "</main>";
        let frame = in_lines(&frame(view));
        let (before, after) = frame.split_once(END).unwrap_or((&frame, ""));
        out.write_all(before.as_bytes())?;
        for (id, title, inner) in PARTS {
            let part = html! {
                section id=(id) aria-labelledby={ (id) "-title" } {
                    h2 id={ (id) "-title" } { (title) }
                    (inner(view))
                }
            };
            out.write_all(in_lines(&part).as_bytes())?;
        }
        out.write_all(END.as_bytes())?;
        out.write_all(after.as_bytes())
    }
}

/// The page without its parts.
fn frame(view: &View<'_>) -> Markup {
    let body = html! {
        a.skip href="#first" { "Skip to what to do first" }
        (SIGNS)
        (head(view))
        main id="main" {}
        (footer(view))
    };
    let head = Head {
        title: &format!("{}, {}: finishing room audit", view.shop, view.on),
        style: &[STYLE, &top_of_pages(view)],
        scheme: "light dark",
        mark: "",
    };
    document(&head, &body)
}

fn head(view: &View<'_>) -> Markup {
    html! {
        header {
            p.kicker { "Finishing room audit" }
            h1 { (name(&view.shop)) }
            p.day { "at the close of " time datetime=(view.on) { (view.on) } }
            p.screening { strong { (SCREENING) } }
            (counts(view))
            @if let Some(authority) = &view.authority {
                p { "Authority asked: " (name(authority)) }
            }
        }
        nav aria-label="Parts of this page" {
            ul {
                @for (id, title, _) in PARTS {
                    li { a href={ "#" (id) } { (title) } }
                }
            }
        }
    }
}

/// A loose sheet says of which shop and day it is.
fn top_of_pages(view: &View<'_>) -> String {
    format!(
        "@media print{{@page{{@top-left{{content:\"{}\";font:8pt sans-serif}}@top-right{{content:\"{}\";font:8pt sans-serif}}}}}}",
        css_text(&view.shop),
        view.on
    )
}

/// Words inside a string of a style sheet: whatever is no letter, figure or space is written by its number, so that nothing
/// ends the string or the style.
fn css_text(text: &str) -> String {
    let written = |c: char| match c.is_alphanumeric() || c == ' ' {
        true => c.to_string(),
        false => format!("\\{:x} ", u32::from(c)),
    };
    clean(text).chars().map(written).collect()
}

#[cfg(test)]
mod tests {
    use super::css_text;

    #[test]
    fn nothing_ends_the_string_or_the_style() {
        assert_eq!(
            css_text("A \"b\"</style>\\é漆"),
            "A \\22 b\\22 \\3c \\2f style\\3e \\5c é漆"
        );
    }
}

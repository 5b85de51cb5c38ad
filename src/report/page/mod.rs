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
mod words;
mod year;

use super::view::View;
pub(super) use findings::how_seen;
pub(super) use first::counts;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::fmt::Write;
pub(super) use words::{many, name, prose, said, sign, signs, verdict, wide};

/// The page's own style, in the page itself.
const STYLE: &str = include_str!("style.css");
/// Nothing runs, nothing is fetched; the style is the page's own.
pub(super) const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";
/// What every page says at its head.
pub(super) const SCREENING: &str = "A screening aid, not a certificate. The authority having jurisdiction, the data sheet of each product \
                         and a licensed practitioner come first. Nothing here shows a pile of oily rags or a room to be safe.";

/// The parts of the page: where each begins, and its heading.
const PARTS: [(&str, &str); 10] = [
    ("first", "Do this first"),
    ("due", "What falls due"),
    ("findings", "Findings"),
    ("plan", "The rooms from above"),
    ("stock", "Stock"),
    ("keeping", "Keeping times"),
    ("air", "Air of the month"),
    ("year", "Use and stock over twelve months"),
    ("cautions", "Cautions"),
    ("rules", "Rules, packs and editions"),
];

/// The audit as one HTML file.
pub fn page(view: &View<'_>) -> String {
    let title = format!("{}, {}: finishing room audit", view.shop, view.on);
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="referrer" content="no-referrer";
                title { (crate::text::clean(&title)) }
                style { (PreEscaped(STYLE)) (PreEscaped(top_of_pages(view))) }
            }
            body {
                a.skip href="#first" { "Skip to what to do first" }
                (signs())
                (head(view))
                main id="main" {
                    (first::first(view))
                    (due::due(view))
                    (findings::findings(view))
                    (plan::plans(view))
                    (stock::stock(view))
                    (kept::keeping(view))
                    (air::air(view))
                    (year::years(view))
                    (closing::cautions(view))
                    (closing::rules(view))
                }
                footer {
                    p { (SCREENING) }
                    p { "Made by sandarac from the files of this shop as they stood, for the close of " (view.on) "." }
                }
            }
        }
    };
    in_lines(&markup.into_string())
}

/// A line for each row, paragraph and item, where a break shows as nothing: so that two pages can be compared by line.
pub(super) fn in_lines(markup: &str) -> String {
    const ENDS: [&str; 7] = [
        "</tr>",
        "</p>",
        "</li>",
        "</h2>",
        "</h3>",
        "</h4>",
        "</figure>",
    ];
    let mut text = String::with_capacity(markup.len() + markup.len() / 64);
    for part in markup.split_inclusive('>') {
        text.push_str(part);
        if ENDS.iter().any(|end| part.ends_with(end)) {
            text.push('\n');
        }
    }
    text
}

fn head(view: &View<'_>) -> Markup {
    html! {
        header {
            p.kicker { "Finishing room audit" }
            h1 { (name(&view.shop)) }
            p.day { "at the close of " time datetime=(view.on) { (view.on) } }
            p.screening { strong { (SCREENING) } }
            (first::counts(view))
            @if let Some(authority) = &view.authority {
                p { "Authority asked: " (name(authority)) }
            }
        }
        nav aria-label="Parts of this page" {
            ul {
                @for (id, title) in PARTS {
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
    let mut out = String::with_capacity(text.len());
    for c in crate::text::clean(text).chars() {
        if c.is_alphanumeric() || c == ' ' {
            out.push(c);
        } else {
            let _ = write!(out, "\\{:x} ", u32::from(c));
        }
    }
    out
}

/// A part of the page under its heading.
fn part(id: &str, inner: Markup) -> Markup {
    let title = PARTS.iter().find(|(part, _)| *part == id);
    let title = title.map_or("", |(_, title)| title);
    html! {
        section id=(id) aria-labelledby={ (id) "-title" } {
            h2 id={ (id) "-title" } { (title) }
            (inner)
        }
    }
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

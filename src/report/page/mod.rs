//! The page: the audit as one HTML file that needs no network and no script. It begins with one sheet, which is all that is
//! printed unless the whole page is asked for; everything else is folded by topic. `maud` escapes whatever comes from a file,
//! and a policy in the head forbids the browser to run or to fetch anything.

mod air;
mod data_sheets;
mod filter;
mod findings;
mod first;
mod kept;
mod limits;
mod lists;
mod plan;
mod plan_names;
mod plan_shapes;
mod plan_sheet;
mod shops;
mod stock;
mod year;

use super::columns::Medium;
use super::format::Format;
use super::html::{HtmlHead, cautions, document, fold, in_lines, name, prose};
use super::html_table::listing;
use super::listings;
use super::month;
use super::view::View;
use super::words::date;
use crate::text::{clean, counted};
use filter::Filter;
use lists::DoLists;
use maud::{Markup, html};
use plan_sheet::PlanWidth;
use std::collections::HashMap;
use std::io::{self, Write};

pub use shops::{SHOPS_MARK, shops_page};

/// The page's own style, in the page itself.
const STYLE: &str = include_str!("style.css");
/// Most changes of each kind since the earlier audit.
const CHANGES: usize = 20;

/// `DAY-audit.html`.
pub struct Page;

impl Format for Page {
    fn extension(&self) -> &'static str {
        "html"
    }

    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> io::Result<()> {
        out.write_all(in_lines(&page(view)).as_bytes())
    }
}

fn page(view: &View<'_>) -> Markup {
    let lists = lists::lists(view);
    let filter = Filter::new(&lists);
    let body = html! {
        a.skip href="#list" { "Skip to what to do" }
        header.top {
            h1 { (name(&view.shop)) }
            p { "Finishing room at the end of " time datetime=(view.on) { (date(view.on)) } }
        }
        main.full[view.full] {
            div.sheet { (first::sheet(view, &lists, &filter)) }
            div.rest { (rest(view, &lists, &filter)) }
        }
        footer { p { "Made by sandarac from the files of this shop, for the end of " (date(view.on)) "." } }
    };
    let head = HtmlHead {
        title: &format!("{}, {}: finishing room audit", view.shop, date(view.on)),
        style: &[
            STYLE,
            &filter.style(),
            &stock::style(view),
            &top_of_pages(view),
        ],
        scheme: "light dark",
        mark: "",
    };
    document(&head, &body)
}

/// The numbers of the list at each place, as the floor plan shows them.
pub(super) fn numbers_by_place(view: &View<'_>) -> HashMap<String, Vec<usize>> {
    let lists = lists::lists(view);
    let marks = view.floors.iter().flat_map(|floor| &floor.marks);
    let named = marks.map(|mark| (mark.id.clone(), lists.numbers(&mark.findings)));
    named.filter(|(_, numbers)| !numbers.is_empty()).collect()
}

/// The floor plan of each room, and what its numbers stand for; nothing where no position is known.
pub(super) fn plans_on_paper(view: &View<'_>) -> Option<Markup> {
    let lists = lists::lists(view);
    let rooms = plan::rooms(view, &lists);
    if rooms.is_empty() {
        return None;
    }
    Some(html! {
        @for floor in &rooms { h3 { (name(&floor.room)) } (plan::drawn(view, floor, &lists, PlanWidth::Wide)) }
        (plan::undrawn(view))
        ol.numbers {
            @for line in lists.iter().flat_map(|list| &list.lines) {
                li value=(line.number) { (prose(&line.action)) }
            }
        }
    })
}

/// Everything behind the first sheet, folded by topic.
fn rest(view: &View<'_>, lists: &DoLists, filter: &Filter) -> Markup {
    let rooms = plan::rooms(view, lists);
    let others = rooms.get(1..).unwrap_or(&[]);
    let full = view.full;
    let sessions = view.air.sessions.list.len();
    html! {
        h2 { "Findings" }
        (findings::findings(view, filter))
        h2 { "Records" }
        @if !others.is_empty() {
            (fold(full, "rooms", "Floor plans of other rooms", &counted(others.len(), "room"), &html! {
                @for floor in others { h3 { (name(&floor.room)) } (plan::plan(view, floor, lists)) }
                (plan::undrawn(view))
            }))
        }
        (fold(full, "due", "What is due", "the next three months", &due(view)))
        (fold(full, "stock", "Stock", &counted(view.stock.len(), "container"), &stock::stock(view)))
        @if !view.sheets.is_empty() {
            (fold(full, "data-sheets", "Data sheets", &counted(view.sheets.len(), "file"), &data_sheets::data_sheets(view)))
        }
        (fold(full, "keeping", "Shelf life", &counted(view.kept.len(), "container"), &kept::keeping(view)))
        (fold(full, "air", "Air of the month", &counted(sessions, "session"), &air::air(view)))
        (fold(full, "year", "Use and stock over the year", &counted(view.years.len(), "product"), &year::years(view)))
        @for told in month::parts(view, CHANGES) {
            (fold(full, "", &told.title, &counted(told.lines.len(), "line"), &html! {
                ul { @for line in &told.lines { li { (prose(line)) } } }
            }))
        }
        (fold(full, "cautions", "Cautions", &counted(view.cautions.len(), "caution"), &cautions(view)))
        (fold(full, "sources", "Sources", "documents that open findings rest on", &findings::sources(view)))
        @if let Some(authority) = &view.authority { p.faint { "Local authority: " (name(authority)) } }
    }
}

/// What is due soon, and how much more there is.
fn due(view: &View<'_>) -> Markup {
    let soon = view.due_soon();
    let more = view.dues.len() - soon.len();
    html! {
        (listing(&listings::dues(view), Medium::Page, soon, |_, _| html! {}))
        @if more > 0 { p.faint { "Later: " (more) " more, in the calendar file due.ics." } }
    }
}

/// Each printed page names its shop and day.
fn top_of_pages(view: &View<'_>) -> String {
    format!(
        "@media print{{@page{{@bottom-left{{content:\"{}, {}: a screening aid, not a certificate\";font:7pt sans-serif}}}}}}",
        css_text(&view.shop),
        date(view.on)
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

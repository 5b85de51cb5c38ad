//! The inspector's binder: the audit and the record behind it as one page to print, tab by tab. Like the page it runs
//! nothing and asks for nothing; unlike it, it is made to be turned on paper: each tab begins on a new sheet, pages are
//! numbered within their tab, and every line says its day and the row it rests on.

mod actions;
mod air;
mod checks;
mod context;
mod cover;
mod entries;
mod exits;
mod found;
mod inventory;
mod open;
mod pages;
mod parts;
mod rags;
mod records;
mod retention;
mod rows;
mod rules;
mod sheets;
mod sources;
mod tab;
mod waste;

use super::html::{
    HtmlHead, POLICY, POLICY_WITH_PHOTOS, cautions, document_under, footer, in_lines,
};
use super::words::date;
use crate::quantity::Day;
use context::Binder;
use maud::{Markup, html};
use tab::Tab;

pub use entries::read_daybook;
pub use retention::{KeptRecord, read_records};
pub use sources::{BinderPhoto, BinderSources, Copied};

/// The binder's own style, in the page itself.
const STYLE: &str = include_str!("binder.css");

/// By this a binder is known as one, so that no other folder is ever written over.
pub const BINDER_MARK: &str = "<meta name=\"sandarac-binder\" content=\"1\">";

/// What is behind the tabs.
const CAUTIONS: &str = "Cautions";

/// A tab's part of the page, and the day of the latest record in it.
fn part(tab: Tab, binder: &Binder<'_>) -> (Option<Day>, Markup) {
    match tab {
        Tab::Inventory => inventory::tab(binder),
        Tab::Rags => rags::tab(binder),
        Tab::Exits => exits::tab(binder),
        Tab::Air => air::tab(binder),
        Tab::Waste => waste::tab(binder),
        Tab::Sheets => sheets::tab(binder),
        Tab::Actions => actions::tab(binder),
        Tab::Open => open::tab(binder),
        Tab::Records => records::tab(binder),
        Tab::Rules => rules::tab(binder),
    }
}

/// The binder as one HTML file.
pub fn binder_page(sources: &BinderSources<'_>) -> String {
    let binder = Binder::new(sources);
    let parts = Tab::ALL.map(|tab| (tab, part(tab, &binder)));
    let view = sources.view;
    let body = html! {
        a.skip href="#index" { "Skip to the index" }
        (cover::cover(&binder, &parts.each_ref().map(|(tab, (latest, _))| (*tab, *latest))))
        main {
            @for (tab, (_, part)) in &parts {
                (section(&tab.number().to_string(), tab.title(), part))
            }
            (section("C", CAUTIONS, &cautions(view)))
        }
        (footer(view))
    };
    let head = HtmlHead {
        title: &format!("{}, {}: inspector's binder", view.shop, date(view.on)),
        style: &[STYLE, &page_names(view.on, binder.pages.count())],
        scheme: "only light",
        mark: BINDER_MARK,
    };
    let policy = match sources.photos.is_empty() {
        true => POLICY,
        false => POLICY_WITH_PHOTOS,
    };
    in_lines(&document_under(policy, &head, &body))
}

/// A tab of the page.
fn section(number: &str, title: &str, inner: &Markup) -> Markup {
    let (id, heading) = (format!("tab-{number}"), format!("tab-{number}-title"));
    html! {
        section.tab id=(id) aria-labelledby=(heading) {
            h2 id=(heading) { span.tab-number { (number) } " " (title) }
            (inner)
            p.back { a href="#index" { "Back to the index" span.unseen { " from tab " (number) } } }
        }
    }
}

/// A named page for each tab, numbered by a counter of its own: `3-1`, `3-2`. Nothing of a shop's words goes into it.
fn page_names(on: Day, of_findings: usize) -> String {
    let mut css = format!(
        "@media print{{@page{{@top-right{{content:\"{}\"}}}}",
        date(on)
    );
    let tabs = Tab::ALL.map(|tab| (tab.number().to_string(), tab.title()));
    let tabs = tabs.into_iter();
    for (number, title) in tabs.chain([("C".to_string(), CAUTIONS)]) {
        let name = format!("tab{}", number.to_lowercase());
        css.push_str(&format!(
            "@page {name}{{counter-increment:{name};@top-left{{content:\"{number}  {title}\"}}\
             @bottom-right{{content:\"{number}-\" counter({name})}}}}#tab-{number}{{page:{name}}}"
        ));
    }
    // The findings are dealt out to pages, so that references can name them.
    let (open, title) = (Tab::Open.number(), Tab::Open.title());
    for page in 1..=of_findings {
        css.push_str(&format!(
            "@page open{page}{{@top-left{{content:\"{open}  {title}\"}}@bottom-right{{content:\"{open}-{page}\"}}}}\
             #page-{open}-{page}{{page:open{page}}}"
        ));
    }
    if of_findings > 0 {
        css.push_str(&format!("#tab-{open}{{page:open1}}"));
    }
    // What stands before the tabs has its own count, and what stands behind them goes with the last.
    css.push_str(
        "@page front{counter-increment:front;@bottom-right{content:counter(front,lower-roman)}}\
         .cover,.index{page:front}footer{page:tabc}}",
    );
    css
}

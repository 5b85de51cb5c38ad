//! The inspector's binder: the audit and the record behind it as one page to print, tab by tab. Like the page it runs
//! nothing and asks for nothing; unlike it, it is made to be turned on paper: each tab begins on a new sheet, sheets are
//! numbered within their tab, and every line says its day and the row it rests on.

mod actions;
mod air;
mod checks;
mod cover;
mod entries;
mod exits;
mod found;
mod inventory;
mod open;
mod parts;
mod rags;
mod records;
mod retention;
mod rows;
mod rules;
mod sheets;
mod waste;

use super::page::{POLICY, SCREENING, in_lines, signs};
use super::view::View;
use crate::finding::Finding;
use crate::pack::Pack;
use crate::quantity::Day;
use crate::record::{Answer, ShopTables};
use crate::stock::{Daybook, Stock};
use crate::text::{Files, Span, clean};
use crate::trade::ReferenceData;
use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use entries::read_daybook;
pub use retention::{KeptRecord, read_records};

use rows::Rows;

/// The binder's own style, in the page itself.
const STYLE: &str = include_str!("binder.css");

/// By this a binder is known as one, so that no other folder is ever written over.
pub const BINDER_MARK: &str = "<meta name=\"sandarac-binder\" content=\"1\">";

/// A table in the binder, copied as it was read.
pub struct Copied {
    /// Its name, as evidence names it.
    pub name: String,
    /// Its length.
    pub bytes: u64,
}

/// All that the binder is made of.
pub struct BinderSources<'a> {
    /// The audit.
    pub view: &'a View<'a>,
    /// The tables.
    pub tables: &'a ShopTables,
    /// The stock.
    pub stock: &'a Stock,
    /// The files, for the lines of rows.
    pub files: &'a Files,
    /// The packs in use.
    pub packs: &'a [&'a Pack],
    /// The questions of the walk-round.
    pub reference: &'a ReferenceData,
    /// The entries of the last twelve months; none where the shop has no log.
    pub daybook: Option<&'a Daybook>,
    /// Which records are kept, and for how long.
    pub records: &'a [KeptRecord],
    /// The tables in the binder.
    pub copies: &'a [Copied],
}

/// A tab: its title and the topics whose findings it holds.
struct Tab {
    title: &'static str,
    topics: &'static [&'static str],
    /// Its part of the page, and the day of the latest record in it.
    part: fn(&Binder<'_>) -> (Option<Day>, Markup),
}

/// The tabs, in order; their numbers count from 1.
const TABS: [Tab; 10] = [
    Tab {
        title: "Inventory against each limit",
        topics: &["storage", "containers", "keeping", "permits"],
        part: inventory::tab,
    },
    Tab {
        title: "Oily rags",
        topics: &["rags"],
        part: rags::tab,
    },
    Tab {
        title: "Extinguishers, exits, eyewash, ignition",
        topics: &["extinguishers", "first-aid", "ignition", "housekeeping"],
        part: exits::tab,
    },
    Tab {
        title: "Fans and air",
        topics: &["air"],
        part: air::tab,
    },
    Tab {
        title: "Waste",
        topics: &["waste"],
        part: waste::tab,
    },
    Tab {
        title: "Labels and data sheets",
        topics: &["labels"],
        part: sheets::tab,
    },
    Tab {
        title: "Corrective actions",
        topics: &[],
        part: actions::tab,
    },
    Tab {
        title: "Everything open",
        topics: &[],
        part: open::tab,
    },
    Tab {
        title: "Records and who keeps them",
        topics: &["records"],
        part: records::tab,
    },
    Tab {
        title: "Rules, packs and editions",
        topics: &[],
        part: rules::tab,
    },
];

/// What stands behind the tabs.
const CAUTIONS: &str = "Cautions";

/// The binder as its parts see it.
struct Binder<'a> {
    view: &'a View<'a>,
    tables: &'a ShopTables,
    stock: &'a Stock,
    packs: &'a [&'a Pack],
    reference: &'a ReferenceData,
    daybook: Option<&'a Daybook>,
    records: &'a [KeptRecord],
    copies: &'a [Copied],
    rows: Rows,
}

impl<'a> Binder<'a> {
    /// Findings that call for something, with their numbers from 1.
    fn open(&self) -> impl Iterator<Item = (usize, &'a Finding)> {
        let open = self.view.findings.iter().filter(|f| f.calls());
        open.enumerate().map(|(at, finding)| (at + 1, finding))
    }

    /// Answers given by the close of the day, the earliest first.
    fn answers(&self) -> Vec<&'a Answer> {
        let close = self.stock.close;
        let given = self.tables.answers.iter().filter(|a| a.when < close);
        let mut list: Vec<&Answer> = given.collect();
        list.sort_by_key(|answer| answer.when);
        list
    }

    /// The row of a place as evidence names it.
    fn row(&self, place: Span) -> Markup {
        rows::shown(&self.rows.of_each([place]), usize::MAX)
    }

    /// Whether a name is that of a table which the shop has.
    fn has(&self, table: &str) -> bool {
        self.copies.iter().any(|copy| copy.name == table)
    }
}

/// The binder as one HTML file.
pub fn binder_page(sources: &BinderSources<'_>) -> String {
    let binder = Binder {
        view: sources.view,
        tables: sources.tables,
        stock: sources.stock,
        packs: sources.packs,
        reference: sources.reference,
        daybook: sources.daybook,
        records: sources.records,
        copies: sources.copies,
        rows: Rows::of(sources),
    };
    let view = sources.view;
    let parts: Vec<(Option<Day>, Markup)> = TABS.iter().map(|tab| (tab.part)(&binder)).collect();
    let latest: Vec<Option<Day>> = parts.iter().map(|(day, _)| *day).collect();
    let title = format!("{}, {}: inspector's binder", view.shop, view.on);
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                (PreEscaped(BINDER_MARK))
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="only light";
                meta name="referrer" content="no-referrer";
                title { (clean(&title)) }
                style { (PreEscaped(STYLE)) (PreEscaped(pages(view.on))) }
            }
            body {
                a.skip href="#index" { "Skip to the index" }
                (signs())
                (cover::cover(&binder, &latest))
                main {
                    @for (at, (tab, (_, part))) in TABS.iter().zip(&parts).enumerate() {
                        (section(&(at + 1).to_string(), tab.title, part))
                    }
                    (section("C", CAUTIONS, &cautions(view)))
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
fn pages(on: Day) -> String {
    let mut css = format!("@media print{{@page{{@top-right{{content:\"{on}\"}}}}");
    let tabs = TABS.iter().enumerate();
    let tabs = tabs.map(|(at, tab)| ((at + 1).to_string(), tab.title));
    for (number, title) in tabs.chain([("C".to_string(), CAUTIONS)]) {
        let name = format!("tab{}", number.to_lowercase());
        css.push_str(&format!(
            "@page {name}{{counter-increment:{name};@top-left{{content:\"{number}  {title}\"}}\
             @bottom-right{{content:\"{number}-\" counter({name})}}}}#tab-{number}{{page:{name}}}"
        ));
    }
    // What stands before the tabs has its own count, and what stands behind them goes with the last.
    css.push_str(
        "@page front{counter-increment:front;@bottom-right{content:counter(front,lower-roman)}}\
         .cover,.index{page:front}footer{page:tabc}}",
    );
    css
}

fn cautions(view: &View<'_>) -> Markup {
    html! {
        dl.cautions {
            @for caution in &view.cautions {
                div {
                    dt { (parts::prose(&caution.title)) }
                    dd { (parts::prose(&caution.text)) " " span.faint { "Source: " (parts::prose(&caution.source)) } }
                }
            }
        }
    }
}

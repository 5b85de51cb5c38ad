//! Several shops on one page: the most dangerous first, each with the counts of its own reports.

use super::STYLE;
use crate::finding::Verdict;
use crate::report::html::{HtmlHead, document, in_lines, name, prose, table_of};
use crate::report::many::{ManyView, ShopLine};
use crate::report::statements::SCREENING;
use crate::text::clean;
use maud::{Markup, html};

/// In the head of the page: by this the program knows it again.
pub const SHOPS_MARK: &str = "<meta name=\"sandarac-shops\" content=\"1\">";

const COUNTS: [(&str, Verdict); 4] = [
    ("Over the limit", Verdict::Breach),
    ("Unknown", Verdict::CannotJudge),
    ("Close or due", Verdict::Near),
    ("Within the limit", Verdict::Meets),
];

/// The page of all shops of one run.
pub fn shops_page(view: &ManyView) -> String {
    let title = format!(
        "{} shops, {}: finishing room audits",
        view.shops.len() + view.unread.len(),
        view.shown_day()
    );
    let body = html! {
        header.top { h1 { "Finishing rooms" } p { "At the end of " (view.shown_day()) } }
        main {
            @if let Some(worst) = view.shops.first() {
                div.alarm.calm[worst.now == 0] {
                    p.headline { (name(&worst.shop)) ": " (prose(&worst.headline)) }
                    @if let Some(first) = &worst.first { p { (prose(first)) } }
                }
            }
            (table(view))
            p.aid { (SCREENING) }
            (more(view))
        }
        footer { p { "Made by sandarac. Each shop's own page says what to do there." } }
    };
    let head = HtmlHead {
        title: &title,
        style: &[STYLE],
        scheme: "light dark",
        mark: SHOPS_MARK,
    };
    in_lines(&document(&head, &body))
}

fn table(view: &ManyView) -> Markup {
    let heads = [
        "Shop",
        "Worst fact",
        "#Now",
        "#Over the limit",
        "#Unknown",
        "#Close or due",
        "#Within the limit",
    ];
    table_of(
        "Shops, the most dangerous first",
        "shops",
        &heads,
        &html! { tbody {
            @for shop in &view.shops { (row(shop)) }
        } },
    )
}

fn row(shop: &ShopLine) -> Markup {
    html! {
        tr data-shop=(shop.folder) {
            th scope="row" { (name(&shop.shop)) " " span.faint { (name(&shop.folder)) } }
            td data-label="Worst fact" { (prose(&shop.headline)) }
            td.number data-label="Now" { (shop.now) }
            @for (head, verdict) in COUNTS {
                td.number data-label=(head) data-count=(verdict.word()) { (shop.count(verdict)) }
            }
        }
    }
}

/// What is common to the shops, their liquids, and those that could not be audited.
fn more(view: &ManyView) -> Markup {
    let (mut common, totals) = (view.common(), view.totals());
    // Packs that ask for the same thing say it once.
    let mut seen: Vec<&str> = Vec::new();
    common.retain(|(_, title, _)| {
        let new = !seen.contains(title);
        seen.push(title);
        new
    });
    html! {
        @if !view.unread.is_empty() {
            h2 { "Not audited" }
            ul { @for (folder, why) in &view.unread { li { (name(folder)) ": " (clean(why)) } } }
        }
        @if !common.is_empty() {
            h2 { "Over the limit in more than one shop" }
            ul { @for (_, title, shops) in common { li { (shops) " shops: " (prose(title)) } } }
        }
        @if !totals.is_empty() {
            h2 { "Liquids in all shops, by class" }
            ul { @for (class, liters) in totals {
                li { (prose(class)) ": " (view.volume(liters)) }
            } }
        }
    }
}

//! How close to the limits: one table, the nearest first, with the limit at the same place in every row and what is worse
//! always to the right.
#![allow(
    clippy::float_arithmetic,
    reason = "places on paper, rounded to a tenth of a unit"
)]

use super::plan_shapes::px;
use crate::finding::{Compared, Finding};
use crate::report::html::{name, prose};
use crate::report::share::{share_of_limit, share_words, words_with_limit};
use crate::report::view::View;
use maud::{Markup, html};

/// Rows of the table.
const MOST: usize = 9;
/// Width of a bar, and where the limit is: the bar ends at 150 %.
const WIDE: f64 = 150.0;
const LIMIT: f64 = 100.0;
/// The topic whose findings have no bar: no number of rags is closer to safe than another.
const NO_BAR: &str = "rags";

/// What was found as a share of its limit, for a bar.
pub(super) fn share(finding: &Finding) -> Option<f64> {
    share_of_limit(finding).filter(|_| finding.rule.topic != NO_BAR)
}

/// The table; nothing where no numbers were compared.
pub(super) fn limits(view: &View<'_>) -> Markup {
    let rows = nearest(view);
    html! {
        @if !rows.is_empty() {
            section aria-labelledby="limits-title" {
                h2 #limits-title { "How close to the limits " small { "line = limit" } }
                table.limits {
                    thead.unseen { tr {
                        th scope="col" { "Rule" } th scope="col" { "Found" } th scope="col" { "Bar" } th scope="col" { "Share of the limit" }
                    } }
                    tbody { @for (finding, share) in &rows { (row(view, finding, *share)) } }
                }
            }
        }
    }
}

/// The worst finding of each rule, the closest to its limit first. What two rules say of one thing with the same figures is
/// one row.
fn nearest<'v>(view: &'v View<'_>) -> Vec<(&'v Finding, f64)> {
    let mut list: Vec<(&Finding, f64)> = view
        .findings
        .iter()
        .filter_map(|finding| Some((finding, share(finding)?)))
        .collect();
    list.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut seen: Vec<&str> = Vec::new();
    let mut figures: Vec<(&str, String)> = Vec::new();
    let mut rows = Vec::new();
    for (finding, share) in list {
        let same = (finding.subject.id.as_str(), compared(view, finding));
        let new = !seen.contains(&&*finding.rule.id) && !seen.contains(&&*finding.rule.title);
        seen.extend([&*finding.rule.id, &*finding.rule.title]);
        if new && (same.1.is_empty() || !figures.contains(&same)) {
            rows.push((finding, share));
        }
        figures.push(same);
        if rows.len() == MOST {
            break;
        }
    }
    rows
}

fn row(view: &View<'_>, finding: &Finding, share: f64) -> Markup {
    html! {
        tr {
            th scope="row" {
                (prose(&finding.rule.title))
                small {
                    @if finding.subject.id == view.shop { "whole shop" } @else { (name(&finding.subject.id)) }
                    @if let Some(Compared::Estimated { .. }) = finding.compared { ", estimate" }
                }
            }
            td.found { (compared(view, finding)) }
            td.drawn { (bar(share, &words_with_limit(share, "limit"))) }
            td.share { (share_words(share)) }
        }
    }
}

/// `31 of 30 days`, or for a minimum: `21.1 ft; at least 20 ft`. A share is said once, at the end of the row.
fn compared(view: &View<'_>, finding: &Finding) -> String {
    let Some((found, limit)) = view.pair(finding) else {
        return String::new();
    };
    if matches!(finding.compared, Some(Compared::AtLeast { .. })) {
        // A number keeps its unit on its line.
        let whole = |text: &str| text.replace(' ', "\u{a0}");
        return format!("{}; at least {}", whole(&found), whole(&limit));
    }
    let unit = limit.split_once(' ').map_or("", |(_, unit)| unit);
    match found.strip_suffix(unit).filter(|_| !unit.is_empty()) {
        Some(number) => format!("{} of {limit}", number.trim_end()),
        None => format!("{found} of {limit}"),
    }
}

/// The bar: filled to what was found, darker beyond the limit, and cut off at 150 % with an arrow.
pub(super) fn bar(share: f64, words: &str) -> Markup {
    let end = (share * LIMIT).min(WIDE);
    let within = end.min(LIMIT);
    html! {
        svg.bar role="img" aria-label=(words) viewBox={ "0 0 " (WIDE) " 14" } preserveAspectRatio="none" {
            rect.trough x="0" y="3" width=(WIDE) height="8" {}
            @if within > 0.0 { rect.bulk x="0" y="3" width=(px(within.max(1.0))) height="8" {} }
            @if end > LIMIT { rect.over x=(px(LIMIT)) y="3" width=(px(end - LIMIT)) height="8" {} }
            @if share * LIMIT > WIDE { path.beyond d="M142 3L146 7L142 11" {} }
            path.post d={ "M" (px(LIMIT)) " 0V14" } {}
        }
    }
}

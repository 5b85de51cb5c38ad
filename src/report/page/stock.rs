//! Stock: what stands together against its limits, what stands where by class, and every container.

use super::bar::{bar, px, shares};
use super::findings::told;
use crate::finding::Finding;
use crate::quantity::{Amount, Dimension, Exact, about_share, natural};
use crate::report::columns::Medium;
use crate::report::groups::ClassGroup;
use crate::report::html::{classed_table, listing, name, nothing, prose, verdict};
use crate::report::listings::STOCK;
use crate::report::view::View;
use crate::report::wrap::many;
use crate::text::clean;
use maud::{Markup, html};

/// The part about stock.
pub(super) fn stock(view: &View<'_>) -> Markup {
    if view.stock.is_empty() {
        return nothing("Nothing is on record on this day.");
    }
    html! {
        (limits(view))
        (places(view))
        h3 { "Every container " span.faint { (many(view.stock.len(), "row")) } }
        (listing(&STOCK, Medium::Page, view.stock.iter(), view, |_, _| html! {}))
    }
}

/// What stands together, against what may.
fn limits(view: &View<'_>) -> Markup {
    const TITLE: &str = "What stands together, against its limits";
    let heads = [
        "Where",
        "Rule",
        "#Stands here",
        "Against the limit",
        "#Limit",
        "Verdict",
    ];
    html! {
        h3 { (TITLE) }
        @if view.totals.is_empty() {
            p.faint { "No limit in use counts anything that stands here." }
        } @else {
            (classed_table(TITLE, "bars", &heads, &html! { tbody { @for finding in &view.totals { (limit(view, finding)) } } }))
        }
    }
}

fn limit(view: &View<'_>, finding: &Finding) -> Markup {
    let shares = shares(finding);
    html! {
        tr {
            th scope="row" {
                @if finding.subject.id == view.shop { "the whole shop" } @else { (name(&finding.subject.id)) }
            }
            td {
                (prose(&finding.title)) " " span.faint { (clean(&finding.pack)) @if finding.local { ", local limit" } }
            }
            @match shares {
                Some(shares) => {
                    td.number { (prose(&finding.observed)) }
                    td { (bar(shares, &told(finding))) }
                    td.number { (prose(&finding.limit)) }
                }
                None => td colspan="3" { (prose(&finding.observed)) },
            }
            td { (verdict(finding.verdict)) }
        }
    }
}

/// By place and class; the bars compare with the largest of the same kind.
fn places(view: &View<'_>) -> Markup {
    let most = most(view);
    let heads = ["Place", "Class", "#Holds", "Compared", "#Containers"];
    html! {
        h3 { "By place and class" }
        p.faint { "Each bar is a share of the longest one of its kind, liquids by volume and solids by weight. Rags and pads have none." }
        (classed_table("Stock by place and class", "bars", &heads, &html! { tbody {
            @for (at, group) in view.groups.iter().enumerate() {
                @let before = at.checked_sub(1).and_then(|at| view.groups.get(at));
                @let again = before.is_some_and(|b| (&b.room, &b.place) == (&group.room, &group.place));
                tr.again[again] {
                    th scope="row" { (place(group)) }
                    td { (prose(&group.class)) }
                    td.number { (group.holds(view.us)) }
                    td { (compared(view, group, most)) }
                    td.number { (group.containers) }
                }
            }
        } }))
    }
}

fn place(group: &ClassGroup) -> Markup {
    html! {
        @if group.place.is_empty() && group.room.is_empty() { "where is not known" }
        @else if group.place.is_empty() { (name(&group.room)) " " span.faint { "no place" } }
        @else { (name(&group.place)) " " span.faint { (name(&group.room)) } }
    }
}

fn compared(view: &View<'_>, group: &ClassGroup, most: [Exact; 2]) -> Markup {
    let Some(sum) = group.sum else {
        return html! {};
    };
    let most = match sum.dimension() {
        Dimension::Volume => most[0],
        Dimension::Mass => most[1],
        _ => return html! {},
    };
    if sum.base().is_zero() {
        return html! {};
    }
    let share = about_share(sum.base(), most).unwrap_or_default();
    let words = format!("{}, {share} of the longest bar", natural(sum, view.us));
    plain_bar(sum.base().estimate(), most.estimate(), &words)
}

/// The largest sum of liquids, and of solids.
fn most(view: &View<'_>) -> [Exact; 2] {
    [Dimension::Volume, Dimension::Mass].map(|dimension| {
        let sums = view.groups.iter().filter_map(|group| group.sum);
        let sums = sums.filter(|sum| sum.dimension() == dimension);
        sums.map(Amount::base).max().unwrap_or(Exact::ZERO)
    })
}

/// A bar without a limit.
#[allow(clippy::float_arithmetic, reason = "a place on paper")]
fn plain_bar(value: f64, most: f64, words: &str) -> Markup {
    let length = (value / most * 180.0).max(1.0);
    if !length.is_finite() {
        return html! {};
    }
    html! {
        svg.bar role="img" aria-label=(words) width="180" height="16" viewBox="0 0 180 16" {
            rect.bulk x="0" y="4" width=(px(length)) height="8" {}
        }
    }
}

//! The findings by topic, then by rule: what was observed, the limit, what is left, and the working on request.

use super::bar::{bar, shares};
use crate::finding::Finding;
use crate::pack::TOPICS;
use crate::report::html::{figures, name, nothing, prose, source, table, verdict};
use crate::report::urgent::{NO_FINDING, RuleGroup};
use crate::report::view::View;
use crate::report::wrap::{capital, many};
use crate::text::clean;
use maud::{Markup, html};

/// Findings of one rule that are shown in full; those beyond stand in a table.
const IN_FULL: usize = 20;

/// Every finding that calls for something.
pub(super) fn findings(view: &View<'_>) -> Markup {
    if !view.findings.iter().any(Finding::calls) {
        return nothing(NO_FINDING);
    }
    html! {
        p.faint {
            "A bar shows what was observed against its limit, the upright post: hatched is what is over, or short; \
             a broken post is where something is due, a thin line with two ends is how far an estimate may be off, and an \
             arrow is what goes on beyond the picture. \
             Findings about rags have no bar, since no number of rags or hours is safe."
        }
        @for topic in TOPICS {
            @let groups = view.by_rule(|finding| finding.topic == topic && finding.calls());
            @if !groups.is_empty() { (of_topic(view, topic, &groups)) }
        }
    }
}

fn of_topic(view: &View<'_>, topic: &str, groups: &[RuleGroup<'_>]) -> Markup {
    let count: usize = groups.iter().map(|group| group.list.len()).sum();
    html! {
        section.topic id={ "topic-" (topic) } aria-labelledby={ "topic-" (topic) "-title" } {
            h3 id={ "topic-" (topic) "-title" } { (capital(topic)) " " span.faint { (many(count, "finding")) } }
            @if topic == "rags" {
                p.screening { strong { "One rag wet with drying oil or varnish is enough to burn a building. No count, no number of hours \
                    and no rule that is met shows a pile of them to be safe." } }
            }
            @for group in groups { (of_rule(view, group)) }
        }
    }
}

fn of_rule(view: &View<'_>, group: &RuleGroup<'_>) -> Markup {
    let first = group.first;
    let more = group.list.get(IN_FULL..).unwrap_or(&[]);
    html! {
        article.rule {
            h4 { (prose(&first.title)) }
            p.faint.rule-id {
                span.weight { (first.severity.word()) } " · " (clean(&first.pack)) "/" (clean(&first.rule))
                @if first.advisory { " · advice here, since this pack does not bind the shop" }
                @if first.local { " · the local authority's own limit" }
            }
            ul.findings {
                @for (at, finding) in group.list.iter().take(IN_FULL) { (one(view, *at, finding)) }
            }
            @if !more.is_empty() { (more_of(view, more)) }
            p { span.label { "Why" } " " (prose(&first.why)) }
            p.source { "Source: " (source(&first.citation)) }
            @if let Some(note) = &first.citation.note { p.source { "Note: " (prose(note)) } }
        }
    }
}

fn one(view: &View<'_>, at: usize, finding: &Finding) -> Markup {
    html! {
        li.finding.(finding.verdict.word()) id={ "f" (at) } data-finding=(at) {
            p.head {
                (verdict(finding.verdict)) " "
                strong.subject { (name(&finding.subject.id)) } " " span.faint { "(" (finding.subject.kind.word()) ")" }
                @if let Some(since) = view.against.since(finding).filter(|since| *since < view.on) {
                    " " span.faint { "open since " (since) }
                }
            }
            (figures(finding, shares(finding).map(|shares| bar(shares, &told(finding)))))
            p.action { span.label { "Do" } " " (prose(&finding.action)) }
            @if let Some(accepted) = &finding.accepted {
                p.accepted {
                    span.label { @if accepted.lapsed { "Lapsed" } @else { "Accepted" } } " by "
                    (name(&accepted.by)) " until " (accepted.until) ": " (prose(&accepted.why))
                    @if accepted.lapsed { ". That day is past, so it counts no longer." }
                }
            }
            (behind(view, finding))
        }
    }
}

/// What a bar shows, in words.
pub(super) fn told(finding: &Finding) -> String {
    let mut words = format!("{} against a limit of {}", finding.observed, finding.limit);
    if let Some(share) = &finding.share {
        words.push_str(&format!(", {share} of it"));
    }
    if let Some(margin) = &finding.margin {
        words.push_str(&format!("; {margin}"));
    }
    words
}

/// Working, remarks and rows, unfolded on request.
fn behind(view: &View<'_>, finding: &Finding) -> Markup {
    let places = view.places(finding);
    if finding.working.is_empty() && finding.said.is_empty() && places.is_empty() {
        return html! {};
    }
    html! {
        details {
            summary { "Working and rows" span.unseen { " for " bdi { (clean(&finding.subject.id)) } } }
            @if !finding.said.is_empty() {
                ul.said { @for said in &finding.said { li { (prose(said)) } } }
            }
            @if !finding.working.is_empty() {
                ol.working { @for step in &finding.working { li { (prose(step)) } } }
            }
            @if !places.is_empty() {
                p.rows {
                    span.label { "Rows" } " "
                    @for (at, place) in places.iter().enumerate() {
                        @if at > 0 { ", " }
                        code { (clean(place)) }
                    }
                }
            }
        }
    }
}

/// What a rule found beyond those shown in full.
fn more_of(view: &View<'_>, list: &[(usize, &Finding)]) -> Markup {
    let summary = format!("{} of the same rule", many(list.len(), "more finding"));
    let title = list.first().map_or("", |(_, finding)| &finding.title);
    let heads = [
        "About", "Verdict", "Observed", "Limit", "Margin", "Do", "Rows",
    ];
    html! {
        details.more {
            summary { (summary) }
            (table(&format!("{summary}: {title}"), &heads, &html! { tbody {
                @for (at, finding) in list {
                    tr.finding id={ "f" (at) } data-finding=(at) {
                        th scope="row" { (name(&finding.subject.id)) }
                        td { (verdict(finding.verdict)) }
                        td.observed { (prose(&finding.observed)) }
                        td.limit { (prose(&finding.limit)) }
                        td.margin { (clean(finding.margin.as_deref().unwrap_or(""))) }
                        td { (prose(&finding.action)) }
                        td { (clean(&view.places(finding).join(", "))) }
                    }
                }
            } }))
        }
    }
}

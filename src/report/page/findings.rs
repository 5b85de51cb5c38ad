//! The findings by topic, then by rule: what was observed, the limit, what is left, and the working on request.

use super::bar::{bar, shares};
use super::words::{capital, many, prose, subject, verdict, wide};
use super::{View, part};
use crate::finding::{Cited, Finding, Verdict};
use crate::pack::{Seen, TOPICS};
use crate::text::clean;
use maud::{Markup, html};

/// Findings of one rule that are shown in full; those beyond stand in a table.
const IN_FULL: usize = 20;

/// Findings of one rule with one citation.
struct Group<'v> {
    first: &'v Finding,
    list: Vec<(usize, &'v Finding)>,
}

/// Every finding that calls for something.
pub(super) fn findings(view: &View<'_>) -> Markup {
    let open = view.findings.iter().filter(|f| f.calls()).count();
    part(
        "findings",
        html! {
            @if open == 0 {
                p.nothing { "No finding calls for anything. That shows no room and no rag to be safe; it says only that the rules \
                    in use met nothing in what was written down." }
            } @else {
                p.faint {
                    "A bar shows what was observed against its limit, the upright post: hatched is what is over, or short; \
                     a broken post is where something is due, a thin line with two ends is how far an estimate may be off, and an \
                     arrow is what goes on beyond the picture. \
                     Findings about rags have no bar, since no number of rags or hours is safe."
                }
                @for topic in TOPICS {
                    @let groups = groups(view, topic);
                    @if !groups.is_empty() { (of_topic(view, topic, &groups)) }
                }
            }
        },
    )
}

fn groups<'v>(view: &'v View<'_>, topic: &str) -> Vec<Group<'v>> {
    let mut groups: Vec<Group<'v>> = Vec::new();
    let open = view.findings.iter().enumerate();
    for (at, finding) in open.filter(|(_, f)| f.topic == topic && f.calls()) {
        let same = |other: &Finding| {
            (&other.pack, &other.rule, other.local) == (&finding.pack, &finding.rule, finding.local)
                && other.citation == finding.citation
        };
        match groups.iter_mut().find(|group| same(group.first)) {
            Some(group) => group.list.push((at, finding)),
            None => groups.push(Group {
                first: finding,
                list: vec![(at, finding)],
            }),
        }
    }
    groups
}

fn of_topic(view: &View<'_>, topic: &str, groups: &[Group<'_>]) -> Markup {
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

fn of_rule(view: &View<'_>, group: &Group<'_>) -> Markup {
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
            @if !more.is_empty() { (table(view, more)) }
            p { span.label { "Why" } " " (prose(&first.why)) }
            (citation(&first.citation))
        }
    }
}

/// Document, edition, clause, day and how it was seen.
fn citation(cited: &Cited) -> Markup {
    html! {
        p.source {
            "Source: " cite { (prose(&cited.document)) } ", " (prose(&cited.edition)) ", " (prose(&cited.clause))
            @if let Some(day) = cited.in_force { "; in force since " (day) }
            "; " (how_seen(cited.seen))
        }
        @if let Some(note) = &cited.note { p.source { "Note: " (prose(note)) } }
    }
}

pub(in crate::report) fn how_seen(seen: Seen) -> &'static str {
    match seen {
        Seen::Text => "the text itself was read",
        Seen::Secondary => "known through a third party",
        Seen::Memory => "from memory, not confirmed",
    }
}

fn one(view: &View<'_>, at: usize, finding: &Finding) -> Markup {
    html! {
        li.finding.(super::words::class(finding.verdict)) id={ "f" (at) } data-finding=(at) {
            p.head {
                (verdict(finding.verdict)) " " (subject(finding))
                @if let Some(since) = view.against.since(finding).filter(|since| *since < view.on) {
                    " " span.faint { "open since " (since) }
                }
            }
            (figures(finding))
            p.action { span.label { "Do" } " " (prose(&finding.action)) }
            @if let Some(accepted) = &finding.accepted {
                p.accepted {
                    span.label { @if accepted.lapsed { "Lapsed" } @else { "Accepted" } } " by "
                    (super::words::name(&accepted.by)) " until " (accepted.until) ": " (prose(&accepted.why))
                    @if accepted.lapsed { ". That day is past, so it counts no longer." }
                }
            }
            (behind(view, finding))
        }
    }
}

/// Observed, limit and margin in words, and as a bar where they are numbers.
fn figures(finding: &Finding) -> Markup {
    let seen = match finding.verdict {
        Verdict::CannotJudge => "Not known",
        Verdict::Breach | Verdict::Near | Verdict::Meets | Verdict::NotInForce => "Observed",
    };
    html! {
        dl.figures {
            div { dt { (seen) } dd.observed { (prose(&finding.observed)) } }
            @if !finding.limit.is_empty() { div { dt { "Limit" } dd.limit { (prose(&finding.limit)) } } }
            @if let Some(margin) = &finding.margin {
                div {
                    dt { "Margin" }
                    dd {
                        span.margin { (clean(margin)) }
                        @if finding.tightest { " · the tighter of the packs" }
                    }
                }
            }
            @if let Some(shares) = shares(finding) {
                div.drawn { dt.unseen { "Bar" } dd { (bar(shares, &told(finding))) } }
            }
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
fn table(view: &View<'_>, list: &[(usize, &Finding)]) -> Markup {
    let summary = format!("{} of the same rule", many(list.len(), "more finding"));
    html! {
        details.more {
            summary { (summary) }
            (wide(&format!("{summary}: {}", list.first().map_or("", |(_, f)| &f.title)), html! {
                table {
                    thead { tr {
                        th scope="col" { "About" }
                        th scope="col" { "Verdict" }
                        th scope="col" { "Observed" }
                        th scope="col" { "Limit" }
                        th scope="col" { "Margin" }
                        th scope="col" { "Do" }
                        th scope="col" { "Rows" }
                    } }
                    tbody {
                        @for (at, finding) in list {
                            tr.finding id={ "f" (at) } data-finding=(at) {
                                th scope="row" { (super::words::name(&finding.subject.id)) }
                                td { (verdict(finding.verdict)) }
                                td.observed { (prose(&finding.observed)) }
                                td.limit { (prose(&finding.limit)) }
                                td.margin { (clean(finding.margin.as_deref().unwrap_or(""))) }
                                td { (prose(&finding.action)) }
                                td { (clean(&view.places(finding).join(", "))) }
                            }
                        }
                    }
                }
            }))
        }
    }
}

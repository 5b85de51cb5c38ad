//! Every open finding, folded by topic: what was found, the limit, what to do, and the working on request.

use super::filter::{Filter, classes};
use super::lists::{LineState, people};
use crate::finding::Finding;
use crate::pack::TOPICS;
use crate::report::html::{fold, name, nothing, prose, table};
use crate::report::rule_groups::RuleGroup;
use crate::report::statements::NO_FINDING;
use crate::report::view::View;
use crate::report::words::date;
use crate::text::{capital, clean, counted};
use maud::{Markup, html};

/// Findings of one rule that are shown in full; those beyond are in a table.
const IN_FULL: usize = 20;

/// Every finding that calls for something.
pub(super) fn findings(view: &View<'_>, filter: &Filter) -> Markup {
    if !view.findings.iter().any(Finding::calls) {
        return nothing(NO_FINDING);
    }
    html! {
        @for topic in TOPICS {
            @let groups = view.by_rule(|finding| finding.rule.topic == topic && finding.calls());
            @if !groups.is_empty() { (of_topic(view, filter, topic, &groups)) }
        }
    }
}

fn of_topic(view: &View<'_>, filter: &Filter, topic: &str, groups: &[RuleGroup<'_>]) -> Markup {
    let count: usize = groups.iter().map(|group| group.list.len()).sum();
    let (id, notes) = (format!("topic-{topic}"), Notes::new(view));
    fold(
        view.full,
        &id,
        &capital(topic),
        &counted(count, "open finding"),
        &html! {
            @if topic == "rags" {
                p { strong { "One rag wet with drying oil or varnish can burn down a building. No count, no number of hours \
                    and no rule that is met shows that a pile of rags is safe." } }
            }
            @for (at, group) in groups.iter().enumerate() {
                @let same = |other: &RuleGroup<'_>| (&other.first.rule.pack, &other.first.rule.id) == (&group.first.rule.pack, &group.first.rule.id);
                (of_rule(view, filter, &notes, (group, groups.iter().take(at).any(same))))
            }
        },
    )
}

fn of_rule(
    view: &View<'_>,
    filter: &Filter,
    notes: &Notes<'_>,
    (group, again): (&RuleGroup<'_>, bool),
) -> Markup {
    let first = group.first;
    let more = group.list.get(IN_FULL..).unwrap_or(&[]);
    html! {
        article.rule {
            h3 { (prose(&first.rule.title)) }
            p.faint {
                (view.words(first).law)
                @if let Some(source) = view.source(first) { " " a href={ "#source-" (source) } { "[" (source) "]" } }
                @if first.local { " · limit set by the local authority" }
                @for (at, number) in notes.numbers(first).into_iter().enumerate() {
                    @if at == 0 { " · notes " } @else { ", " }
                    a href={ "#note-" (number) } { (number) }
                }
            }
            ul.findings {
                @for (at, finding) in group.list.iter().take(IN_FULL) { (one(view, filter, *at, finding)) }
            }
            @if !more.is_empty() { (more_of(view, filter, more)) }
            @if !again { p.faint { "Why: " (prose(&first.rule.why)) } }
        }
    }
}

/// By what a finding is chosen.
fn chosen(view: &View<'_>, filter: &Filter, at: usize, finding: &Finding) -> String {
    let who = people(view, &[finding]);
    let rooms = view.rooms_of(&[&finding.subject], &[at]);
    format!(
        "finding {}",
        classes(
            filter,
            LineState::for_verdict(finding.verdict),
            &who,
            &rooms
        )
    )
}

fn one(view: &View<'_>, filter: &Filter, at: usize, finding: &Finding) -> Markup {
    let words = view.words(finding);
    html! {
        li class=(chosen(view, filter, at, finding)) id={ "f" (at) } data-finding=(at) {
            p.head {
                span.verdict.(finding.verdict.word()) { (words.state) } ": " span.fact { (prose(&words.fact)) }
                @if finding.tightest { " This is the stricter of two rules." }
                @if let Some(since) = view.against.since(finding).filter(|since| *since < view.on) {
                    " Open since " (date(since)) "."
                }
            }
            @if words.task != words.fact { p.action { (prose(&words.task)) } }
            @if let Some(accepted) = &finding.accepted {
                p.accepted {
                    @if accepted.lapsed { "Acceptance expired" } @else { "Accepted" } ", by "
                    (name(&accepted.by)) " until " (date(accepted.until)) ": " (prose(&accepted.why))
                }
            }
            (behind(view, finding))
        }
    }
}

/// Working, remarks and rows, unfolded on request.
fn behind(view: &View<'_>, finding: &Finding) -> Markup {
    let places = view.places(finding);
    if finding.working.is_empty() && finding.said.is_empty() && places.is_empty() {
        return html! {};
    }
    html! {
        details.working {
            summary { "Working and rows" span.unseen { " for " bdi { (clean(&finding.subject.id)) } } }
            @if !finding.said.is_empty() {
                ul { @for said in &finding.said { li { (prose(said)) } } }
            }
            @if !finding.working.is_empty() {
                ol { @for step in &finding.working { li { (prose(step)) } } }
            }
            @if !places.is_empty() {
                p.rows {
                    "Rows: "
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
fn more_of(view: &View<'_>, filter: &Filter, list: &[(usize, &Finding)]) -> Markup {
    let summary = format!("{} of the same rule", counted(list.len(), "more finding"));
    let title = list.first().map_or("", |(_, finding)| &finding.rule.title);
    let heads = ["State", "Fact", "What to do", "Rows"];
    html! {
        details.more {
            summary { (summary) }
            (table(&format!("{summary}: {title}"), &heads, &html! { tbody {
                @for (at, finding) in list {
                    tr class=(chosen(view, filter, *at, finding)) id={ "f" (at) } data-finding=(at) {
                        @let words = view.words(finding);
                        th scope="row" { (words.state) }
                        td.fact data-label="Fact" { (prose(&words.fact)) }
                        td.action data-label="What to do" { @if words.task != words.fact { (prose(&words.task)) } }
                        td.rows { (clean(&view.places(finding).join(", "))) }
                    }
                }
            } }))
        }
    }
}

/// What is said of several limits, each once.
struct Notes<'v>(Vec<&'v str>);

impl<'v> Notes<'v> {
    fn new(view: &'v View<'_>) -> Notes<'v> {
        let mut list: Vec<&str> = Vec::new();
        for finding in view.findings.iter().filter(|finding| finding.calls()) {
            for note in pieces(finding) {
                if !list.contains(&note) {
                    list.push(note);
                }
            }
        }
        Notes(list)
    }

    /// The numbers of the notes of a finding.
    fn numbers(&self, finding: &Finding) -> Vec<usize> {
        let numbers =
            pieces(finding).filter_map(|note| self.0.iter().position(|there| *there == note));
        numbers.map(|at| at + 1).collect()
    }
}

fn pieces(finding: &Finding) -> impl Iterator<Item = &str> {
    let note = finding.citation.note.as_deref().unwrap_or("");
    note.split("; ").filter(|piece| !piece.is_empty())
}

/// The documents that open findings rest on, each once with its number.
pub(super) fn sources(view: &View<'_>) -> Markup {
    html! {
        ol.sources {
            @for (number, source) in (1..).zip(&view.sources) { li id={ "source-" (number) } { (prose(source)) } }
        }
        h3 { "Notes" }
        ol.sources {
            @for (number, note) in (1..).zip(Notes::new(view).0) { li id={ "note-" (number) } { (prose(note)) } }
        }
        p.faint { "Editions, and the rules that are met or do not apply, are in the binder." }
    }
}

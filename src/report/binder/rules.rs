//! Tab 10: the packs, the documents with their editions, and every rule with the day it came into force and how it was
//! seen.

use super::super::page::how_seen;
use super::Binder;
use super::parts::{name, nothing, prose, table};
use crate::finding::{Finding, Verdict};
use crate::pack::{Pack, Seen};
use crate::quantity::Day;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// A rule with what came of it.
struct Came<'f> {
    first: &'f Finding,
    by_verdict: [usize; 5],
}

pub(super) fn tab(binder: &Binder<'_>) -> (Option<Day>, Markup) {
    let on = binder.view.on;
    let days = binder
        .view
        .findings
        .iter()
        .filter_map(|finding| finding.citation.in_force);
    let part = html! {
        h3 { "Packs" }
        (packs(binder))
        h3 { "Documents and editions" }
        (documents(binder))
        h3 { "What the local authority said" }
        (local(binder))
        @for pack in binder.packs {
            h3 { "Rules of " (prose(&pack.about.title)) }
            (rules(binder, pack))
        }
    };
    (days.filter(|day| *day <= on).max(), part)
}

fn packs(binder: &Binder<'_>) -> Markup {
    table(
        "Packs",
        &["Pack", "Where", "Whom", "#Rules"],
        &html! { tbody {
            @for pack in &binder.view.packs {
                tr {
                    th scope="row" { (name(&pack.id)) ": " (name(&pack.title)) }
                    td { (name(&pack.jurisdiction)) }
                    td { (name(&pack.binds)) }
                    td.number { (pack.rules) }
                }
            }
        } },
    )
}

/// Documents that a finding of this audit rests on, with the weakest way in which a value of each was seen.
fn documents(binder: &Binder<'_>) -> Markup {
    let mut list: BTreeMap<(&str, &str), (usize, Seen)> = BTreeMap::new();
    for cited in binder.view.findings.iter().map(|finding| &finding.citation) {
        let key = (cited.document.as_str(), cited.edition.as_str());
        let entry = list.entry(key).or_insert((0, Seen::Text));
        *entry = (entry.0 + 1, entry.1.max(cited.seen));
    }
    let known = |title: &str, edition: &str| {
        let sources = binder.packs.iter().flat_map(|pack| pack.sources.values());
        let mut mine = sources.filter(|source| source.title == title && source.edition == edition);
        mine.next()
    };
    table(
        "Documents and editions",
        &[
            "Document",
            "Edition",
            "Issued by",
            "Read at",
            "Seen",
            "#Findings",
        ],
        &html! { tbody {
            @for ((document, edition), (count, seen)) in &list {
                @let source = known(document, edition);
                tr {
                    th scope="row" { (prose(document)) }
                    td { (prose(edition)) }
                    td { @if let Some(source) = source { (prose(&source.issuer)) } }
                    td.address { @if let Some(address) = source.and_then(|source| source.address.as_deref()) { (name(address)) } }
                    td { (how_seen(*seen)) }
                    td.number { (count) }
                }
            }
        } },
    )
}

fn local(binder: &Binder<'_>) -> Markup {
    let limits = &binder.book.shop.limits;
    html! {
        @match &binder.view.authority {
            Some(authority) => p { (name(authority)) },
            None => (nothing("shop.toml names no authority that was asked. Ask it which edition holds, and what it changed.")),
        }
        @if !limits.is_empty() {
            (table("Limits of the local authority", &["Rule", "#Limit", "By", "From", "Row"], &html! { tbody {
                @for limit in limits {
                    tr {
                        th scope="row" { (name(&limit.rule.value)) }
                        td.number { (limit.value.text()) }
                        td { (name(&limit.by)) }
                        td { (limit.on) }
                        td.rows { (binder.row(limit.at)) }
                    }
                }
            } }))
        }
    }
}

fn rules(binder: &Binder<'_>, pack: &Pack) -> Markup {
    let mut list: BTreeMap<(&str, bool, &str), Came<'_>> = BTreeMap::new();
    for finding in binder.view.findings.iter().filter(|f| f.pack == pack.id) {
        let key = (
            finding.rule.as_str(),
            finding.local,
            finding.citation.clause.as_str(),
        );
        let came = list.entry(key).or_insert(Came {
            first: finding,
            by_verdict: [0; 5],
        });
        let at = Verdict::WORDS
            .iter()
            .position(|(_, v)| *v == finding.verdict);
        if let Some(count) = at.and_then(|at| came.by_verdict.get_mut(at)) {
            *count += 1;
        }
    }
    let heads = [
        "Rule",
        "Clause, edition",
        "In force since",
        "Seen",
        "#Breach",
        "#Cannot judge",
        "#Near",
        "#Meets",
        "#Not in force",
    ];
    table(
        &format!("Rules of {}", pack.about.title),
        &heads,
        &html! { tbody {
            @for came in list.values() {
                @let cited = &came.first.citation;
                tr {
                    th scope="row" {
                        (prose(&came.first.title)) " "
                        span.faint { (name(&came.first.rule)) @if came.first.local { ", local" } }
                    }
                    td { (prose(&cited.clause)) @if !cited.clause.is_empty() { "; " } (prose(&cited.edition)) }
                    td { @match cited.in_force { Some(day) => (day), None => "–" } }
                    td { (how_seen(cited.seen)) }
                    @for count in came.by_verdict { td.number { @if count > 0 { (count) } @else { "–" } } }
                }
            }
        } },
    )
}

//! Tab 10: the packs, the documents with their editions, and every rule with the day it came into force and how it was
//! seen.

use super::super::cited::{Document, documents};
use super::super::page::said;
use super::Binder;
use super::parts::{dated, name, nothing, prose, table};
use crate::finding::{Finding, Verdict};
use crate::pack::Pack;
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
    let cited = documents(binder.view.findings);
    let part = html! {
        h3 { "Packs" }
        (packs(binder))
        h3 { "Documents and editions" }
        (table_of(binder, &cited))
        p.faint { "Seen: how many findings rest on the text itself, how many on a third party's word of it, how many on memory." }
        h3 { "What the local authority said" }
        (local(binder))
        @for pack in binder.packs {
            h3 { "Rules of " (prose(&pack.about.title)) }
            (rules(binder, pack, &cited))
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

fn table_of(binder: &Binder<'_>, list: &[Document<'_>]) -> Markup {
    let known = |document: &Document<'_>| {
        let sources = binder.packs.iter().flat_map(|pack| pack.sources.values());
        let mut mine = sources
            .filter(|source| source.title == document.title && source.edition == document.edition);
        mine.next()
    };
    let heads = [
        "No.",
        "Document",
        "Edition",
        "Issued by",
        "Seen",
        "#Findings",
    ];
    table(
        "Documents and editions",
        &heads,
        &html! { tbody {
            @for (at, document) in list.iter().enumerate() {
                @let source = known(document);
                tr id={ "d" (at + 1) } {
                    td { "D" (at + 1) }
                    th scope="row" {
                    (prose(document.title))
                    @if let Some(address) = source.and_then(|source| source.address.as_deref()) { br; span.address { (name(address)) } }
                }
                    td { (prose(document.edition)) }
                    td { @if let Some(source) = source { (prose(&source.issuer)) } }
                    td { (document.told()) }
                    td.number { (document.findings()) }
                }
            }
        } },
    )
}

fn local(binder: &Binder<'_>) -> Markup {
    let limits = &binder.tables.shop.limits;
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
                        td { (dated(limit.on)) }
                        td.rows { (binder.row(limit.at)) }
                    }
                }
            } }))
        }
    }
}

fn rules(binder: &Binder<'_>, pack: &Pack, documents: &[Document<'_>]) -> Markup {
    let mut list: BTreeMap<(&str, bool, &str), Came<'_>> = BTreeMap::new();
    for finding in binder.view.findings.iter().filter(|f| *f.pack == *pack.id) {
        let clause = finding.citation.clause.as_str();
        let key = (&*finding.rule, finding.local, clause);
        let received = list.entry(key).or_insert(Came {
            first: finding,
            by_verdict: [0; 5],
        });
        let mut words = Verdict::WORDS.iter();
        let at = words.position(|(_, v)| *v == finding.verdict);
        if let Some(count) = at.and_then(|at| received.by_verdict.get_mut(at)) {
            *count += 1;
        }
    }
    let heads = [
        "Rule",
        "Document, clause",
        "In force since",
        "Seen",
        "Findings",
    ];
    table(
        &format!("Rules of {}", pack.about.title),
        &heads,
        &html! { tbody {
            @for received in list.values() { (rule(received, documents)) }
        } },
    )
}

fn rule(received: &Came<'_>, documents: &[Document<'_>]) -> Markup {
    let cited = &received.first.citation;
    let mut list = documents.iter();
    let number = list.position(|d| d.title == cited.document && d.edition == cited.edition);
    html! {
        tr {
            th scope="row" {
                (prose(&received.first.title)) " "
                span.faint { (name(&received.first.rule)) @if received.first.local { ", local" } }
            }
            td {
                @if let Some(at) = number { a href={ "#d" (at + 1) } { "D" (at + 1) } }
                @if !cited.clause.is_empty() { ", " (prose(&cited.clause)) }
            }
            td { @match cited.in_force { Some(day) => (dated(day)), None => "–" } }
            td { (cited.seen.word()) }
            td { (counted(received)) }
        }
    }
}

/// `1 breach, 4 meets`.
fn counted(received: &Came<'_>) -> String {
    // Such a finding is the only one of its rule.
    if received.first.is_about_nothing() {
        return "about nothing here".into();
    }
    let each = Verdict::WORDS.iter().zip(received.by_verdict);
    let each = each.filter(|(_, count)| *count > 0);
    let words: Vec<String> = each
        .map(|((_, verdict), count)| format!("{count} {}", said(*verdict)))
        .collect();
    words.join(", ")
}

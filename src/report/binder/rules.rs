//! Tab 10: the packs, the documents with their editions, and every rule with the day it took effect and how it was
//! seen.

use super::context::Binder;
use crate::finding::{Finding, Verdict};
use crate::pack::Pack;
use crate::quantity::Day;
use crate::report::cited::{CitedDocument, documents};
use crate::report::columns::Medium;
use crate::report::html::{dated, listing, name, nothing, prose, said, table};
use crate::report::listings::PACKS;
use maud::{Markup, html};
use std::collections::BTreeMap;

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
        (listing(&PACKS, Medium::Binder, binder.view.packs.iter(), binder.view, |_, _| html! {}))
        h3 { "Documents and editions" }
        (table_of(binder, &cited))
        p.faint { "Read: how many findings rest on the text itself, on another source, or on memory." }
        h3 { "Local authority" }
        (local(binder))
        @for pack in &binder.packs {
            h3 { "Rules of " (prose(&pack.about.title)) }
            (rules(binder, pack, &cited))
        }
    };
    (days.filter(|day| *day <= on).max(), part)
}

fn table_of(binder: &Binder<'_>, list: &[CitedDocument<'_>]) -> Markup {
    let known = |document: &CitedDocument<'_>| {
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
        "Read",
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
            None => (nothing("No local authority is on record in shop.toml. Ask yours which edition it uses, and what it changed. Record the answer: `sandarac log record authority name NAME asked DAY says ANSWER`.")),
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

fn rules(binder: &Binder<'_>, pack: &Pack, documents: &[CitedDocument<'_>]) -> Markup {
    let mut list: BTreeMap<(&str, bool, &str), Vec<&Finding>> = BTreeMap::new();
    for finding in binder.view.findings.iter().filter(|f| *f.pack == *pack.id) {
        let clause = finding.citation.clause.as_str();
        let key = (&*finding.rule, finding.local, clause);
        list.entry(key).or_default().push(finding);
    }
    let heads = [
        "Rule",
        "Document and clause",
        "In effect since",
        "Read",
        "Findings",
    ];
    table(
        &format!("Rules of {}", pack.about.title),
        &heads,
        &html! { tbody {
            @for findings in list.values() { (rule(findings, documents)) }
        } },
    )
}

/// A rule with its findings.
fn rule(findings: &[&Finding], documents: &[CitedDocument<'_>]) -> Markup {
    let Some(first) = findings.first() else {
        return html! {};
    };
    let cited = &first.citation;
    let mut list = documents.iter();
    let number = list.position(|d| d.title == cited.document && d.edition == cited.edition);
    html! {
        tr {
            th scope="row" {
                (prose(&first.title)) " "
                span.faint { (name(&first.rule)) @if first.local { ", local" } }
            }
            td {
                @if let Some(at) = number { a href={ "#d" (at + 1) } { "D" (at + 1) } }
                @if !cited.clause.is_empty() { ", " (prose(&cited.clause)) }
            }
            td { @match cited.in_force { Some(day) => (dated(day)), None => "–" } }
            td { (cited.seen.word()) }
            td { (counted(findings)) }
        }
    }
}

/// `1 breach, 4 meets`.
fn counted(findings: &[&Finding]) -> String {
    // Such a finding is the only one of its rule.
    if findings
        .first()
        .is_some_and(|first| first.is_about_nothing())
    {
        return "does not apply".into();
    }
    let words = Verdict::WORDS.iter().filter_map(|(_, verdict)| {
        let same = findings.iter().filter(|f| f.verdict == *verdict).count();
        (same > 0).then(|| format!("{same} {}", said(*verdict)))
    });
    words.collect::<Vec<_>>().join(", ")
}

//! Tab 10: the packs, the documents with their editions, and every rule with the day it took effect and how it was
//! seen.

use super::context::Binder;
use crate::finding::{Finding, Verdict};
use crate::pack::Pack;
use crate::quantity::Day;
use crate::record::LocalLimit;
use crate::report::cited::{CitedDocument, documents};
use crate::report::columns::{Listing, TableCell};
use crate::report::html::{name, nothing, prose, said};
use crate::report::listings::packs;
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
        (binder.table(&packs(), &binder.view.packs))
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
    let table = Listing::<CitedDocument<'_>>::new("Documents and editions")
        .column("No.", |document| {
            let number = number_of(list, document.title, document.edition);
            html! { @if let Some(number) = number { span id={ "d" (number) } { "D" (number) } } }
        })
        .column("Document", |document| {
            let address = known(document).and_then(|source| source.address.as_deref());
            html! {
                (prose(document.title))
                @if let Some(address) = address { br; span.address { (name(address)) } }
            }
        })
        .column("Edition", |document| document.edition.to_string())
        .column("Issued by", |document| {
            known(document)
                .map(|source| source.issuer.clone())
                .unwrap_or_default()
        })
        .column("Read", CitedDocument::told)
        .number("Findings", |document| document.findings().to_string());
    binder.table(&table.row_head(1), list)
}

/// The number of a document, which is its anchor too.
fn number_of(documents: &[CitedDocument<'_>], title: &str, edition: &str) -> Option<usize> {
    let mut list = documents.iter();
    let at = list.position(|document| document.title == title && document.edition == edition)?;
    Some(at + 1)
}

fn local(binder: &Binder<'_>) -> Markup {
    let limits = &binder.tables.shop.limits;
    let table = Listing::<LocalLimit>::new("Limits of the local authority")
        .column("Rule", |limit| TableCell::Name(&limit.rule.value))
        .number("Limit", |limit| limit.value.text())
        .column("By", |limit| TableCell::Name(&limit.by))
        .column("From", |limit| limit.on)
        .rows(|limit| limit.at);
    html! {
        @match &binder.view.authority {
            Some(authority) => p { (name(authority)) },
            None => (nothing("No local authority is on record in shop.toml. Ask yours which edition it uses, and what it changed. Record the answer: `sandarac log record authority name NAME asked DAY says ANSWER`.")),
        }
        @if !limits.is_empty() {
            (binder.table(&table, limits))
        }
    }
}

/// The first finding of a rule, and all of them.
type RuleFindings<'f> = (&'f Finding, Vec<&'f Finding>);

fn rules(binder: &Binder<'_>, pack: &Pack, documents: &[CitedDocument<'_>]) -> Markup {
    let mut list: BTreeMap<(&str, bool, &str), Vec<&Finding>> = BTreeMap::new();
    for finding in binder
        .view
        .findings
        .iter()
        .filter(|f| *f.rule.pack == *pack.id)
    {
        let clause = finding.citation.clause.as_str();
        let key = (&*finding.rule.id, finding.local, clause);
        list.entry(key).or_default().push(finding);
    }
    let rules: Vec<RuleFindings<'_>> = list
        .into_values()
        .filter_map(|all| Some((*all.first()?, all)))
        .collect();
    let title = format!("Rules of {}", pack.about.title);
    let table = Listing::<RuleFindings<'_>>::new(title)
        .column("Rule", |(first, _)| {
            html! {
                (prose(&first.rule.title)) " "
                span.faint { (name(&first.rule.id)) @if first.local { ", local" } }
            }
        })
        .column("Document and clause", |(first, _)| {
            let cited = &first.citation;
            let number = number_of(documents, &cited.document, &cited.edition);
            html! {
                @if let Some(number) = number { a href={ "#d" (number) } { "D" (number) } }
                @if !cited.clause.is_empty() { ", " (prose(&cited.clause)) }
            }
        })
        .column("In effect since", |(first, _)| {
            match first.citation.in_force {
                Some(day) => day.into(),
                None => TableCell::from("–"),
            }
        })
        .column("Read", |(first, _)| first.citation.seen.word())
        .column("Findings", |(_, all)| counted(all));
    binder.table(&table, &rules)
}

/// `1 breach, 4 meets`.
fn counted(findings: &[&Finding]) -> String {
    // Such a finding is the only one of its rule.
    if findings.first().is_some_and(|first| first.does_not_apply()) {
        return "does not apply".into();
    }
    let words = Verdict::WORDS.iter().filter_map(|(_, verdict)| {
        let same = findings.iter().filter(|f| f.verdict == *verdict).count();
        (same > 0).then(|| format!("{same} {}", said(*verdict)))
    });
    words.collect::<Vec<_>>().join(", ")
}

//! The end of the page: the cautions, the rules that were met, the packs and the editions.

use super::super::cited::documents;
use super::words::{name, prose, wide};
use super::{View, part};
use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The cautions for what is there.
pub(super) fn cautions(view: &View<'_>) -> Markup {
    part(
        "cautions",
        html! {
            dl.cautions {
                @for caution in &view.cautions {
                    div {
                        dt { (prose(&caution.title)) }
                        dd { (prose(&caution.text)) " " span.faint { "Source: " (prose(&caution.source)) } }
                    }
                }
            }
        },
    )
}

/// Rules met and not in force, then packs and editions.
pub(super) fn rules(view: &View<'_>) -> Markup {
    part(
        "rules",
        html! {
            h3 { "Packs" }
            (wide("Packs", html! {
                table {
                    thead { tr {
                        th scope="col" { "Pack" }
                        th scope="col" { "Where" }
                        th scope="col" { "Whom" }
                        th.number scope="col" { "Rules" }
                    } }
                    tbody {
                        @for pack in &view.packs {
                            tr {
                                th scope="row" { (name(&pack.id)) ": " (name(&pack.title)) }
                                td { (name(&pack.jurisdiction)) }
                                td { (name(&pack.binds)) }
                                td.number { (pack.rules) }
                            }
                        }
                    }
                }
            }))
            h3 { "Documents and editions" }
            ul.sources {
                @for document in documents(view.findings) {
                    li {
                        cite { (prose(document.title)) } ", " (prose(document.edition)) "; "
                        (super::words::many(document.findings(), "finding")) ": " (document.told())
                    }
                }
            }
            h3 { "Rules that asked for nothing" }
            p.faint {
                "A rule that is met is met by what was written down, on that day. It shows no room and no rag to be safe."
            }
            @for topic in TOPICS {
                @let list = quiet(view.findings, topic);
                @if !list.is_empty() { (of_topic(topic, &list)) }
            }
        },
    )
}

/// A rule that met nothing: its findings counted.
struct Quiet<'f> {
    first: &'f Finding,
    met: usize,
    about_nothing: usize,
    idle: usize,
}

fn quiet<'f>(findings: &'f [Finding], topic: &str) -> Vec<Quiet<'f>> {
    let mut list: BTreeMap<(&str, &str), Quiet<'f>> = BTreeMap::new();
    for finding in findings.iter().filter(|f| f.topic == topic && !f.calls()) {
        let key = (&*finding.pack, &*finding.rule);
        let entry = list.entry(key).or_insert(Quiet {
            first: finding,
            met: 0,
            about_nothing: 0,
            idle: 0,
        });
        match finding.verdict {
            Verdict::NotInForce => entry.idle += 1,
            Verdict::Meets if finding.is_about_nothing() => entry.about_nothing += 1,
            Verdict::Breach | Verdict::CannotJudge | Verdict::Near | Verdict::Meets => {
                entry.met += 1;
            }
        }
    }
    list.into_values().collect()
}

fn of_topic(topic: &str, list: &[Quiet<'_>]) -> Markup {
    let count: usize = list
        .iter()
        .map(|quiet| quiet.met + quiet.about_nothing + quiet.idle)
        .sum();
    let words = format!(
        "{}: {}",
        super::words::capital(topic),
        super::words::many(count, "quiet finding")
    );
    html! {
        details {
            summary { (words) }
            (wide(&words, html! {
                table {
                    thead { tr {
                        th scope="col" { "Rule" }
                        th scope="col" { "Clause" }
                        th.number scope="col" { "Met" }
                        th.number scope="col" { "About nothing here" }
                        th.number scope="col" { "Not in force" }
                    } }
                    tbody {
                        @for quiet in list {
                            tr {
                                th scope="row" {
                                    (prose(&quiet.first.title)) " "
                                    span.faint { (crate::text::clean(&quiet.first.pack)) "/" (crate::text::clean(&quiet.first.rule)) }
                                }
                                td { (prose(&quiet.first.citation.clause)) }
                                td.number { (quiet.met) }
                                td.number { (quiet.about_nothing) }
                                td.number { (quiet.idle) }
                            }
                        }
                    }
                }
            }))
        }
    }
}

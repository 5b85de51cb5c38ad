//! The end of the page: the packs, the editions, and the rules that asked for nothing.

use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use crate::report::cited::documents;
use crate::report::columns::Medium;
use crate::report::html::{listing, prose, table};
use crate::report::listings::PACKS;
use crate::report::view::View;
use crate::report::wrap::{capital, many};
use crate::text::clean;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Packs and editions, then rules met and not in force.
pub(super) fn rules(view: &View<'_>) -> Markup {
    html! {
        h3 { "Packs" }
        (listing(&PACKS, Medium::Page, view.packs.iter(), view, |_, _| html! {}))
        h3 { "Documents and editions" }
        ul.sources {
            @for document in documents(view.findings) {
                li {
                    cite { (prose(document.title)) } ", " (prose(document.edition)) "; "
                    (many(document.findings(), "finding")) ": " (document.told())
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
    }
}

/// A rule that asked for nothing: a finding of it, and how many were met, about nothing here, and not in force.
type Quiet<'f> = (&'f Finding, [usize; 3]);

fn quiet<'f>(findings: &'f [Finding], topic: &str) -> Vec<Quiet<'f>> {
    let mut list: BTreeMap<(&str, &str), Quiet<'f>> = BTreeMap::new();
    for finding in findings.iter().filter(|f| f.topic == topic && !f.calls()) {
        let key = (&*finding.pack, &*finding.rule);
        let (_, [met, about_nothing, idle]) = list.entry(key).or_insert((finding, [0; 3]));
        *match finding.verdict {
            Verdict::NotInForce => idle,
            Verdict::Meets if finding.is_about_nothing() => about_nothing,
            Verdict::Breach | Verdict::CannotJudge | Verdict::Near | Verdict::Meets => met,
        } += 1;
    }
    list.into_values().collect()
}

fn of_topic(topic: &str, list: &[Quiet<'_>]) -> Markup {
    let count: usize = list.iter().flat_map(|(_, counts)| counts).sum();
    let words = format!("{}: {}", capital(topic), many(count, "quiet finding"));
    let heads = [
        "Rule",
        "Clause",
        "#Met",
        "#About nothing here",
        "#Not in force",
    ];
    html! {
        details {
            summary { (words) }
            (table(&words, &heads, &html! { tbody {
                @for (first, counts) in list {
                    tr {
                        th scope="row" {
                            (prose(&first.title)) " "
                            span.faint { (clean(&first.pack)) "/" (clean(&first.rule)) }
                        }
                        td { (prose(&first.citation.clause)) }
                        @for count in counts { td.number { (count) } }
                    }
                }
            } }))
        }
    }
}

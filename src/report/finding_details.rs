//! The details of a finding below its sentence: one list, so that a new detail appears on the screen, in Markdown and in the
//! binder.

use super::view::View;
use super::words::{FindingWords, date};
use crate::finding::Finding;
use crate::pack::Seen;
use crate::text::capital;

pub(super) enum FindingDetail<'f> {
    /// A label and its text. The label is empty if the text needs none.
    Text(&'static str, String),
    /// The working, step by step.
    Steps(&'f [String]),
    /// The rows behind the finding, if there are any.
    Rows(Vec<&'f str>),
}

/// All details of a finding. `source` names the law or practice behind it.
pub(super) fn details<'f>(
    view: &'f View<'_>,
    finding: &'f Finding,
    words: &FindingWords,
    source: &str,
) -> Vec<FindingDetail<'f>> {
    let mut parts = Vec::new();
    let mut say = |is_said: bool, label, text: &str| {
        if is_said {
            parts.push(FindingDetail::Text(label, text.to_string()));
        }
    };
    say(words.task != words.fact, "To do", &words.task);
    say(words.adds(&finding.action), "In detail", &finding.action);
    say(true, "Why", &finding.rule.why);
    let (title, pack, rule) = (&finding.rule.title, &finding.rule.pack, &finding.rule.id);
    say(true, "Rule", &format!("{title} [{pack}/{rule}]"));
    let strictest = "This is the strictest of your rule packs.";
    say(finding.tightest, "", strictest);
    let advice = "This rule is only advice for your shop.";
    say(finding.advisory, "", advice);
    say(finding.local, "", "The local authority set this limit.");
    if let Some(since) = view.against.since(finding) {
        say(since < view.on, "Open since", &date(since));
    }
    say(true, "", source);
    if let Some(note) = &finding.citation.note {
        say(true, "Note", note);
    }
    for said in &finding.said {
        say(true, "", said);
    }
    if let Some(accepted) = &finding.accepted {
        let (by, until) = (capital(&accepted.by), date(accepted.until));
        let ends = match accepted.lapsed {
            true => format!("That ended on {until}."),
            false => format!("That holds until {until}."),
        };
        say(
            true,
            "",
            &format!("{by} accepted it ({}). {ends}", accepted.why),
        );
    }
    if !finding.working.is_empty() {
        parts.push(FindingDetail::Steps(&finding.working));
    }
    parts.push(FindingDetail::Rows(view.places(finding)));
    parts
}

/// The law or practice behind a finding, with document, edition, clause, day of effect, and how it was read.
pub(super) fn full_source(finding: &Finding, words: &FindingWords) -> String {
    let cited = &finding.citation;
    let since = cited
        .in_force
        .map(|day| format!(", in effect since {}", date(day)));
    let read = match cited.seen {
        Seen::Text => "read in the text",
        Seen::Secondary => "read in another source",
        Seen::Memory => "from memory, not confirmed",
    };
    format!(
        "{}. Source: {}, {}, {}{}; {read}",
        words.law,
        cited.document,
        cited.edition,
        cited.clause,
        since.unwrap_or_default(),
    )
}

/// A label before its text.
pub(super) fn labelled(label: &str, text: &str) -> String {
    match label {
        "" => text.to_string(),
        label => format!("{label}: {text}"),
    }
}

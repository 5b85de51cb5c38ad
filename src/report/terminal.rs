//! The screen: what to do first, the findings by topic, the quiet ones counted, the cautions named. Eighty columns.

use super::cautions::Caution;
use super::month::parts;
use super::view::View;
use super::wrap::{fill, width};
use crate::finding::{Compared, Finding, Verdict};
use crate::pack::TOPICS;
use crate::text::clean;
use std::fmt::Write;

/// Most lines of "do this first".
const FIRST: usize = 7;

/// The audit on the screen; `full` adds the working of every finding that calls for something.
pub fn terminal(view: &View<'_>, columns: usize, full: bool) -> String {
    let mut text = String::new();
    header(&mut text, view, columns);
    first(&mut text, view, columns);
    findings(&mut text, view, columns, full);
    month(&mut text, view, columns, full);
    quiet(&mut text, view, columns);
    closing(&mut text, view, columns, full);
    text
}

fn line(text: &mut String, words: &str, columns: usize, first: &str, rest: &str) {
    text.push_str(&fill(&clean(words), columns, first, rest));
    text.push('\n');
}

fn heading(text: &mut String, words: &str, columns: usize) {
    let rule = "─".repeat(columns.saturating_sub(width(words) + 1));
    let _ = writeln!(text, "\n{words} {rule}");
}

fn header(text: &mut String, view: &View<'_>, columns: usize) {
    line(
        text,
        &format!(
            "Finishing room of {}, at the close of {}",
            view.shop, view.on
        ),
        columns,
        "",
        "",
    );
    line(
        text,
        "A screening aid, not a certificate. The authority having jurisdiction, the data sheet of each product and a \
         licensed practitioner come first.",
        columns,
        "",
        "",
    );
    for pack in &view.packs {
        line(
            text,
            &format!("{} ({}): {}", pack.id, pack.jurisdiction, pack.binds),
            columns,
            "  ",
            "    ",
        );
    }
    if let Some(authority) = &view.authority {
        line(text, &format!("asked: {authority}"), columns, "  ", "    ");
    }
}

fn first(text: &mut String, view: &View<'_>, columns: usize) {
    heading(text, "DO THIS FIRST", columns);
    let first = view.first(FIRST);
    for (number, (action, subjects, verdict)) in first.list.iter().enumerate() {
        let words = format!("{action} ({}: {})", subjects, verdict.word());
        line(text, &words, columns, &format!("{}. ", number + 1), "   ");
    }
    if let Some(left) = first.left_out() {
        line(text, &left, columns, "", "");
    }
    if first.list.is_empty() {
        line(
            text,
            "Nothing that the rules asked for is open. That shows no room and no rag to be safe.",
            columns,
            "",
            "",
        );
    }
}

fn findings(text: &mut String, view: &View<'_>, columns: usize, full: bool) {
    heading(text, "FINDINGS", columns);
    let count = |verdict| view.counts.of(verdict);
    let words = format!(
        "{} breach, {} cannot be judged, {} near, {} met, {} not in force{}",
        count(Verdict::Breach),
        count(Verdict::CannotJudge),
        count(Verdict::Near),
        view.counts.met(),
        count(Verdict::NotInForce),
        match view.counts.about_nothing {
            0 => String::new(),
            n => format!(", {n} about nothing here"),
        } + &match view.counts.accepted {
            0 => String::new(),
            n => format!("; {n} accepted, and last in its topic"),
        }
    );
    line(text, &words, columns, "", "");
    for topic in TOPICS {
        let open = |f: &&Finding| {
            f.topic == topic && f.calls() && (full || f.verdict != Verdict::CannotJudge)
        };
        let list: Vec<&Finding> = view.findings.iter().filter(open).collect();
        if list.is_empty() {
            continue;
        }
        let _ = writeln!(text, "\n{topic}");
        for finding in list {
            one(text, view, finding, columns, full);
        }
    }
    if !full {
        unknown(text, view, columns);
    }
}

/// What cannot be judged, each missing fact once, with the rules that wait for it.
fn unknown(text: &mut String, view: &View<'_>, columns: usize) {
    let mut facts: Vec<(&str, Vec<String>)> = Vec::new();
    for finding in view
        .findings
        .iter()
        .filter(|f| f.verdict == Verdict::CannotJudge)
    {
        let rule = format!("{}/{}", finding.pack, finding.rule);
        match facts.iter_mut().find(|(fact, _)| *fact == finding.observed) {
            Some((_, rules)) => rules.push(rule),
            None => facts.push((&finding.observed, vec![rule])),
        }
    }
    if facts.is_empty() {
        return;
    }
    heading(text, "NOT KNOWN, AND SO NOT JUDGED", columns);
    for (fact, mut rules) in facts {
        rules.dedup();
        let more = rules.len().saturating_sub(3);
        rules.truncate(3);
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        line(
            text,
            &format!("{fact} [{}{more}]", rules.join(", ")),
            columns,
            "- ",
            "  ",
        );
    }
}

fn one(text: &mut String, view: &View<'_>, finding: &Finding, columns: usize, full: bool) {
    let asked = match (&finding.limit, finding.compared.as_ref()) {
        (limit, _) if limit.is_empty() => String::new(),
        (limit, Some(Compared::Plain { .. })) => format!("; asked: {limit}"),
        (limit, _) => format!("; limit {limit}"),
    };
    let marks = marks(finding);
    let head = format!(
        "{}, {}: {}: {}{asked}{marks}",
        finding.verdict.word().to_uppercase(),
        finding.severity.word(),
        finding.subject.id,
        finding.observed
    );
    line(text, &head, columns, "  ", "      ");
    let number = view
        .source(finding)
        .map_or_else(String::new, |n| format!(" ({n})"));
    let cited = format!(
        "{} [{}/{}, {}{number}]",
        finding.title, finding.pack, finding.rule, finding.citation.clause
    );
    line(text, &cited, columns, "      ", "      ");
    for said in &finding.said {
        line(text, said, columns, "      ", "      ");
    }
    if full {
        for (number, step) in finding.working.iter().enumerate() {
            line(
                text,
                step,
                columns,
                &format!("      {}. ", number + 1),
                "         ",
            );
        }
        line(
            text,
            &format!("Why: {}", finding.why),
            columns,
            "      ",
            "      ",
        );
        line(
            text,
            &format!("Do: {}", finding.action),
            columns,
            "      ",
            "      ",
        );
        if let Some(note) = &finding.citation.note {
            line(text, &format!("Note: {note}"), columns, "      ", "      ");
        }
    }
    let places = view.places(finding);
    let more = places.len().saturating_sub(4);
    if !places.is_empty() {
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        let shown: Vec<&str> = places.into_iter().take(4).collect();
        line(
            text,
            &format!("see {}{more}", shown.join(", ")),
            columns,
            "      ",
            "      ",
        );
    }
}

fn marks(finding: &Finding) -> String {
    let mut marks = String::new();
    if let Some(margin) = &finding.margin {
        let _ = write!(marks, ", {margin}");
    }
    if finding.unconfirmed {
        marks.push_str(", unconfirmed");
    }
    if finding.local {
        marks.push_str(", local limit");
    }
    if finding.tightest {
        marks.push_str(", the tighter of the packs");
    }
    if finding.advisory {
        marks.push_str(", advice here");
    }
    if let Some(accepted) = &finding.accepted {
        let lapsed = if accepted.lapsed { "; LAPSED" } else { "" };
        let _ = write!(
            marks,
            ", accepted by {} until {} ({}){lapsed}",
            accepted.by, accepted.until, accepted.why
        );
    }
    marks
}

/// Most lines of a sort of change, where not everything is asked for.
const CHANGES: usize = 6;

fn month(text: &mut String, view: &View<'_>, columns: usize, full: bool) {
    for part in parts(view, if full { usize::MAX } else { CHANGES }) {
        heading(text, &part.title.to_uppercase(), columns);
        for words in &part.lines {
            line(text, words, columns, "  ", "    ");
        }
    }
}

fn quiet(text: &mut String, view: &View<'_>, columns: usize) {
    heading(text, "QUIET", columns);
    for verdict in [Verdict::Meets, Verdict::NotInForce] {
        let mut parts = Vec::new();
        for topic in TOPICS {
            let count = view
                .findings
                .iter()
                .filter(|f| f.topic == topic && f.verdict == verdict && !f.is_about_nothing())
                .count();
            if count > 0 {
                parts.push(format!("{topic} {count}"));
            }
        }
        if !parts.is_empty() {
            line(
                text,
                &format!("{}: {}", verdict.word(), parts.join(", ")),
                columns,
                "  ",
                "    ",
            );
        }
    }
    for remark in &view.remarks {
        line(text, remark, columns, "  ", "    ");
    }
}

fn closing(text: &mut String, view: &View<'_>, columns: usize, full: bool) {
    heading(text, "SOURCES", columns);
    for (number, source) in view.sources.iter().enumerate() {
        line(text, source, columns, &format!("({}) ", number + 1), "    ");
    }
    heading(text, "CAUTIONS", columns);
    let general = |caution: &Caution| caution.when.iter().any(|word| word == "always");
    for caution in view.cautions.iter().filter(|c| full || !general(c)) {
        line(
            text,
            &format!("{}. {}", caution.title, caution.text),
            columns,
            "- ",
            "  ",
        );
    }
    if !full {
        let titles: Vec<&str> = view
            .cautions
            .iter()
            .filter(|c| general(c))
            .map(|c| c.title.as_str())
            .collect();
        let words = format!(
            "And, in full in the reports or with --full: {}.",
            titles.join("; ")
        );
        line(text, &words, columns, "- ", "  ");
    }
}

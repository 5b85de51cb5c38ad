//! The screen: what to do first, the findings by topic, the quiet ones counted, the cautions named. Eighty columns.

use super::cautions::Caution;
use super::month::parts;
use super::screen::Screen;
use super::urgent::NOTHING_OPEN;
use super::view::View;
use super::wrap::some_of;
use crate::finding::{Compared, Finding, Verdict};
use crate::pack::TOPICS;

/// Most lines of "do this first".
const FIRST: usize = 7;
/// Most lines of a sort of change, where not everything is asked for.
const CHANGES: usize = 6;
/// Most rows named of a finding.
const ROWS: usize = 4;

/// The audit on the screen; `full` adds the working of every finding that calls for something.
pub fn terminal(view: &View<'_>, columns: usize, full: bool) -> String {
    let mut screen = Screen::new(columns);
    header(&mut screen, view);
    first(&mut screen, view);
    findings(&mut screen, view, full);
    for part in parts(view, if full { usize::MAX } else { CHANGES }) {
        screen.heading(&part.title.to_uppercase());
        for words in &part.lines {
            screen.indented(2, 4, words);
        }
    }
    quiet(&mut screen, view);
    closing(&mut screen, view, full);
    screen.done()
}

fn header(screen: &mut Screen, view: &View<'_>) {
    screen.line(format!(
        "Finishing room of {}, at the close of {}",
        view.shop, view.on
    ));
    screen.line(
        "A screening aid, not a certificate. The authority having jurisdiction, the data sheet of each product and a licensed \
         practitioner come first.",
    );
    for pack in &view.packs {
        screen.indented(
            2,
            4,
            format!("{} ({}): {}", pack.id, pack.jurisdiction, pack.binds),
        );
    }
    if let Some(authority) = &view.authority {
        screen.indented(2, 4, format!("asked: {authority}"));
    }
}

fn first(screen: &mut Screen, view: &View<'_>) {
    screen.heading("DO THIS FIRST");
    let first = view.first(FIRST);
    for (number, (action, subjects, verdict)) in first.list.iter().enumerate() {
        let words = format!("{action} ({}: {})", subjects, verdict.word());
        screen.fill(&words, &format!("{}. ", number + 1), 3);
    }
    if let Some(left) = first.left_out() {
        screen.line(left);
    }
    if first.list.is_empty() {
        screen.line(NOTHING_OPEN);
    }
}

fn findings(screen: &mut Screen, view: &View<'_>, full: bool) {
    screen.heading("FINDINGS");
    let counts = &view.counts;
    let mut words = format!(
        "{} breach, {} cannot be judged, {} near, {} met, {} not in force",
        counts.count(Verdict::Breach),
        counts.count(Verdict::CannotJudge),
        counts.count(Verdict::Near),
        counts.shown(Verdict::Meets),
        counts.count(Verdict::NotInForce),
    );
    if counts.about_nothing > 0 {
        words += &format!(", {} about nothing here", counts.about_nothing);
    }
    if counts.accepted > 0 {
        words += &format!("; {} accepted, and last in its topic", counts.accepted);
    }
    screen.line(words);
    for topic in TOPICS {
        let mut heading = Some(topic);
        for finding in view.open_of(topic) {
            if !full && finding.verdict == Verdict::CannotJudge {
                continue;
            }
            if let Some(topic) = heading.take() {
                screen.whole(&format!("\n{topic}"));
            }
            one(screen, view, finding, full);
        }
    }
    if !full {
        unknown(screen, view);
    }
}

/// What cannot be judged, each missing fact once, with the rules that wait for it.
fn unknown(screen: &mut Screen, view: &View<'_>) {
    let mut facts: Vec<(&str, Vec<String>)> = Vec::new();
    let unknown = view.findings.iter();
    for finding in unknown.filter(|f| f.verdict == Verdict::CannotJudge) {
        let rule = format!("{}/{}", finding.pack, finding.rule);
        match facts.iter_mut().find(|(fact, _)| *fact == finding.observed) {
            Some((_, rules)) => rules.push(rule),
            None => facts.push((&finding.observed, vec![rule])),
        }
    }
    if !facts.is_empty() {
        screen.heading("NOT KNOWN, AND SO NOT JUDGED");
    }
    for (fact, mut rules) in facts {
        rules.dedup();
        let rules: Vec<&str> = rules.iter().map(String::as_str).collect();
        screen.item("- ", format!("{fact} [{}]", some_of(&rules, 3)));
    }
}

fn one(screen: &mut Screen, view: &View<'_>, finding: &Finding, full: bool) {
    let asked = match (&finding.limit, finding.compared.as_ref()) {
        (limit, _) if limit.is_empty() => String::new(),
        (limit, Some(Compared::Plain { .. })) => format!("; asked: {limit}"),
        (limit, _) => format!("; limit {limit}"),
    };
    let head = format!(
        "{}, {}: {}: {}{asked}{}",
        finding.verdict.word().to_uppercase(),
        finding.severity.word(),
        finding.subject.id,
        finding.observed,
        marks(finding)
    );
    screen.indented(2, 6, head);
    let number = view.source(finding);
    let number = number.map_or_else(String::new, |n| format!(" ({n})"));
    let cited = format!(
        "{} [{}/{}, {}{number}]",
        finding.title, finding.pack, finding.rule, finding.citation.clause
    );
    screen.indented(6, 6, cited);
    for said in &finding.said {
        screen.indented(6, 6, said);
    }
    if full {
        for (number, step) in finding.working.iter().enumerate() {
            screen.fill(step, &format!("      {}. ", number + 1), 9);
        }
        screen.indented(6, 6, format!("Why: {}", finding.why));
        screen.indented(6, 6, format!("Do: {}", finding.action));
        if let Some(note) = &finding.citation.note {
            screen.indented(6, 6, format!("Note: {note}"));
        }
    }
    let places = view.places(finding);
    if !places.is_empty() {
        screen.indented(6, 6, format!("see {}", some_of(&places, ROWS)));
    }
}

fn marks(finding: &Finding) -> String {
    let mut marks: Vec<String> = Vec::new();
    marks.extend(finding.margin.clone());
    for (is, mark) in [
        (finding.unconfirmed, "unconfirmed"),
        (finding.local, "local limit"),
        (finding.tightest, "the tighter of the packs"),
        (finding.advisory, "advice here"),
    ] {
        marks.extend(is.then(|| mark.to_string()));
    }
    if let Some(accepted) = &finding.accepted {
        let lapsed = if accepted.lapsed { "; LAPSED" } else { "" };
        marks.push(format!(
            "accepted by {} until {} ({}){lapsed}",
            accepted.by, accepted.until, accepted.why
        ));
    }
    marks.iter().map(|mark| format!(", {mark}")).collect()
}

fn quiet(screen: &mut Screen, view: &View<'_>) {
    screen.heading("QUIET");
    for verdict in [Verdict::Meets, Verdict::NotInForce] {
        let mut parts = Vec::new();
        for topic in TOPICS {
            let of_topic = view.findings.iter().filter(|f| f.topic == topic);
            let count = of_topic
                .filter(|f| f.verdict == verdict && !f.is_about_nothing())
                .count();
            if count > 0 {
                parts.push(format!("{topic} {count}"));
            }
        }
        if !parts.is_empty() {
            screen.indented(2, 4, format!("{}: {}", verdict.word(), parts.join(", ")));
        }
    }
    for remark in &view.remarks {
        screen.indented(2, 4, remark);
    }
}

fn closing(screen: &mut Screen, view: &View<'_>, full: bool) {
    screen.heading("SOURCES");
    for (number, source) in view.sources.iter().enumerate() {
        screen.fill(source, &format!("({}) ", number + 1), 4);
    }
    screen.heading("CAUTIONS");
    let always = |caution: &&&Caution| caution.when.iter().any(|word| word == "always");
    let (general, own): (Vec<&&Caution>, Vec<&&Caution>) = view.cautions.iter().partition(always);
    let shown: Vec<&&Caution> = if full {
        view.cautions.iter().collect()
    } else {
        own
    };
    for caution in shown {
        screen.item("- ", format!("{}. {}", caution.title, caution.text));
    }
    if !full {
        let titles: Vec<&str> = general
            .iter()
            .map(|caution| caution.title.as_str())
            .collect();
        screen.item(
            "- ",
            format!(
                "And, in full in the reports or with --full: {}.",
                titles.join("; ")
            ),
        );
    }
}

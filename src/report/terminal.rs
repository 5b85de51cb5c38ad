//! The audit on the screen: in short, or in full with the working, the reason and the sources of every open finding.

use super::finding_details::{FindingDetail, details, labelled};
use super::month::parts;
use super::one_screen::one_screen;
use super::screen::Screen;
use super::statements::{NOTHING_OPEN, SCREENING};
use super::view::View;
use super::words::{count_words, date, verdict_words};
use super::wrap::some_of;
use crate::finding::{Finding, Verdict};
use crate::pack::TOPICS;
use crate::text::capital;

/// Most rows named of a finding.
const ROWS: usize = 4;

/// The audit on one screen; `full` shows all of it. `reports` is the folder of the reports that were written.
pub fn terminal(view: &View<'_>, columns: usize, full: bool, reports: Option<&str>) -> String {
    if !full {
        return one_screen(view, columns, reports);
    }
    let mut screen = Screen::new(columns);
    header(&mut screen, view);
    to_do(&mut screen, view);
    findings(&mut screen, view);
    for part in parts(view, usize::MAX) {
        screen.heading(&part.title.to_uppercase());
        for words in &part.lines {
            screen.indented(2, 4, words);
        }
    }
    quiet(&mut screen, view);
    closing(&mut screen, view);
    screen.done()
}

fn header(screen: &mut Screen, view: &View<'_>) {
    screen.line(format!(
        "Finishing room of {}, at the end of {}",
        view.shop,
        date(view.on)
    ));
    screen.line(&view.to_do.headline);
    screen.gap();
    screen.line(SCREENING);
    for pack in &view.packs {
        screen.indented(
            2,
            4,
            format!("{} ({}): {}", pack.id, pack.jurisdiction, pack.binds),
        );
    }
    if let Some(authority) = &view.authority {
        screen.indented(2, 4, format!("Your authority: {authority}"));
    }
}

fn to_do(screen: &mut Screen, view: &View<'_>) {
    screen.heading("WHAT TO DO");
    let mut number = 0;
    for (title, lines) in view.to_do.parts() {
        if !lines.is_empty() {
            screen.whole(title);
        }
        for line in lines {
            number += 1;
            let notes = match line.notes() {
                notes if notes.is_empty() => String::new(),
                notes => format!(" ({notes})"),
            };
            let lead = format!("{number:3}. ");
            screen.fill(&format!("{}{notes}", line.words()), &lead, 5);
            screen.indented(5, 5, &line.law);
        }
    }
    if view.to_do.is_empty() {
        screen.line(NOTHING_OPEN);
    }
}

fn findings(screen: &mut Screen, view: &View<'_>) {
    screen.heading("FINDINGS");
    screen.line(format!("{}.", capital(&count_words(&view.counts))));
    for topic in TOPICS {
        let mut heading = Some(topic);
        for finding in view.open_of(topic) {
            if let Some(topic) = heading.take() {
                screen.whole(&format!("\n{}", capital(topic)));
            }
            one(screen, view, finding);
        }
    }
}

fn one(screen: &mut Screen, view: &View<'_>, finding: &Finding) {
    let words = view.words(finding);
    let state = words.state.to_uppercase();
    screen.indented(2, 6, format!("{state}: {}", words.fact));
    let number = view.source(finding);
    let number = number.map_or_else(String::new, |number| format!(" ({number})"));
    let source = format!("{}{number}", words.law);
    for detail in details(view, finding, &words, &source) {
        match detail {
            FindingDetail::Text(label, text) => screen.indented(6, 6, labelled(label, &text)),
            FindingDetail::Steps(steps) => {
                for (number, step) in (1..).zip(steps) {
                    screen.fill(step, &format!("      {number}. "), 9);
                }
            }
            FindingDetail::Rows(rows) if rows.is_empty() => {}
            FindingDetail::Rows(rows) => {
                screen.indented(6, 6, format!("Rows: {}", some_of(&rows, ROWS)));
            }
        }
    }
}

fn quiet(screen: &mut Screen, view: &View<'_>) {
    screen.heading("NOTHING TO DO");
    for verdict in [Verdict::Meets, Verdict::NotInForce] {
        let mut parts = Vec::new();
        for topic in TOPICS {
            let of_topic = view.findings.iter().filter(|f| f.rule.topic == topic);
            let count = of_topic
                .filter(|f| f.verdict == verdict && !f.does_not_apply())
                .count();
            if count > 0 {
                parts.push(format!("{topic} {count}"));
            }
        }
        if !parts.is_empty() {
            let words = capital(verdict_words(verdict));
            screen.indented(2, 4, format!("{words}: {}.", parts.join(", ")));
        }
    }
    for remark in &view.remarks {
        screen.indented(2, 4, remark);
    }
}

fn closing(screen: &mut Screen, view: &View<'_>) {
    screen.heading("SOURCES");
    for (number, source) in view.sources.iter().enumerate() {
        screen.fill(source, &format!("({}) ", number + 1), 4);
    }
    screen.heading("CAUTIONS");
    for caution in &view.cautions {
        screen.item("- ", format!("{}. {}", caution.title, caution.text));
    }
}

//! CSV: one finding a row, stable columns. A cell that a spreadsheet would run as a formula is made text.
//!
//! A name gets an apostrophe before it, which a spreadsheet takes for "this is text"; a figure below zero gets the minus sign
//! of print, `−4 F`, so that it stays readable. Where there is more than ASCII the table begins with a byte-order mark,
//! without which some spreadsheets would not read it as UTF-8.

use super::format::Format;
use super::view::View;
use crate::finding::Finding;
use crate::text::clean;
use std::io::{self, Write};

/// The columns, in order.
pub const COLUMNS: [&str; 19] = [
    "verdict",
    "severity",
    "topic",
    "pack",
    "rule",
    "title",
    "subject_kind",
    "subject",
    "observed",
    "limit",
    "margin",
    "document",
    "edition",
    "clause",
    "in_force",
    "seen",
    "action",
    "accepted",
    "evidence",
];

/// What a spreadsheet takes for the beginning of a formula: the half-wide signs, and the wide ones.
const RUNS: [char; 11] = [
    '=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}',
];
/// The mark that says UTF-8.
const UTF_8: &str = "\u{feff}";

/// A cell that no spreadsheet runs. Lines stay lines.
pub(super) fn inert(text: &str) -> String {
    let shown = if text.contains('\n') {
        let lines: Vec<String> = text.split('\n').map(clean).collect();
        lines.join("\n")
    } else {
        clean(text)
    };
    let first = text.trim_start_matches(' ').chars().next();
    match first {
        Some(first) if RUNS.contains(&first) => format!("'{shown}"),
        Some(_) | None => shown,
    }
}

/// A figure that no spreadsheet runs, still to be read as one.
fn figure(text: &str) -> String {
    let below = text
        .strip_prefix('-')
        .filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    below.map_or_else(|| inert(text), |rest| format!("\u{2212}{}", inert(rest)))
}

/// `DAY-audit.csv`.
pub struct Csv;

impl Format for Csv {
    fn extension(&self) -> &'static str {
        "csv"
    }

    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> io::Result<()> {
        let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
        writer.write_record(COLUMNS)?;
        for finding in view.findings {
            let evidence = inert(&view.places(finding).join(" "));
            writer.write_record(cells(finding).iter().chain([&evidence]))?;
        }
        let table = writer.into_inner().map_err(|fault| fault.into_error())?;
        if !table.is_ascii() {
            out.write_all(UTF_8.as_bytes())?;
        }
        out.write_all(&table)
    }
}

/// Every cell of a finding but its evidence.
fn cells(finding: &Finding) -> [String; 18] {
    let cited = &finding.citation;
    let accepted = finding.accepted.as_ref().map_or_else(String::new, |a| {
        let lapsed = if a.lapsed { ", lapsed" } else { "" };
        format!("{} until {}{lapsed}", a.by, a.until)
    });
    [
        finding.verdict.word().into(),
        finding.severity.word().into(),
        finding.rule.topic.into(),
        inert(&finding.rule.pack),
        inert(&finding.rule.id),
        inert(&finding.rule.title),
        finding.subject.kind.word().into(),
        inert(&finding.subject.id),
        figure(&finding.observed),
        figure(&finding.limit),
        figure(finding.margin.as_deref().unwrap_or("")),
        inert(&cited.document),
        inert(&cited.edition),
        inert(&cited.clause),
        cited.in_force.map_or(String::new(), |day| day.to_string()),
        cited.seen.word().into(),
        inert(&finding.action),
        inert(&accepted),
    ]
}

#[cfg(test)]
mod tests {
    use super::{figure, inert};

    #[test]
    fn nothing_runs_and_everything_can_be_read() {
        for name in [
            "=1+1",
            "+1",
            "-1",
            "@x",
            "\t=1",
            "\r=1",
            "\n=1",
            " =1",
            "\u{ff1d}1",
        ] {
            let cell = inert(name);
            assert!(cell.starts_with('\''), "{name:?}: {cell:?}");
        }
        assert_eq!(inert("-1"), "'-1");
        assert_eq!(
            inert("\u{5e9}\u{5de} \u{1fab5}\u{fe0f}, \"a\"\nb"),
            "\u{5e9}\u{5de} \u{1fab5}\u{fe0f}, \"a\"\nb"
        );
        assert_eq!(figure("-4 F"), "\u{2212}4 F");
        assert_eq!(figure("4 F"), "4 F");
        assert_eq!(figure("-cmd"), "'-cmd", "no figure");
        assert_eq!(figure("1-2 F"), "1-2 F");
    }
}

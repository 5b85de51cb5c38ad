//! CSV: one finding a row, stable columns. A cell that a spreadsheet would run as a formula is made text.
//!
//! A name gets an apostrophe before it, which a spreadsheet takes for "this is text"; a figure below zero gets the minus sign
//! of print, `−4 F`, so that it stays readable. Where there is more than ASCII the table begins with a byte-order mark,
//! without which some spreadsheets would not read it as UTF-8.

use super::view::View;
use crate::text::clean;

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
/// Columns that hold figures.
const FIGURES: std::ops::RangeInclusive<usize> = 8..=10;
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

/// The findings as CSV; an error of the writer cannot happen in memory, and would leave the table short.
pub fn rows(view: &View<'_>) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for finding in view.findings {
        let cited = &finding.citation;
        let accepted = finding.accepted.as_ref().map_or_else(String::new, |a| {
            format!(
                "{} until {}{}",
                a.by,
                a.until,
                if a.lapsed { ", lapsed" } else { "" }
            )
        });
        let evidence = view.places(finding);
        let cells = [
            finding.verdict.word(),
            finding.severity.word(),
            finding.topic,
            &finding.pack,
            &finding.rule,
            &finding.title,
            finding.subject.kind.word(),
            &finding.subject.id,
            &finding.observed,
            &finding.limit,
            finding.margin.as_deref().unwrap_or(""),
            &cited.document,
            &cited.edition,
            &cited.clause,
            &cited
                .in_force
                .map(|day| day.to_string())
                .unwrap_or_default(),
            cited.seen.word(),
            &finding.action,
            &accepted,
            &evidence.join(" "),
        ];
        let cells = cells.iter().enumerate();
        let safe = cells.map(|(at, cell)| match FIGURES.contains(&at) {
            true => figure(cell),
            false => inert(cell),
        });
        writer.write_record(safe.collect::<Vec<String>>())?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|fault| csv::Error::from(fault.into_error()))?;
    let table = String::from_utf8_lossy(&bytes);
    Ok(if table.is_ascii() {
        table.into_owned()
    } else {
        format!("{UTF_8}{table}")
    })
}

#[cfg(test)]
mod tests {
    use super::{COLUMNS, FIGURES, figure, inert};

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
        let figures: Vec<&str> = FIGURES.filter_map(|at| COLUMNS.get(at).copied()).collect();
        assert_eq!(figures, ["observed", "limit", "margin"]);
    }
}

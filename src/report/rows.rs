//! CSV: one finding a row, stable columns. A cell that a spreadsheet would run as a formula is made text.

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

/// A cell that no spreadsheet runs.
pub(super) fn inert(text: &str) -> String {
    let text = clean(text);
    match text.chars().next() {
        Some('=' | '+' | '-' | '@' | '\t' | '\r') => format!("'{text}"),
        Some(_) | None => text,
    }
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
        writer.write_record(cells.map(inert))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|fault| csv::Error::from(fault.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

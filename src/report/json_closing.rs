//! The list of an evening for programs: one object, keys that stay.

use super::json::{FORMAT, Value, amount};
use crate::check::Closing;
use crate::text::Files;
use serde::Serialize;

#[derive(Serialize)]
struct Report<'a> {
    format: u32,
    at: String,
    shop: &'a str,
    open: usize,
    lines: Vec<LineOut<'a>>,
    caution: &'static str,
}

#[derive(Serialize)]
struct LineOut<'a> {
    standing: &'static str,
    about: &'static str,
    subject: &'a str,
    place: &'a str,
    amount: Option<Value>,
    since: Option<String>,
    observed: &'a str,
    action: &'a str,
    commands: &'a [String],
    evidence: Vec<String>,
}

/// The list as JSON text, one object, ending with a line break.
pub fn closing_json(
    shop: &str,
    closing: &Closing,
    files: &Files,
) -> Result<String, serde_json::Error> {
    let lines = closing.lines.iter().map(|line| LineOut {
        standing: line.standing.word(),
        about: line.about.word(),
        subject: &line.subject,
        place: &line.place,
        amount: line.amount.map(amount),
        since: line.since.map(|since| since.to_string()),
        observed: &line.observed,
        action: &line.action,
        commands: &line.commands,
        evidence: line
            .evidence
            .iter()
            .map(|place| {
                let at = files.locate(*place);
                at.line
                    .map_or(at.name.clone(), |line| format!("{}:{line}", at.name))
            })
            .collect(),
    });
    let report = Report {
        format: FORMAT,
        at: closing.at.to_string(),
        shop,
        open: closing.open(),
        lines: lines.collect(),
        caution: "no rag and no room is shown to be safe by this list",
    };
    serde_json::to_string_pretty(&report).map(|text| text + "\n")
}

//! The list of an evening for programs: one object, keys that stay.

use super::super::earlier::FORMAT;
use super::object::{amount, list, object, text, to_text};
use crate::check::{Closing, ClosingLine};
use crate::text::Files;
use serde::Serialize;

/// The list as JSON text, one object, ending with a line break.
pub fn closing_json(
    shop: &str,
    closing: &Closing,
    files: &Files,
) -> Result<String, serde_json::Error> {
    let report = object("format", FORMAT)
        .and("at", closing.at.to_string())
        .and("shop", shop)
        .and("open", closing.open())
        .and(
            "lines",
            list(|| closing.lines.iter().map(|it| line(it, files))),
        )
        .and(
            "caution",
            "this list does not show that a rag or a room is safe",
        );
    to_text(&report)
}

fn line<'a>(line: &'a ClosingLine, files: &'a Files) -> impl Serialize {
    object("standing", line.standing.word())
        .and("about", line.about.word())
        .and("subject", &line.subject)
        .and("place", &line.place)
        .and("amount", line.amount.map(amount))
        .and("since", text(line.since))
        .and("observed", &line.observed)
        .and("action", &line.action)
        .and("commands", &line.commands)
        .and(
            "evidence",
            list(|| line.evidence.iter().map(|at| files.row_name(*at))),
        )
}

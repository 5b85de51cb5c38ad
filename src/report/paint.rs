//! Colour over a screen report that is laid out already: no width changes, and no word hangs on a colour.

use anstyle::{AnsiColor, Style};
use std::fmt::Write;

const HEADING: Style = Style::new().bold();

/// What the line of a finding or action begins with, and how that is shown.
const STATES: [(&str, Style); 9] = [
    ("BELOW THE MINIMUM", AnsiColor::Red.on_default().bold()),
    ("OVER THE LIMIT", AnsiColor::Red.on_default().bold()),
    ("NOT MET", AnsiColor::Red.on_default().bold()),
    ("OVERDUE", AnsiColor::Red.on_default().bold()),
    ("UNKNOWN", AnsiColor::Magenta.on_default().bold()),
    ("CLOSE TO THE LIMIT", AnsiColor::Yellow.on_default().bold()),
    (
        "CLOSE TO THE MINIMUM",
        AnsiColor::Yellow.on_default().bold(),
    ),
    ("NEEDS ATTENTION", AnsiColor::Yellow.on_default().bold()),
    ("DUE", AnsiColor::Yellow.on_default().bold()),
];

/// The titles of the lists on the short report.
const LISTS: [(&str, Style); 4] = [
    ("Now  ", AnsiColor::Red.on_default().bold()),
    ("Today  ", AnsiColor::Yellow.on_default().bold()),
    ("This week  ", HEADING),
    ("Find out  ", HEADING),
];

/// The same text with colours for a terminal.
pub fn paint(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 16);
    for line in text.split_inclusive('\n') {
        one(&mut out, line);
    }
    out
}

fn one(out: &mut String, line: &str) {
    let bare = line.trim_end_matches('\n');
    let end = &line[bare.len()..];
    if bare.ends_with('─') {
        let _ = write!(out, "{HEADING}{bare}{HEADING:#}{end}");
        return;
    }
    for (title, style) in LISTS {
        if let Some(rest) = bare.strip_prefix(title) {
            let _ = write!(out, "{style}{}{style:#}  {rest}{end}", title.trim_end());
            return;
        }
    }
    // Two spaces and no more: what goes on from a line before stands further in.
    let head = bare
        .strip_prefix("  ")
        .filter(|rest| !rest.starts_with(' '));
    for (word, style) in STATES {
        if let Some(rest) = head.and_then(|head| head.strip_prefix(word))
            && rest.starts_with([':', ' '])
        {
            let _ = write!(out, "  {style}{word}{style:#}{rest}{end}");
            return;
        }
    }
    out.push_str(line);
}

#[cfg(test)]
mod tests {
    use super::paint;

    fn bare(text: &str) -> String {
        let mut out = String::new();
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('\u{1b}') {
            out.push_str(before);
            rest = after.split_once('m').unwrap().1;
        }
        out + rest
    }

    #[test]
    fn only_colours_are_added() {
        let text = "Shop\nNow         1. Put\n\nFINDINGS ───\n\nRags\n  NOT MET: R-1\n      NOT MET: no\n  OVER THE LIMIT (limit not confirmed): x\n  \
                    UNKNOWN: y\n  DUES of trust\n  OVERDUE: 1. Fix it\n  the end";
        let painted = paint(text);
        assert_eq!(bare(&painted), text);
        assert_eq!(painted.matches("\u{1b}[0m").count(), 6);
        assert!(painted.contains("  \u{1b}[1m\u{1b}[31mNOT MET\u{1b}[0m: R-1\n"));
        assert!(painted.contains("      NOT MET: no") && painted.contains("  DUES"));
    }
}

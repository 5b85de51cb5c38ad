//! Colour over a screen report that is laid out already: no width changes, and no word hangs on a colour.

use anstyle::{AnsiColor, Style};
use std::fmt::Write;

const HEADING: Style = Style::new().bold();

/// What a finding's line begins with, and how that is shown.
const VERDICTS: [(&str, Style); 3] = [
    ("BREACH", AnsiColor::Red.on_default().bold()),
    ("CANNOT-JUDGE", AnsiColor::Magenta.on_default().bold()),
    ("NEAR", AnsiColor::Yellow.on_default().bold()),
];

const LATE: Style = AnsiColor::Red.on_default().bold();

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
    // Two spaces and no more: what goes on from a line before stands further in.
    let head = bare
        .strip_prefix("  ")
        .filter(|rest| !rest.starts_with(' '));
    for (word, style) in VERDICTS {
        if let Some(rest) = head.and_then(|head| head.strip_prefix(word))
            && rest.starts_with(',')
        {
            let _ = write!(out, "  {style}{word}{style:#}{rest}{end}");
            return;
        }
    }
    match head.and_then(|head| head.split_once(", LATE: ")) {
        Some((name, rest)) => {
            let _ = write!(out, "  {name}, {LATE}LATE{LATE:#}: {rest}{end}");
        }
        None => out.push_str(line),
    }
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
        let text = "Shop\n\nFINDINGS ───\n\nrags\n  BREACH, must: R-1\n      BREACH, no\n  NEAR, must: x\n  CANNOT-JUDGE, \
                    must\n  BREACHES of trust\n  1, LATE: mend it\n  the end";
        let painted = paint(text);
        assert_eq!(bare(&painted), text);
        assert_eq!(painted.matches("\u{1b}[0m").count(), 5);
        assert!(painted.contains("  \u{1b}[1m\u{1b}[31mBREACH\u{1b}[0m, must: R-1\n"));
        assert!(painted.contains("      BREACH, no\n") && painted.contains("  BREACHES"));
    }
}

//! Problems on the screen: place, line, caret, help.

use super::file::Files;
use super::problem::{Problem, Problems};
use super::unseen::clean;
use super::words::words;
use std::fmt::Write;

/// As much of a long line as is shown around the caret.
const WINDOW: usize = 110;
/// As many letters of a sentence, and of what helps, as are shown: a cell it quotes may be of any length.
const SENTENCE: usize = 600;

/// All problems, one after another, and how many were left out.
pub fn show_all(problems: &Problems, files: &Files) -> String {
    show_all_and(problems, files, "nothing was audited")
}

/// As [`show_all`], with what was not done because of them.
pub fn show_all_and(problems: &Problems, files: &Files, undone: &str) -> String {
    let mut text = String::new();
    for problem in problems.sorted() {
        text.push_str(&show_one(problem, files));
        text.push('\n');
    }
    if problems.more() > 0 {
        let _ = writeln!(
            text,
            "… and {} more problems that are not shown\n",
            problems.more()
        );
    }
    let count = problems.count();
    let _ = writeln!(
        text,
        "{count} {}; {undone}",
        if count == 1 { "problem" } else { "problems" }
    );
    text
}

/// One problem with its line and a caret.
pub fn show_one(problem: &Problem, files: &Files) -> String {
    let (what, help) = words(&problem.code);
    let at = files.locate(problem.at);
    let mut text = format!("error[{}]: {}\n", problem.code.name(), short(&what));
    let margin = at.line.map_or(1, |line| line.to_string().len());
    match at.line {
        None => {
            let _ = writeln!(text, "{:margin$}--> {}", "", clean(&at.name));
        }
        Some(line) => {
            let (shown, before, width) = clip(&at.text, at.before, at.width);
            let _ = writeln!(
                text,
                "{:margin$}--> {}:{line}:{}",
                "",
                clean(&at.name),
                at.column
            );
            let _ = writeln!(text, "{:margin$} |", "");
            let _ = writeln!(text, "{line} | {shown}");
            let _ = writeln!(text, "{:margin$} | {:before$}{}", "", "", "^".repeat(width));
        }
    }
    if let Some(see) = problem.see {
        let other = files.locate(see);
        let line = other
            .line
            .map_or(String::new(), |line| format!(":{line}:{}", other.column));
        let _ = writeln!(text, "{:margin$} = see: {}{line}", "", clean(&other.name));
    }
    let _ = writeln!(text, "{:margin$} = help: {}", "", short(&help));
    text
}

/// A sentence without what steers a terminal, cut where it grows too long.
fn short(text: &str) -> String {
    match text.char_indices().nth(SENTENCE) {
        Some((end, _)) => format!("{}…", clean(text.get(..end).unwrap_or_default())),
        None => clean(text),
    }
}

/// The part of a long line around the caret, and where the caret then stands.
fn clip(line: &str, before: usize, width: usize) -> (String, usize, usize) {
    let line = clean(line);
    let length = line.chars().count();
    if length <= WINDOW {
        return (line, before, width);
    }
    let from = before
        .saturating_sub(WINDOW / 2)
        .min(length - WINDOW.min(length));
    let mut shown: String = line.chars().skip(from).take(WINDOW).collect();
    if from + WINDOW < length {
        shown.push('…');
    }
    let lead = usize::from(from > 0);
    if lead == 1 {
        shown.insert(0, '…');
    }
    (
        shown,
        before.saturating_sub(from) + lead,
        width.min(WINDOW / 2),
    )
}

//! The list of an evening on the screen: what is open, what is warned of, what is accounted for.

use super::wrap::{fill, width};
use crate::check::{Account, Closing, ClosingLine, ClosingTopic};
use crate::text::clean;
use std::fmt::Write;

/// Said under every list, short or long.
const NOTHING_IS_SHOWN_SAFE: &str = "What is accounted for is where somebody wrote that it is; no rag and no room is shown to be safe by \
     this. A screening aid: the local code and the fire service come first.";

/// The whole list; `from` is the folder of the shop where the commands would have to name it.
pub fn closing_screen(shop: &str, closing: &Closing, from: Option<&str>, columns: usize) -> String {
    let mut text = String::new();
    let at = closing.at;
    let head = format!(
        "Closing time of {}, on {} at {}",
        clean(shop),
        at.day(),
        at.clock()
    );
    let _ = writeln!(text, "{}", fill(&head, columns, "", ""));
    let of = |standing| {
        let lines = closing.lines.iter();
        let lines = lines.filter(move |line| line.standing == standing);
        lines.collect::<Vec<_>>()
    };
    let open = of(Account::Open);
    heading(
        &mut text,
        &format!("NOT ACCOUNTED FOR: {}", open.len()),
        columns,
    );
    for (number, line) in open.iter().enumerate() {
        full(&mut text, line, &format!("{}. ", number + 1), columns);
    }
    if open.is_empty() {
        let words = "Nothing that this list asks for is open.";
        let _ = writeln!(text, "{}", fill(words, columns, "", ""));
    }
    let warned = of(Account::Warned);
    if !warned.is_empty() {
        heading(&mut text, "WARNINGS", columns);
        for line in warned {
            full(&mut text, line, "- ", columns);
        }
    }
    let accounted = of(Account::Accounted);
    if !accounted.is_empty() {
        heading(&mut text, "ACCOUNTED FOR", columns);
        for line in accounted {
            let words = format!("{}: {}", line.subject, line.observed);
            let _ = writeln!(text, "{}", fill(&clean(&words), columns, "- ", "  "));
        }
    }
    if let Some(from) = from.filter(|_| !open.is_empty()) {
        let words =
            format!("Elsewhere than in the folder of the shop, add to each command: --shop {from}");
        let _ = writeln!(text, "\n{}", fill(&clean(&words), columns, "", ""));
    }
    let _ = writeln!(text, "\n{}", fill(NOTHING_IS_SHOWN_SAFE, columns, "", ""));
    text
}

fn heading(text: &mut String, words: &str, columns: usize) {
    let rule = "─".repeat(columns.saturating_sub(width(words) + 1));
    let _ = writeln!(text, "\n{words} {rule}");
}

/// A line with what to do, and the commands as they stand: to be copied, so never broken.
fn full(text: &mut String, line: &ClosingLine, lead: &str, columns: usize) {
    let rest = " ".repeat(width(lead));
    let words = format!("{}: {}", line.subject, line.observed);
    let _ = writeln!(text, "{}", fill(&clean(&words), columns, lead, &rest));
    let _ = writeln!(
        text,
        "{}",
        fill(&clean(&line.action), columns, &rest, &rest)
    );
    for (number, command) in line.commands.iter().enumerate() {
        let or = match (number, line.about) {
            (0, _) => "   ",
            // Each container has its own move; rags need only one of the ways.
            (_, ClosingTopic::Bench) => "   ",
            _ => "or ",
        };
        let _ = writeln!(text, "{rest}  {or}{}", clean(command));
    }
}

/// One line for a prompt, where something is open; nothing else.
pub fn closing_line(closing: &Closing, columns: usize) -> Option<String> {
    let open: Vec<&ClosingLine> = closing
        .lines
        .iter()
        .filter(|line| line.standing == Account::Open)
        .collect();
    let first = open.first()?;
    let count = |about| open.iter().filter(|line| line.about == about).count();
    let parts: Vec<String> = [
        (ClosingTopic::OilyRag, "oily rags"),
        (ClosingTopic::Can, "rag can"),
        (ClosingTopic::Rag, "wet rags"),
        (ClosingTopic::Bench, "bench"),
        (ClosingTopic::Question, "not asked"),
    ]
    .into_iter()
    .filter_map(|(about, word)| match count(about) {
        0 => None,
        n => Some(format!("{word} {n}")),
    })
    .collect();
    let first = match first.about {
        ClosingTopic::OilyRag | ClosingTopic::Rag | ClosingTopic::Can => {
            format!("; {} at {}", first.subject, first.place)
        }
        ClosingTopic::Bench | ClosingTopic::Question => String::new(),
    };
    let words = format!("not accounted for: {}{first}", parts.join(", "));
    let short = fill(&clean(&words), columns.saturating_sub(16), "", "");
    let mut lines = short.lines();
    let line = lines.next().unwrap_or("").to_string();
    let more = if lines.next().is_some() { " …" } else { "" };
    Some(format!("{line}{more} (sandarac close)"))
}

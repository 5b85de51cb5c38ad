//! The list of an evening on the screen: what is open, what is warned of, what is accounted for.

use super::screen::Screen;
use super::words::moment;
use super::wrap::{fill, width};
use crate::check::{Account, BENCH_SOURCE, Closing, ClosingLine, ClosingTopic};
use crate::text::clean;

/// Said under every list, short or long.
const NOTHING_IS_SHOWN_SAFE: &str = "This list knows only what was recorded. It does not show that a rag or a room is safe. It is a screening aid: your \
     local code and the fire service come first.";

/// The whole list; `from` is the folder of the shop where the commands would have to name it.
pub fn closing_screen(
    (shop, us): (&str, bool),
    closing: &Closing,
    from: Option<&str>,
    columns: usize,
) -> String {
    let mut screen = Screen::new(columns);
    screen.line(format!(
        "Closing time of {shop}, {}",
        moment(closing.at, us)
    ));
    let that_are = |account| -> Vec<&ClosingLine> {
        let lines = closing.lines.iter();
        lines.filter(|line| line.standing == account).collect()
    };
    let open = that_are(Account::Open);
    screen.heading(&format!("TO DO BEFORE YOU LEAVE: {}", open.len()));
    for (number, line) in open.iter().enumerate() {
        full(&mut screen, line, &format!("{}. ", number + 1));
    }
    if open.iter().any(|line| line.about == ClosingTopic::Bench) {
        screen.indented(
            0,
            0,
            format!("Only a day's supply stays on the bench: {BENCH_SOURCE}."),
        );
    }
    if open.is_empty() {
        screen.line("Nothing on this list is open.");
    }
    let warned = that_are(Account::Warned);
    if !warned.is_empty() {
        screen.heading("WARNINGS");
    }
    for line in warned {
        full(&mut screen, line, "- ");
    }
    let accounted = that_are(Account::Accounted);
    if !accounted.is_empty() {
        screen.heading("DONE");
    }
    for line in accounted {
        screen.item("- ", fact(line));
    }
    if let Some(from) = from.filter(|_| !open.is_empty()) {
        screen.gap();
        screen.line(format!(
            "If you are not in the shop folder, add to each command: --shop {from}"
        ));
    }
    screen.gap();
    screen.line(NOTHING_IS_SHOWN_SAFE);
    screen.done()
}

/// What was found. A question names its room itself, and its id is in the commands.
fn fact(line: &ClosingLine) -> String {
    match line.about {
        ClosingTopic::Question => line.observed.clone(),
        ClosingTopic::OilyRag | ClosingTopic::Can | ClosingTopic::Rag | ClosingTopic::Bench => {
            format!("{}: {}", line.subject, line.observed)
        }
    }
}

/// A line with what to do, and its commands. A command is never broken, so that it can be copied.
fn full(screen: &mut Screen, line: &ClosingLine, lead: &str) {
    let indent = width(lead);
    screen.item(lead, fact(line));
    screen.indented(indent, indent, &line.action);
    for (number, command) in line.commands.iter().enumerate() {
        // Each container has its own move; rags need only one of the ways.
        let one_of_them = number > 0 && line.about != ClosingTopic::Bench;
        let or = if one_of_them { "or " } else { "   " };
        let rest = " ".repeat(indent);
        screen.whole(&format!("{rest}  {or}{}", clean(command)));
    }
}

/// One line for a prompt, where something is open; nothing else.
pub fn closing_line(closing: &Closing, columns: usize) -> Option<String> {
    let lines = closing.lines.iter();
    let open: Vec<&ClosingLine> = lines
        .filter(|line| line.standing == Account::Open)
        .collect();
    let first = open.first()?;
    let sorts = [
        (ClosingTopic::OilyRag, "oily rags"),
        (ClosingTopic::Can, "rag can"),
        (ClosingTopic::Rag, "wet rags"),
        (ClosingTopic::Bench, "bench"),
        (ClosingTopic::Question, "questions"),
    ];
    let counted = sorts.into_iter().filter_map(|(about, word)| {
        let count = open.iter().filter(|line| line.about == about).count();
        (count > 0).then(|| format!("{word} {count}"))
    });
    let counted: Vec<String> = counted.collect();
    let first = match first.about {
        ClosingTopic::OilyRag | ClosingTopic::Rag | ClosingTopic::Can => {
            format!("; {} at {}", first.subject, first.place)
        }
        ClosingTopic::Bench | ClosingTopic::Question => String::new(),
    };
    let words = format!("to do before you leave: {}{first}", counted.join(", "));
    let short = fill(&clean(&words), columns.saturating_sub(16), "", "");
    let mut lines = short.lines();
    let line = lines.next().unwrap_or("");
    let more = if lines.next().is_some() { " …" } else { "" };
    Some(format!("{line}{more} (sandarac close)"))
}

//! The audit on one screen of 24 lines: the worst fact, what to do as far as it fits, the counts. It leaves the rest to the
//! full report and says so.

use super::screen::Screen;
use super::view::View;
use super::words::{ActionLine, count_words, date};
use super::wrap::fill;

/// Lines of a usual terminal, less the one in which the next command is typed.
const LINES: usize = 23;
/// Columns for the title of a list.
const TITLE: usize = 11;

/// The short report; `reports` is the folder of the reports that were written, if any were.
pub(super) fn one_screen(view: &View<'_>, columns: usize, reports: Option<&str>) -> String {
    let head = head(view, columns);
    let foot = foot(view, columns, reports);
    let used = head.lines().count() + foot.lines().count() + 2;
    let list = list(view, columns, LINES.saturating_sub(used));
    if list.is_empty() {
        return format!("{head}\n{foot}");
    }
    format!("{head}\n{list}\n{foot}")
}

fn head(view: &View<'_>, columns: usize) -> String {
    let mut screen = Screen::new(columns);
    screen.line(format!("{}, {}", view.shop, date(view.on)));
    screen.line(&view.to_do.headline);
    screen.done()
}

fn foot(view: &View<'_>, columns: usize, reports: Option<&str>) -> String {
    let mut screen = Screen::new(columns);
    let mut counts = format!("Rules: {}.", count_words(&view.counts));
    if let Some((_, day)) = view.against.earlier {
        counts += &format!(
            " Since {}: {} new, {} cleared.",
            date(day),
            view.against.new.len(),
            view.against.cleared.len()
        );
    }
    screen.line(counts);
    let rest = match reports {
        Some(folder) => format!("To see everything: --full, or the reports in {folder}."),
        None => "To see everything: --full.".to_string(),
    };
    screen.line(format!(
        "A screening aid only: local codes, data sheets and your authority come first. {rest}"
    ));
    screen.done()
}

/// As many lines of the lists as fit. Each list shows its first line at least, so that none is hidden by a longer one.
fn list(view: &View<'_>, columns: usize, most: usize) -> String {
    let parts = view.to_do.parts();
    let all: usize = parts.iter().map(|(_, lines)| lines.len()).sum();
    let shown = |number: usize, title: &str, line: &ActionLine| {
        let lead = format!("{title:TITLE$}{number:2}. ");
        let rest = " ".repeat(TITLE + 4);
        fill(&short(line), columns, &lead, &rest)
    };
    let height = |text: &str| text.lines().count();
    let least: Vec<usize> = parts
        .iter()
        .map(|(title, lines)| {
            lines
                .first()
                .map_or(0, |line| height(&shown(1, title, line)))
        })
        .collect();
    let (mut text, mut used, mut number, mut written) = (String::new(), 0, 0, 0);
    for (at, (title, lines)) in parts.iter().enumerate() {
        let later: usize = least.iter().skip(at + 1).sum();
        for (place, line) in lines.iter().enumerate() {
            let title = if place == 0 { title } else { "" };
            let words = shown(number + 1 + place, title, line);
            // One line is kept for the number of those that are left out.
            let left_out = usize::from(written + 1 < all);
            if place > 0 && used + height(&words) + later + left_out > most {
                break;
            }
            used += height(&words);
            written += 1;
            text.push_str(&words);
            text.push('\n');
        }
        number += lines.len();
    }
    if written < all {
        let more = all - written;
        text.push_str(&format!("{:TITLE$}and {more} more: --full\n", ""));
    }
    text
}

/// What to do, who undertook it, and by when.
fn short(line: &ActionLine) -> String {
    match line.notes() {
        notes if notes.is_empty() => line.text.clone(),
        notes => format!("{} ({notes})", line.text),
    }
}

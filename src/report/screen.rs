//! Text for a screen of some width: paragraphs, headings and tables. Nothing that comes from a file steers the terminal.

use super::table::table;
use super::wrap::{fill, width};
use crate::text::clean;

/// A screen that is being written.
pub(super) struct Screen {
    text: String,
    columns: usize,
}

impl Screen {
    pub(super) fn new(columns: usize) -> Screen {
        let text = String::new();
        Screen { text, columns }
    }

    /// A paragraph from edge to edge.
    pub(super) fn line(&mut self, words: impl AsRef<str>) {
        self.indented(0, 0, words);
    }

    /// A paragraph whose first line begins so far in, and its others so far.
    pub(super) fn indented(&mut self, first: usize, others: usize, words: impl AsRef<str>) {
        self.fill(words.as_ref(), &" ".repeat(first), others);
    }

    /// A paragraph behind a number or a dash; its lines stand under one another.
    pub(super) fn item(&mut self, lead: &str, words: impl AsRef<str>) {
        self.fill(words.as_ref(), lead, width(lead));
    }

    /// A paragraph behind a lead, whose other lines begin so far in.
    pub(super) fn fill(&mut self, words: &str, lead: &str, others: usize) {
        let others = " ".repeat(others);
        let filled = fill(&clean(words), self.columns, lead, &others);
        self.whole(&filled);
    }

    /// A line that is never broken, such as a command to be copied.
    pub(super) fn whole(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// Cells put together already: as they are where they fit, else as a paragraph.
    pub(super) fn row(&mut self, cells: &str) {
        let cells = cells.trim_end();
        if width(cells) <= self.columns {
            self.whole(cells);
        } else {
            self.indented(0, 4, cells);
        }
    }

    /// A heading with a rule to the edge.
    pub(super) fn heading(&mut self, words: &str) {
        let rule = "─".repeat(self.columns.saturating_sub(width(words) + 1));
        self.whole(&format!("\n{words} {rule}"));
    }

    /// An empty line.
    pub(super) fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A table as wide as the screen at most.
    pub(super) fn table(&mut self, head: &[&str], rows: &[Vec<String>]) {
        self.whole(&table(head, rows, self.columns));
    }

    /// How many columns the screen has.
    pub(super) fn columns(&self) -> usize {
        self.columns
    }

    /// All that was written.
    pub(super) fn done(self) -> String {
        self.text
    }
}

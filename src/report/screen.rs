//! Text for a screen of some width: paragraphs, headings and tables. Nothing that comes from a file steers the terminal.

use super::columns::{Listing, Medium};
use super::table::table;
use super::wrap::{fill, width};
use crate::text::clean;

/// A screen that is being written.
pub struct Screen {
    text: String,
    columns: usize,
}

impl Screen {
    /// An empty screen of this many columns.
    pub fn new(columns: usize) -> Screen {
        let text = String::new();
        Screen { text, columns }
    }

    /// A paragraph from edge to edge.
    pub fn line(&mut self, words: impl AsRef<str>) {
        self.indented(0, 0, words);
    }

    /// A paragraph with an indent for its first line and one for the others.
    pub fn indented(&mut self, first: usize, others: usize, words: impl AsRef<str>) {
        self.fill(words.as_ref(), &" ".repeat(first), others);
    }

    /// A paragraph behind a number or a dash, with its lines aligned.
    pub fn item(&mut self, lead: &str, words: impl AsRef<str>) {
        self.fill(words.as_ref(), lead, width(lead));
    }

    /// A paragraph behind a lead, with an indent for its other lines.
    pub(super) fn fill(&mut self, words: &str, lead: &str, others: usize) {
        let others = " ".repeat(others);
        let filled = fill(&clean(words), self.columns, lead, &others);
        self.whole(&filled);
    }

    /// A line that is never broken, such as a command to be copied.
    pub fn whole(&mut self, line: &str) {
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
    pub fn gap(&mut self) {
        self.text.push('\n');
    }

    /// A table as wide as the screen at most.
    pub(super) fn table(&mut self, head: &[&str], rows: &[Vec<String>]) {
        self.whole(&table(head, rows, self.columns));
    }

    /// A table that other formats show too.
    pub(super) fn listing<'c, R: 'c>(
        &mut self,
        listing: &Listing<'c, R>,
        rows: impl Iterator<Item = &'c R>,
    ) {
        let columns = || listing.shown_on(Medium::Screen);
        let heads: Vec<String> = columns().map(|column| column.head.to_lowercase()).collect();
        let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
        let cells = |row| columns().map(move |column| (column.cell)(row).text("?"));
        let rows: Vec<Vec<String>> = rows.map(|row| cells(row).collect()).collect();
        self.table(&heads, &rows);
    }

    /// How many columns the screen has.
    pub(super) fn columns(&self) -> usize {
        self.columns
    }

    /// All that was written.
    pub fn done(self) -> String {
        self.text
    }
}

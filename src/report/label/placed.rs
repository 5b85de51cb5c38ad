//! The labels of a print as they are laid out on sheets of paper.

use super::content::Label;
use super::fit::Laid;
use super::sheet::{Grid, LabelSize, Paper};
use crate::quantity::Day;

/// A label that was laid out.
pub struct Placed {
    pub label: Label,
    pub laid: Laid,
}

/// Everything the page shows.
pub struct LabelSheet {
    pub shop: String,
    pub on: Day,
    /// The size of a label.
    pub size: LabelSize,
    pub paper: Paper,
    /// Where labels lie on a sheet.
    pub grid: Grid,
    pub placed: Vec<Placed>,
    /// What whoever prints this must know of sizes and of cards.
    pub warnings: Vec<String>,
    /// Headed paragraphs of the notes.
    pub notes: Vec<(String, Vec<String>)>,
}

impl LabelSheet {
    /// Labels to print.
    pub fn labels(&self) -> usize {
        self.placed.len()
    }

    /// Sheets of labels.
    pub fn sheets(&self) -> usize {
        self.labels().div_ceil(self.grid.each())
    }
}

//! The labels of a print as they are laid out on sheets of paper.

use super::content::Label;
use super::fit::Laid;
use super::sheet::{Grid, LabelSize, Paper};
use crate::quantity::Day;
use std::collections::BTreeSet;

/// A label that was laid out.
pub struct Placed {
    /// What it says.
    pub label: Label,
    /// How it lies.
    pub laid: Laid,
}

/// Everything the page shows.
pub struct LabelSheet {
    /// The shop's name.
    pub shop: String,
    /// The day.
    pub on: Day,
    /// The size of a label.
    pub size: LabelSize,
    /// The paper.
    pub paper: Paper,
    /// Where labels lie on a sheet.
    pub grid: Grid,
    /// The labels.
    pub placed: Vec<Placed>,
    /// What whoever prints this must know of sizes and of what went on to a second label.
    pub warnings: Vec<String>,
    /// Headed paragraphs of the notes.
    pub notes: Vec<(String, Vec<String>)>,
}

impl LabelSheet {
    /// Labels to print, those that go on counted as more than one.
    pub fn labels(&self) -> usize {
        self.placed.iter().map(|p| p.laid.pages.len()).sum()
    }

    /// Sheets of labels.
    pub fn sheets(&self) -> usize {
        self.labels().div_ceil(self.grid.each())
    }

    /// Codes of precautions that some label names without their text, each once.
    pub(super) fn by_code(placed: &[Placed]) -> BTreeSet<&str> {
        placed
            .iter()
            .flat_map(|p| p.label.by_code.iter().map(String::as_str))
            .collect()
    }
}

//! The paper and the label size that a command prints on.

use crate::report::{LabelSize, Paper};
use clap::ValueEnum;

/// A paper.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum PaperArg {
    /// 210 mm x 297 mm.
    A4,
    /// 8.5 in x 11 in.
    Letter,
}

impl PaperArg {
    /// As the report names it.
    pub fn paper(self) -> Paper {
        match self {
            PaperArg::A4 => Paper::A4,
            PaperArg::Letter => Paper::Letter,
        }
    }
}

/// Reads a size given on the command line.
pub fn label_size(text: &str) -> Result<LabelSize, String> {
    LabelSize::parse(text).map_err(|fault| fault.to_string())
}

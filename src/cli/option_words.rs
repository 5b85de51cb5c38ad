//! Options whose values are a few words, or a size.

use crate::pack::Severity;
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

/// The weight from which an open finding makes the exit code 1.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum FailOn {
    /// Only what is required.
    Must,
    /// Also what is recommended.
    Should,
    /// Everything.
    Note,
}

impl FailOn {
    /// As a severity.
    pub fn severity(self) -> Severity {
        match self {
            FailOn::Must => Severity::Must,
            FailOn::Should => Severity::Should,
            FailOn::Note => Severity::Note,
        }
    }
}

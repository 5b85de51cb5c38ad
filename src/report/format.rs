//! What every format of the audit is: the end of its file's name, and how it writes the one neutral view.

use super::view::View;
use crate::quantity::Day;
use std::io::{self, Write};

/// A format of the audit.
pub trait Format: Sync {
    /// What its file's name ends in.
    fn extension(&self) -> &'static str;

    /// Writes the audit as it goes, so that a large one is not held a second time.
    fn write(&self, view: &View<'_>, out: &mut dyn Write) -> io::Result<()>;

    /// The name of its file in the reports of a shop.
    fn file(&self, on: Day) -> String {
        format!("{on}-audit.{}", self.extension())
    }

    /// The audit as text.
    fn text(&self, view: &View<'_>) -> io::Result<String> {
        let mut bytes = Vec::new();
        self.write(view, &mut bytes)?;
        Ok(String::from_utf8_lossy(&bytes).into_owned())
    }
}

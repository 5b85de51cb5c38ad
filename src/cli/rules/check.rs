//! `sandarac rules check`: a pack folder, with its worked cases.

use crate::audit::check_pack;
use crate::cli::{Ended, Failure, style};
use crate::text::{Files, Problems, counted, show_all_and};
use std::path::Path;

/// Checks a pack folder, with its worked cases.
pub(super) fn run(folder: &Path) -> Result<Ended, Failure> {
    let mut files = Files::default();
    let mut problems = Problems::new();
    let result = check_pack(folder, &mut files, &mut problems);
    let adopted = match result.adopted {
        0 => String::new(),
        many => format!(", {} adopted as they are", counted(many, "rule")),
    };
    let replaced = match result.replaced.as_slice() {
        [] => String::new(),
        names => format!(
            "It replaces {} of the built-in round: {}.\n",
            counted(names.len(), "question"),
            names.join(", ")
        ),
    };
    let counts = format!(
        "{}: {}, {}{adopted}",
        folder.display(),
        counted(result.rules, "rule"),
        counted(result.cases, "case"),
    );
    if problems.none() {
        style::print(&format!("{replaced}{counts}. All cases hold.\n"))?;
        return Ok(Ended::Well);
    }
    if !result.is_read {
        let shown = show_all_and(&problems, &files, "The pack cannot be used.");
        return Err(Failure::Said(shown));
    }
    let undone = "A shop can use the pack, but its cases do not show that its rules are right.";
    let shown = show_all_and(&problems, &files, undone);
    Err(Failure::Said(format!("{shown}{replaced}{counts}")))
}

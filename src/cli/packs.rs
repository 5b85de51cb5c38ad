//! `sandarac packs`: list the packs, or check one.

use super::args::{PacksArgs, PacksWhat};
use super::{Ended, Failure, style};
use crate::audit::check_pack;
use crate::pack::{built_in_names, load_built_in};
use crate::report::fill;
use crate::text::{Files, Problems, show_one};
use std::fmt::Write;
use std::path::Path;

/// Lists, or checks.
pub fn run(args: &PacksArgs) -> Result<Ended, Failure> {
    match &args.what {
        None => list(),
        Some(PacksWhat::Check { folder }) => check(folder),
    }
}

fn list() -> Result<Ended, Failure> {
    let mut files = Files::default();
    let mut problems = Problems::new();
    let mut text = String::new();
    for id in built_in_names() {
        let Some(pack) = load_built_in(id, &mut files, &mut problems) else {
            continue;
        };
        let _ = writeln!(
            text,
            "{id}: {}, {} ({} rules)",
            pack.about.title,
            pack.about.jurisdiction,
            pack.rules.len()
        );
        let _ = writeln!(
            text,
            "{}",
            fill(&pack.about.about, style::columns(), "    ", "    ")
        );
        for source in pack.sources.values() {
            let line = format!("{}, {}", source.title, source.edition);
            let _ = writeln!(text, "{}", fill(&line, style::columns(), "  - ", "    "));
        }
    }
    style::print(&text)?;
    Ok(Ended::Well)
}

fn check(folder: &Path) -> Result<Ended, Failure> {
    let mut files = Files::default();
    let mut problems = Problems::new();
    let result = check_pack(folder, &mut files, &mut problems);
    if problems.none() {
        style::print(&format!(
            "{}: {} rules, {} cases, all hold\n",
            folder.display(),
            result.rules,
            result.cases
        ))?;
        return Ok(Ended::Well);
    }
    let mut text = String::new();
    for problem in problems.sorted() {
        let _ = writeln!(text, "{}", show_one(problem, &files));
    }
    if problems.more() > 0 {
        let _ = writeln!(
            text,
            "… and {} more problems that are not shown",
            problems.more()
        );
    }
    let _ = writeln!(
        text,
        "{}: {}, {}, {}",
        folder.display(),
        style::many(result.rules, "rule"),
        style::many(result.cases, "case"),
        style::many(problems.count(), "problem")
    );
    Err(Failure::Said(text))
}

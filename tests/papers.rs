//! The papers of the monthly round: the calendar, the sheet to take along and its way back, month against month, the
//! screen, completions and the manual page.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "papers/calendar.rs"]
mod calendar;
#[path = "papers/enter.rs"]
mod enter;
#[path = "papers/manual.rs"]
mod manual;
#[path = "papers/month.rs"]
mod month;
#[path = "papers/rfc5545.rs"]
mod rfc5545;
#[path = "papers/screen.rs"]
mod screen;
#[path = "papers/sheet.rs"]
mod sheet;

use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

/// The day of the demo.
pub(crate) const DEMO_DAY: &str = "2026-10-31";

pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

pub(crate) fn run(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sandarac"));
    command.current_dir(folder).args(args);
    command.env_remove("COLUMNS").output().unwrap()
}

/// What a run printed, if it ended with this code; what it said to standard error, if that is 2.
#[track_caller]
pub(crate) fn said(folder: &Path, args: &[&str], code: i32) -> String {
    let output = run(folder, args);
    let out = String::from_utf8(output.stdout).unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{args:?}\n{out}\n{err}");
    let (wanted, other) = if code == 2 { (err, out) } else { (out, err) };
    assert!(other.is_empty(), "{args:?}: {other}");
    wanted
}

/// A folder with the demo shop in `shop`.
pub(crate) fn demo() -> TempDir {
    let folder = TempDir::new().unwrap();
    said(folder.path(), &["demo", "--write", "shop"], 0);
    folder
}

pub(crate) fn file(folder: &Path, name: &str) -> String {
    let path = folder.join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()))
}

/// Replaces a text that stands in a file.
#[track_caller]
pub(crate) fn edit(folder: &Path, name: &str, from: &str, to: &str) {
    let text = file(folder, name);
    assert!(text.contains(from), "{name} has no `{from}`");
    std::fs::write(folder.join(name), text.replacen(from, to, 1)).unwrap();
}
